package web

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"mime"
	"net/http"
	"path"
	"strings"
	"time"

	"hairpin/internal/engrave"
	"hairpin/musicxml"
	"hairpin/report"
	"hairpin/report/html"
	"hairpin/testdata"
)

// Handler is the page and what it asks for; address is where it listens.
func (s *Server) Handler(address string) http.Handler {
	mux := http.NewServeMux()
	mux.HandleFunc("GET /{$}", s.asset("page.html"))
	mux.HandleFunc("GET /assets/{name}", func(w http.ResponseWriter, r *http.Request) { s.asset(r.PathValue("name"))(w, r) })
	mux.HandleFunc("GET /fonts/{name}", font)
	mux.HandleFunc("GET /api/alive", func(w http.ResponseWriter, r *http.Request) { w.WriteHeader(http.StatusNoContent) })
	mux.HandleFunc("GET /api/demos", s.demos)
	mux.HandleFunc("POST /api/score", s.upload)
	mux.HandleFunc("POST /api/demo", s.demo)
	mux.HandleFunc("POST /api/read", s.read)
	mux.HandleFunc("POST /api/explain", s.explain)
	mux.HandleFunc("POST /api/play", s.play)
	mux.HandleFunc("POST /api/take", s.played)
	mux.HandleFunc("POST /api/sound", s.sound)
	mux.HandleFunc("POST /api/file/{kind}", s.download)
	return s.guard(address, mux)
}

// asset sends a file of the page. The page.css of reports is the same here.
func (s *Server) asset(name string) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		data, err := assets.ReadFile("assets/" + path.Base(path.Clean("/"+name)))
		switch name {
		case "reading.css":
			data, err = html.Style()
		case "fonts.css":
			data, err = fontStyle()
		}
		if err != nil {
			http.NotFound(w, r)
			return
		}
		w.Header().Set("Content-Type", mime.TypeByExtension(path.Ext(name)))
		w.Write(data)
	}
}

// fontStyle declares the fonts of the engravings.
func fontStyle() ([]byte, error) {
	list, err := engrave.Fonts(allFaces())
	var b bytes.Buffer
	for _, f := range list {
		fmt.Fprintf(&b, "@font-face{font-family:%s;font-weight:%s;font-style:%s;font-display:block;unicode-range:%s;src:url(../fonts/%s) format(\"woff2\")}\n",
			f.Family, f.Weight, f.Style, f.Range, f.File)
	}
	return b.Bytes(), err
}

// font sends a font of the engravings.
func font(w http.ResponseWriter, r *http.Request) {
	list, err := engrave.Fonts(allFaces())
	if err == nil {
		for _, f := range list {
			if f.File == r.PathValue("name") {
				w.Header().Set("Content-Type", "font/woff2")
				w.Header().Set("Cache-Control", "max-age=86400")
				w.Write(f.WOFF2)
				return
			}
		}
	}
	http.NotFound(w, r)
}

// allFaces stands for an engraving that uses every face.
func allFaces() *engrave.Engraving {
	e := &engrave.Engraving{Faces: []engrave.Face{{Family: engrave.MusicFamily}}}
	for i := range 8 {
		e.Faces = append(e.Faces, engrave.Face{Family: engrave.TextFamily, Bold: i&1 > 0, Italic: i&2 > 0, Extended: i&4 > 0})
	}
	return e
}

// failure is an error as the page shows it: the same sentence as the command's.
type failure struct {
	Error string `json:"error"`
	Hint  string `json:"hint,omitempty"`
	Gone  bool   `json:"gone,omitempty"` // the score is no longer kept: send it again
}

func refuse(w http.ResponseWriter, status int, text, hint string) {
	send(w, status, failure{Error: text, Hint: hint})
}

func send(w http.ResponseWriter, status int, v any) {
	w.Header().Set("Content-Type", "application/json; charset=utf-8")
	w.WriteHeader(status)
	enc := json.NewEncoder(w)
	enc.SetEscapeHTML(false)
	enc.Encode(v)
}

// fail sends an error.
func (s *Server) fail(w http.ResponseWriter, err error) {
	status := http.StatusUnprocessableEntity
	if errors.Is(err, errGone) {
		send(w, http.StatusGone, failure{Error: err.Error(), Gone: true})
		return
	}
	var large *http.MaxBytesError
	if errors.As(err, &large) {
		status = http.StatusRequestEntityTooLarge
	}
	refuse(w, status, err.Error(), hint(err))
}

// hint says what to do about an error, in the page's own terms; "" if there is
// nothing to add.
func hint(err error) string {
	var choice *report.ChoiceError
	var unsupported *musicxml.UnsupportedError
	var malformed *musicxml.MalformedError
	switch {
	case errors.As(err, &choice):
		return choice.Hint
	case errors.As(err, &unsupported) && unsupported.Limit != "":
		return "the page reads no larger scores; try a movement or a part of it"
	case errors.As(err, &unsupported):
		return unsupported.Hint
	case errors.As(err, &malformed):
		return "export the score again as MusicXML from the program it was written in"
	}
	return ""
}

var errGone = errors.New("the score is no longer in memory")

// kept is what the page is told about a score that was taken.
type kept struct {
	ID   string `json:"id"`
	Name string `json:"name"`
}

// upload takes a score.
func (s *Server) upload(w http.ResponseWriter, r *http.Request) {
	name := path.Base(path.Clean("/" + strings.ReplaceAll(r.URL.Query().Get("name"), `\`, "/")))
	if name == "/" || len(name) > 200 {
		name = "score"
	}
	data, err := s.receive(w, r)
	if large := (*http.MaxBytesError)(nil); errors.As(err, &large) {
		refuse(w, http.StatusRequestEntityTooLarge, fmt.Sprintf("%s: larger than the %d MB this page takes", name, s.opt.Upload>>20), "")
		return
	}
	if err != nil {
		return // the connection broke or was too slow; nobody is there to be told
	}
	arrived(w)
	s.take(w, r, name, data)
}

// receive reads a score that arrives, a few at once: they are held in memory.
func (s *Server) receive(w http.ResponseWriter, r *http.Request) ([]byte, error) {
	select {
	case s.coming <- struct{}{}:
		defer func() { <-s.coming }()
		return io.ReadAll(http.MaxBytesReader(w, r.Body, s.opt.Upload))
	case <-r.Context().Done():
		return nil, r.Context().Err()
	}
}

// arrived ends the time a request has to arrive; the work on it may take longer.
func arrived(w http.ResponseWriter) { http.NewResponseController(w).SetReadDeadline(time.Time{}) }

func (s *Server) take(w http.ResponseWriter, r *http.Request, name string, data []byte) {
	if !s.enter(r) {
		return
	}
	defer s.leave()
	f, err := musicxml.Read(bytes.NewReader(data), name, s.limits())
	if err == nil && len(f.Layers()) > 0 { // one of our own annotated scores: read what is below
		f, err = f.Remove()
	}
	if err != nil {
		s.fail(w, err)
		return
	}
	e := s.shelf.put(name, data, f)
	send(w, http.StatusOK, kept{e.id, e.name})
}

// enter waits for its turn to work on a score; false if the page has gone.
func (s *Server) enter(r *http.Request) bool {
	select {
	case s.busy <- struct{}{}:
		return true
	case <-r.Context().Done():
		return false
	}
}

func (s *Server) leave() { <-s.busy }

// demos lists the scores that come with the program.
func (s *Server) demos(w http.ResponseWriter, r *http.Request) {
	files, _ := fs.Glob(testdata.Scores, "*.musicxml")
	names := []string{}
	for _, f := range files {
		names = append(names, strings.TrimSuffix(f, ".musicxml"))
	}
	send(w, http.StatusOK, names)
}

// demo takes one of them.
func (s *Server) demo(w http.ResponseWriter, r *http.Request) {
	var want struct{ Name string }
	if err := decode(w, r, &want); err != nil {
		s.fail(w, err)
		return
	}
	data, err := testdata.Scores.ReadFile(path.Base("/"+want.Name) + ".musicxml")
	if err != nil {
		refuse(w, http.StatusNotFound, "there is no such demonstration", "")
		return
	}
	s.take(w, r, want.Name+".musicxml", data)
}

// decode reads a small JSON request.
func decode(w http.ResponseWriter, r *http.Request, into any) error {
	return decodeUpTo(w, r, into, 256<<10)
}

// decodeUpTo reads a JSON request of at most so many bytes.
func decodeUpTo(w http.ResponseWriter, r *http.Request, into any, most int64) error {
	d := json.NewDecoder(http.MaxBytesReader(w, r.Body, most))
	d.DisallowUnknownFields()
	if err := d.Decode(into); err != nil {
		return &report.ChoiceError{Text: "the request is not one of this page's"}
	}
	arrived(w)
	return nil
}
