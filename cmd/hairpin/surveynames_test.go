//go:build unix

package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// oddNames are file names that a folder may hold and that would act on a
// terminal, break a row, or are no text.
var oddNames = []string{"red\x1b[31m.musicxml", "two\nlines.musicxml", "a\ttab.musicxml", "turned\u202elxm.musicxml", "latin\xe9.musicxml", "back\\slash.musicxml", "plain é.musicxml"}

func oddFolder(t *testing.T) {
	t.Helper()
	t.Chdir(t.TempDir())
	for _, name := range oddNames {
		if err := os.WriteFile(filepath.Join(".", name), []byte(fineScore), 0o644); err != nil {
			t.Skip(err) // a file system that does not take such names
		}
	}
}

func surveyed(t *testing.T, args ...string) string {
	t.Helper()
	var out, errs bytes.Buffer
	if status := run(append([]string{"survey", "."}, args...), strings.NewReader(""), &out, &errs); status != done {
		t.Fatalf("status %d, %s", status, errs.String())
	}
	return out.String()
}

// A table shows what would act on a terminal instead of doing it.
func TestSurveyTableIsHarmless(t *testing.T) {
	oddFolder(t)
	table := surveyed(t, "--width", "120")
	if strings.ContainsAny(table, "\x1b\t\u202e") || strings.Contains(table, "\xe9") || strings.Count(table, "\n") != len(oddNames)+1 {
		t.Errorf("table %q", table)
	}
	for _, want := range []string{`red\x1b[31m.musicxml`, `two\x0alines.musicxml`, `turned\u202elxm.musicxml`, `latin\xe9.musicxml`, "plain é.musicxml"} {
		if !strings.Contains(table, want) {
			t.Errorf("%q is not in %q", want, table)
		}
	}
	var out, errs bytes.Buffer
	run([]string{"study", "none\x1b[31m\u202e.musicxml"}, strings.NewReader(""), &out, &errs)
	if strings.ContainsAny(errs.String(), "\x1b\u202e") {
		t.Errorf("error %q", errs.String())
	}
}

// Every row is one line whatever the file is called, and --resume knows it again.
func TestSurveyResumesOddNames(t *testing.T) {
	for _, format := range []string{"tsv", "ndjson"} {
		oddFolder(t)
		rows := surveyed(t, "--format", format)
		if n := strings.Count(strings.TrimPrefix(rows, "file\t"), ".musicxml"); n != len(oddNames) {
			t.Errorf("%s: %d rows in %q", format, n, rows)
		}
		if err := os.WriteFile("rows", []byte(rows), 0o644); err != nil {
			t.Fatal(err)
		}
		if again := surveyed(t, "--format", format, "--resume", "rows"); again != "" {
			t.Errorf("%s: read again: %q", format, again)
		}
	}
}

// A row that was cut off by a kill goes; the rows added make a whole file.
func TestSurveyMendsItsFile(t *testing.T) {
	for _, format := range []string{"tsv", "ndjson"} {
		oddFolder(t)
		whole := surveyed(t, "--format", format, "--workers", "1")
		lines := strings.SplitAfter(whole, "\n")
		for _, cut := range []int{3, len(lines[0]) + 5, len(whole) - 3} {
			if err := os.WriteFile("rows", []byte(whole[:cut]), 0o644); err != nil {
				t.Fatal(err)
			}
			file, err := os.OpenFile("rows", os.O_APPEND|os.O_WRONLY, 0)
			if err != nil {
				t.Fatal(err)
			}
			var errs bytes.Buffer
			if status := run([]string{"survey", ".", "--format", format, "--workers", "1", "--resume", "rows"}, strings.NewReader(""), file, &errs); status != done {
				t.Fatalf("status %d, %s", status, errs.String())
			}
			file.Close()
			got, err := os.ReadFile("rows")
			if err != nil {
				t.Fatal(err)
			}
			if a, b := withoutSeconds(string(got)), withoutSeconds(whole); a != b {
				t.Errorf("%s cut after %d bytes: %q, want %q", format, cut, a, b)
			}
		}
	}
}

// withoutSeconds blanks how long each row took.
func withoutSeconds(rows string) string {
	var out []string
	for _, line := range strings.Split(rows, "\n") {
		if cells := strings.Split(line, "\t"); len(cells) > 13 && cells[0] != "file" {
			cells[13] = ""
			line = strings.Join(cells, "\t")
		} else if i := strings.Index(line, `"seconds":`); i >= 0 {
			line = line[:i]
		}
		out = append(out, line)
	}
	return strings.Join(out, "\n")
}
