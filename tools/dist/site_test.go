package main

import (
	"bytes"
	"encoding/json"
	"strings"
	"testing"
)

// A module of WebAssembly as in the Core Specification 2.0 (W3C 2022), 5.5: a
// custom section, then a memory of two pages without an upper bound.
func TestBoundedMemory(t *testing.T) {
	module := []byte("\x00asm\x01\x00\x00\x00" + "\x00\x02\x01x" + "\x05\x03\x01\x00\x02" + "\x0a\x01\x00")
	want := "\x00asm\x01\x00\x00\x00" + "\x00\x02\x01x" + "\x05\x06\x01\x01\x02\x80\x80\x01" + "\x0a\x01\x00"
	got, err := bounded(module)
	if err != nil || string(got) != want {
		t.Errorf("%q, %v\nwant %q", got, err, want)
	}
	for _, bad := range []string{"", "\x00asm\x01\x00\x00\x00", want, want[:20]} {
		if _, err := bounded([]byte(bad)); err == nil {
			t.Errorf("%q was taken", bad)
		}
	}
}

// Web Application Manifest (W3C): members that an installable page needs; the
// script of the service worker finds the shared score by its name.
func TestManifest(t *testing.T) {
	text, err := manifest()
	if err != nil {
		t.Fatal(err)
	}
	var m struct {
		Name     string
		StartURL string `json:"start_url"`
		Display  string
		Icons    []struct{ Src, Sizes string }
	}
	if err := json.Unmarshal(text, &m); err != nil || m.Name == "" || m.StartURL != "./" || m.Display != "standalone" {
		t.Errorf("%+v, %v", m, err)
	}
	s := site{}
	if err := addApp(s); err != nil {
		t.Fatal(err)
	}
	for _, icon := range m.Icons {
		if len(s[icon.Src]) == 0 {
			t.Errorf("there is no %s", icon.Src)
		}
	}
	if !bytes.HasPrefix(s["icon-512.png"], []byte("\x89PNG")) {
		t.Error("icon-512.png is no PNG")
	}
}

func TestSitePolicy(t *testing.T) {
	got := sitePolicy("default-src 'none'; script-src 'self'; connect-src 'self'; frame-ancestors 'none'")
	for _, part := range []string{"default-src 'none'", "script-src 'self' 'wasm-unsafe-eval'", "worker-src 'self' blob:", "connect-src 'self'"} {
		if !strings.Contains(got, part) {
			t.Errorf("%s lacks %s", got, part)
		}
	}
	if strings.Contains(got, "frame-ancestors") || strings.Contains(got, "unsafe-inline") {
		t.Error(got)
	}
}
