package web

import (
	"bytes"
	"context"
	"io"
	"mime"
	"net/http"
	"path"
	"strings"

	"hairpin/report"
	"hairpin/report/annotate"
	"hairpin/report/html"
	"hairpin/report/practice"
	"hairpin/report/sound"
	"hairpin/report/take"
)

// product is a file that the page offers.
type product struct {
	suffix string // of the score's name
	kind   string // media type
	write  func(ctx context.Context, s *Server, e *entry, r *report.Reading, w io.Writer) error
}

// wholeReport is the report, with the takes that the page shows, or the handout of
// some measures.
func wholeReport(takes []take.Take, handout bool) func(context.Context, *Server, *entry, *report.Reading, io.Writer) error {
	return func(ctx context.Context, s *Server, e *entry, r *report.Reading, w io.Writer) error {
		p := s.pictures(ctx, e, stavesOf(r), true, true, nil)
		p.Takes = takes
		if handout {
			return html.WriteHandout(w, r, p)
		}
		return html.Write(w, r, p)
	}
}

// products are the files by the names the page uses for them.
func products(takes []take.Take, handout bool) map[string]product {
	return map[string]product{
		"report": {"-report.html", "text/html; charset=utf-8", wholeReport(takes, handout)},
		"poster": {"-poster.html", "text/html; charset=utf-8", func(_ context.Context, _ *Server, _ *entry, r *report.Reading, w io.Writer) error {
			return html.WritePoster(w, r)
		}},
		"picture": {".svg", "image/svg+xml", func(ctx context.Context, s *Server, e *entry, r *report.Reading, w io.Writer) error {
			return html.WritePicture(w, r, s.pictures(ctx, e, stavesOf(r), true, false, nil).Wide)
		}},
		"annotated": {"-annotated.musicxml", "application/vnd.recordare.musicxml+xml", annotated},
		"reduction": {"-reduction.musicxml", "application/vnd.recordare.musicxml+xml", reduction},
		"printed":   {"-printed.mid", "audio/midi", midiOf(sound.PrintedLevel)},
		"shaped":    {"-proposed.mid", "audio/midi", midiOf(sound.ShapedLevel)},
		"study": {"-study.json", "application/json", func(_ context.Context, _ *Server, _ *entry, r *report.Reading, w io.Writer) error {
			return r.Study(w, "json")
		}},
	}
}

func annotated(_ context.Context, _ *Server, e *entry, r *report.Reading, w io.Writer) error {
	f, err := annotate.Add(r, e.file, annotate.Annotation{})
	if err != nil {
		return err
	}
	data, err := f.Encode("annotated.musicxml")
	if err != nil {
		return err
	}
	_, err = w.Write(data)
	return err
}

func reduction(_ context.Context, _ *Server, _ *entry, r *report.Reading, w io.Writer) error {
	f, err := practice.Reduction(r, report.English)
	if err != nil {
		return err
	}
	data, err := f.Encode("reduction.musicxml")
	if err != nil {
		return err
	}
	_, err = w.Write(data)
	return err
}

func midiOf(level sound.LevelSource) func(context.Context, *Server, *entry, *report.Reading, io.Writer) error {
	return func(_ context.Context, _ *Server, _ *entry, r *report.Reading, w io.Writer) error {
		return sound.WriteMIDI(w, r, sound.Listening{Level: level, Repeats: true})
	}
}

// download makes a file and sends it. It is made whole first: an error must not
// end up inside it.
func (s *Server) download(w http.ResponseWriter, r *http.Request) {
	var want struct {
		choice
		takesOf
		Only string `json:"only"` // measures of it by printed number, "9-16"; "" is what is shown
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
	p, ok := products(takes, want.Only != "")[r.PathValue("kind")]
	if !ok {
		http.NotFound(w, r)
		return
	}
	if !s.enter(r) {
		return
	}
	e, data, err := s.product(r.Context(), p, want.choice, want.Only)
	s.leave() // before it is sent: whoever takes it slowly must not hold up others
	if err != nil {
		s.fail(w, err)
		return
	}
	name := strings.TrimSuffix(e.name, path.Ext(e.name)) + p.suffix
	if want.Only != "" {
		name = strings.TrimSuffix(e.name, path.Ext(e.name)) + "-" + want.Only + path.Ext(p.suffix)
	}
	w.Header().Set("Content-Type", p.kind)
	w.Header().Set("Content-Disposition", mime.FormatMediaType("attachment", map[string]string{"filename": name}))
	w.Write(data)
}

// product makes a file of a score read as chosen, or of some measures of it.
func (s *Server) product(ctx context.Context, p product, want choice, only string) (*entry, []byte, error) {
	e, reading, err := s.reading(want)
	if err == nil && only != "" {
		reading, err = reading.Only(only)
	}
	if err != nil {
		return nil, nil, err
	}
	var b bytes.Buffer
	err = p.write(ctx, s, e, reading, &b)
	return e, b.Bytes(), err
}
