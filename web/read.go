package web

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"strings"
	"time"

	"hairpin/harmony/stated"
	"hairpin/harmony/tension"
	"hairpin/harmony/tonal"
	"hairpin/internal/engrave"
	"hairpin/internal/midi"
	"hairpin/report"
	"hairpin/report/html"
)

// choice is what the page asks to be read, and how.
type choice struct {
	ID          string  `json:"id"`
	Part        int     `json:"part"`       // counted from 1; 0 is all
	Key         string  `json:"key"`        // home key, "" as heard
	Symbols     bool    `json:"symbols"`    // printed chord symbols as the chords
	Dissonance  float64 `json:"dissonance"` // weights
	Distance    float64 `json:"distance"`
	Pull        float64 `json:"pull"`
	Corrections string  `json:"corrections"` // as harmony.ReadCorrections
	Measures    string  `json:"measures"`    // by printed number, "9-24"; "" is all
	Shown       int     `json:"shown"`       // part whose staves are drawn, counted from 1; 0 is all
	Small       bool    `json:"small"`       // small staves
}

func (c choice) staves(r *report.Reading) html.Staves {
	s := stavesOf(r)
	s.Part, s.Small = c.Shown, c.Small
	return s
}

// stavesOf are all staves of a score, so that one drawing serves all that is asked of
// it; of one too long for that, those of what is shown.
func stavesOf(r *report.Reading) html.Staves {
	if len(r.Score.Notes) <= html.MostDrawn {
		return html.Staves{}
	}
	return html.StavesOf(r)
}

// options turns the choice into those of a reading.
func (c choice) options(e *entry) (opt report.Options, err error) {
	opt.Harmony.Part, opt.Harmony.Symbols, opt.Measures = c.Part, c.Symbols, strings.TrimSpace(strings.ReplaceAll(c.Measures, "–", "-"))
	if c.Key != "" {
		key, ok := tonal.ParseKey(c.Key)
		if !ok {
			return opt, &report.ChoiceError{Text: fmt.Sprintf("%q is no key", c.Key), Hint: "write C or Bb for major, a or f# for minor"}
		}
		opt.Harmony.Home = &key
	}
	for _, w := range []float64{c.Dissonance, c.Distance, c.Pull} {
		if !(w >= 0 && w <= 10) {
			return opt, &report.ChoiceError{Text: "a weight lies outside 0 to 10"}
		}
	}
	opt.Harmony.Weights = &tension.Weights{Dissonance: c.Dissonance, Distance: c.Distance, Pull: c.Pull}
	opt.Harmony.Corrections, err = stated.ReadCorrections(strings.NewReader(c.Corrections), e.file.Score)
	if err != nil {
		return opt, &report.ChoiceError{Text: overruling(c.Corrections, err)}
	}
	return opt, nil
}

// overruling says what is wrong with one of the corrections, by its moment
// instead of the line that nobody sees here.
func overruling(corrections string, err error) string {
	var bad *stated.LineError
	if !errors.As(err, &bad) {
		return "your reading: " + err.Error()
	}
	lines := strings.Split(corrections, "\n")
	if words := strings.Fields(lines[min(bad.Line, len(lines))-1]); len(words) > 1 {
		return "your reading at " + words[0] + ":" + words[1] + ": " + bad.Err.Error()
	}
	return "your reading: " + bad.Err.Error()
}

// reading is the score read as chosen: the last one is kept.
func (s *Server) reading(c choice) (*entry, *report.Reading, error) {
	e := s.shelf.get(c.ID)
	if e == nil {
		return nil, nil, errGone
	}
	c.Shown, c.Small = 0, false // another drawing of the same reading
	mark, _ := json.Marshal(c)
	e.mu.Lock()
	defer e.mu.Unlock()
	if e.reading != nil && e.choice == string(mark) {
		return e, e.reading, nil
	}
	opt, err := c.options(e)
	if err != nil {
		return nil, nil, err
	}
	r, err := report.New(e.file, opt)
	if err != nil {
		return nil, nil, err
	}
	e.choice, e.reading, e.sounds = string(mark), r, map[played]*midi.Sound{}
	return e, r, nil
}

// pictures engraves what is not engraved yet. Of a long score first, unless it
// is nil, is handed the first systems beforehand. A page that should have both
// layouts does with the wide one if the other cannot be had.
func (s *Server) pictures(ctx context.Context, e *entry, staves html.Staves, wide, narrow bool, first func(*engrave.Engraving)) (p html.Pictures) {
	if s.drawer == nil {
		return html.Pictures{Why: s.why}
	}
	var err error
	if wide {
		p.Wide, err = e.engraving(picture{staves, false}, func() (*engrave.Engraving, error) { return s.drawer.Wide(ctx, e.file, staves, first) })
	}
	if narrow && err == nil {
		p.Narrow, err = e.engraving(picture{staves, true}, func() (*engrave.Engraving, error) { return s.drawer.Narrow(ctx, e.file, staves, first) })
	}
	if err != nil && p.Wide == nil {
		return html.Pictures{Why: html.WithoutStaves(err)}
	}
	return p
}

// engraving is kept with the score, at most a few of them.
func (e *entry) engraving(as picture, draw func() (*engrave.Engraving, error)) (*engrave.Engraving, error) {
	const most = 4
	e.drawing.Lock()
	known := e.drawn[as]
	e.drawing.Unlock()
	if known != nil {
		return known, nil
	}
	drawn, err := draw()
	if err != nil {
		return nil, err
	}
	e.drawing.Lock()
	defer e.drawing.Unlock()
	if len(e.drawn) >= most {
		clear(e.drawn)
	}
	e.drawn[as] = drawn
	return drawn, nil
}

// read answers with lines of JSON: stages as they are reached, the reading in
// words, the first systems of a long score, then the page's pieces or an error.
func (s *Server) read(w http.ResponseWriter, r *http.Request) {
	var want struct {
		choice
		takesOf
		Layout string `json:"layout"` // "wide" or "narrow"
	}
	err := decodeUpTo(w, r, &want, mostTakes)
	if err != nil {
		s.fail(w, err)
		return
	}
	takes, err := want.list()
	if err != nil {
		s.fail(w, err)
		return
	}
	if !s.enter(r) {
		return
	}
	defer s.leave()
	w.Header().Set("Content-Type", "application/x-ndjson; charset=utf-8")
	stage(w, "hearing the harmony")
	e, reading, err := s.reading(want.choice)
	if err != nil {
		line(w, failure{Error: err.Error(), Hint: hint(err), Gone: err == errGone})
		return
	}
	if words, err := html.InWords(reading); err == nil {
		line(w, struct {
			Words *html.Live `json:"words"`
		}{words})
	}
	stage(w, "drawing the staves") // after the words: while the engraver runs, nothing else of ours gets far
	narrow := want.Layout == "narrow"
	pictures := s.pictures(r.Context(), e, want.staves(reading), !narrow, narrow, func(head *engrave.Engraving) {
		p := html.Pictures{Wide: head, Takes: takes}
		if narrow {
			p = html.Pictures{Narrow: head, Takes: takes}
		}
		if live, err := html.Begin(reading, p); err == nil {
			line(w, struct {
				Head *html.Live `json:"head"`
			}{live})
		}
	})
	if r.Context().Err() != nil {
		return
	}
	pictures.Takes = takes
	live, err := html.NewLive(reading, pictures)
	if err != nil {
		line(w, failure{Error: err.Error()})
		return
	}
	line(w, struct {
		Done *html.Live `json:"done"`
	}{live})
}

func stage(w http.ResponseWriter, text string) {
	line(w, struct {
		Stage string `json:"stage"`
	}{text})
}

// patience is how long a page may take to accept what it asked for.
const patience = 10 * time.Second

// line sends a line at once. A page that does not take it in time is given up:
// others wait for their turn.
func line(w http.ResponseWriter, v any) {
	http.NewResponseController(w).SetWriteDeadline(time.Now().Add(patience))
	enc := json.NewEncoder(w)
	enc.SetEscapeHTML(false)
	enc.Encode(v)
	http.NewResponseController(w).Flush()
}

// explain says why a moment is tense.
func (s *Server) explain(w http.ResponseWriter, r *http.Request) {
	var want struct {
		choice
		At string `json:"at"`
	}
	if err := decode(w, r, &want); err != nil {
		s.fail(w, err)
		return
	}
	_, reading, err := s.reading(want.choice)
	if err != nil {
		s.fail(w, err)
		return
	}
	why, err := html.Explain(reading, want.At)
	if err != nil {
		s.fail(w, err)
		return
	}
	send(w, http.StatusOK, why)
}
