package web

import (
	"encoding/json"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"hairpin/testdata"
)

// A recording sent from the page is answered with what the command writes; what is
// none, or too large, or of a score that is gone, with a sentence.
func TestTakeIsLaidOverTheScore(t *testing.T) {
	w := start(t, Options{Upload: 1 << 20})
	data, err := testdata.Scores.ReadFile("vibraphone-low-water.musicxml")
	if err != nil {
		t.Fatal(err)
	}
	_, text := w.ask("POST", "/api/score?name=low.musicxml", "application/octet-stream", data, nil)
	var k kept
	if err := json.Unmarshal([]byte(text), &k); err != nil {
		t.Fatal(text, err)
	}
	c := choice{ID: k.ID, Dissonance: 1, Distance: 1, Pull: 1}
	status, recording := w.json("/api/file/shaped", c)
	if status != http.StatusOK {
		t.Fatal(status, recording)
	}
	asJSON, _ := json.Marshal(c)
	path := "/api/take?name=today.mid&choice=" + url.QueryEscape(string(asJSON))
	status, text = w.ask("POST", path, "application/octet-stream", []byte(recording), nil)
	var told struct {
		Schema int
		Keys   [][4]float64
		Takes  []struct {
			File  string
			Found float64
			Beats []struct{ Time float64 }
		}
	}
	if err := json.Unmarshal([]byte(text), &told); err != nil || status != http.StatusOK {
		t.Fatal(status, err, text)
	}
	if told.Schema != 1 || len(told.Takes) != 1 || told.Takes[0].File != "today.mid" || told.Takes[0].Found < 0.95 || len(told.Takes[0].Beats) < 60 {
		t.Errorf("got %+v", told)
	}
	if len(told.Keys) < 60 {
		t.Errorf("%d keys to sound", len(told.Keys))
	}
	drawn(t, w, c, text)
	for _, x := range []struct {
		path, body, want string
		status           int
	}{
		{path, "a letter", "not a sound", http.StatusUnprocessableEntity},
		{"/api/take?choice=%7B%22id%22:%22none%22%7D", "a letter", "no longer in memory", http.StatusGone},
		{"/api/take", "a letter", "cannot be read", http.StatusBadRequest},
	} {
		status, text := w.ask("POST", x.path, "application/octet-stream", []byte(x.body), nil)
		if status != x.status || !strings.Contains(text, x.want) {
			t.Errorf("%s: %d %s", x.path, status, text)
		}
	}
}

// drawn sends a take back as the page does: it is drawn in page and report, and one
// that is none is refused in words.
func drawn(t *testing.T, w started, c choice, told string) {
	t.Helper()
	var answer struct {
		Takes json.RawMessage `json:"takes"`
	}
	if err := json.Unmarshal([]byte(told), &answer); err != nil {
		t.Fatal(err)
	}
	type asked struct {
		choice
		Takes  json.RawMessage `json:"takes"`
		Layout string          `json:"layout,omitempty"`
	}
	for path, layout := range map[string]string{"/api/read": "wide", "/api/file/report": ""} {
		status, text := w.json(path, asked{c, answer.Takes, layout})
		if status != http.StatusOK || !strings.Contains(text, "hp-take-1") || !strings.Contains(text, "What was played") {
			t.Errorf("%s: %d, the take is not drawn", path, status)
		}
		if status, text = w.json(path, asked{c, json.RawMessage(`"none"`), layout}); status != http.StatusUnprocessableEntity || !strings.Contains(text, "takes of this page cannot be read") {
			t.Errorf("%s: %d %.200s", path, status, text)
		}
	}
}
