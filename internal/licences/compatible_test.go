package licences

import (
	"regexp"
	"strings"
	"testing"
)

// compatible names, by a sentence of its own, each licence whose code may be
// part of a work under GPL-3.0-or-later: Free Software Foundation (2023),
// "Various Licenses and Comments about Them" (list from memory).
var compatible = map[string]string{
	"MIT":     "Permission is hereby granted, free of charge, to any person obtaining a copy",
	"ISC":     "Permission to use, copy, modify, and/or distribute this software",
	"BSD":     "Redistribution and use in source and binary forms, with or without modification, are permitted",
	"Apache":  "Apache License Version 2.0, January 2004",
	"MPL":     "Mozilla Public License Version 2.0",
	"LGPL":    "GNU LESSER GENERAL PUBLIC LICENSE Version 3",
	"GPL":     "GNU GENERAL PUBLIC LICENSE Version 3",
	"own GPL": "either version 3 of the License, or (at your option) any later version",
}

// family is the name of a compatible licence that the text is, "" for any other.
func family(text string) string {
	text = strings.Join(strings.Fields(text), " ")
	for name, sentence := range compatible {
		if strings.Contains(text, sentence) {
			return name
		}
	}
	return ""
}

// Every module compiled in must have a licence that goes with ours.
func TestLicencesOfModulesGoWithOurs(t *testing.T) {
	sections := regexp.MustCompile(`(?m)^== `).Split(notices, -1)[1:]
	if len(sections) < 10 {
		t.Fatalf("%d notices", len(sections))
	}
	for _, s := range sections {
		title, text, _ := strings.Cut(s, "\n")
		if !strings.HasPrefix(title, "the table") && family(text) == "" {
			t.Errorf("%s: its licence is not known to go with GPL-3.0-or-later", title)
		}
	}
	if !strings.HasPrefix(notices, "== hairpin\n") || family(sections[0]) == "" || !strings.Contains(sections[0], "GPL-3.0-or-later") {
		t.Error("the program's own licence does not come first")
	}
}

// The licences that may not go in, by a sentence of theirs.
func TestOtherLicencesAreRefused(t *testing.T) {
	for _, text := range []string{"GNU GENERAL PUBLIC LICENSE\nVersion 2, June 1991", "Creative Commons Attribution-NonCommercial 4.0", "All rights reserved.", ""} {
		if f := family(text); f != "" {
			t.Errorf("%q passes as %s", text, f)
		}
	}
}
