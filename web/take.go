package web

import (
	"bytes"
	"crypto/sha256"
	"encoding/json"
	"errors"
	"io"
	"net/http"
	"path"
	"strings"

	"hairpin/performance"
	"hairpin/performance/sound"
	"hairpin/report"
	"hairpin/report/html"
	"hairpin/report/take"
)

// Of a recording, which is worked on in memory and not kept.
const (
	mostRecording = 160 << 20 // bytes
	mostMinutes   = 20
)

// mostTakes is the most that a page sends of takes to be drawn, in bytes: four of
// forty minutes at ninety beats a minute take half of it.
const mostTakes = 8 << 20

// told is what a recording is answered with: what the command take writes, and of keys
// struck each with its second on and off, key and velocity, so that the page can
// sound them.
type told struct {
	*take.Report
	Keys [][4]float64 `json:"keys,omitempty"`
}

// takesOf are takes that the page was told of and sends back to be drawn. The program
// keeps none.
type takesOf struct {
	Takes json.RawMessage `json:"takes"`
}

func (t takesOf) list() ([]take.Take, error) {
	var list []take.Take
	if len(t.Takes) == 0 {
		return nil, nil
	}
	if err := json.Unmarshal(t.Takes, &list); err != nil {
		return nil, &report.ChoiceError{Text: "the takes of this page cannot be read", Hint: "forget them and open the recordings again"}
	}
	return list[:min(len(list), html.MostTakes)], nil
}

// played lays a recording over a score: the body is the recording, the query names
// it and holds the choice as JSON.
func (s *Server) played(w http.ResponseWriter, r *http.Request) {
	var want choice
	if err := json.Unmarshal([]byte(r.URL.Query().Get("choice")), &want); err != nil {
		refuse(w, http.StatusBadRequest, "the request cannot be read", "")
		return
	}
	data, err := io.ReadAll(http.MaxBytesReader(w, r.Body, mostRecording))
	if large := (*http.MaxBytesError)(nil); errors.As(err, &large) {
		refuse(w, http.StatusRequestEntityTooLarge, "the recording is larger than this page takes", "use the command: hairpin take SCORE RECORDING")
		return
	}
	if err != nil {
		return // the connection broke or was too slow; nobody is there to be told
	}
	arrived(w)
	if !s.enter(r) {
		return
	}
	defer s.leave()
	answer, err := s.overScore(want, recordingName(r), data)
	if err != nil {
		s.fail(w, err)
		return
	}
	send(w, http.StatusOK, answer)
}

func recordingName(r *http.Request) string {
	name := path.Base(path.Clean("/" + strings.ReplaceAll(r.URL.Query().Get("name"), `\`, "/")))
	if name == "/" || len(name) > 200 {
		return "recording"
	}
	return name
}

// overScore reads a recording and follows it. One that was followed before is only
// judged anew, since the choice may be another.
func (s *Server) overScore(c choice, name string, data []byte) (*told, error) {
	e, reading, err := s.reading(c)
	if err != nil {
		return nil, err
	}
	sum := sha256.Sum256(data)
	f, err := e.followed(sum, func() (*followed, error) { return follow(reading, name, data) })
	if err != nil {
		return nil, err
	}
	p := *f.playing
	p.Name = name
	return &told{take.New(reading, []*performance.Playing{&p}), f.keys}, nil
}

// followed is a recording laid over a score.
type followed struct {
	playing *performance.Playing
	keys    [][4]float64
}

// followed keeps the recordings of a score that were followed last: some megabytes of
// places and levels, no sound.
func (e *entry) followed(sum [sha256.Size]byte, do func() (*followed, error)) (*followed, error) {
	e.mu.Lock()
	known := e.takes[sum]
	e.mu.Unlock()
	if known != nil {
		return known, nil
	}
	made, err := do()
	if err != nil {
		return nil, err
	}
	e.mu.Lock()
	defer e.mu.Unlock()
	if len(e.takes) >= html.MostTakes {
		clear(e.takes)
	}
	e.takes[sum] = made
	return made, nil
}

func follow(reading *report.Reading, name string, data []byte) (*followed, error) {
	t, err := performance.Read(bytes.NewReader(data), name, sound.Limits{Bytes: mostRecording, Seconds: 60 * mostMinutes})
	if err != nil {
		return nil, err
	}
	p, err := performance.Follow(reading.Score, t)
	if err != nil {
		return nil, err
	}
	out := &followed{playing: p}
	for _, k := range t.Keys {
		out.keys = append(out.keys, [4]float64{k.On, k.Off, float64(k.Key), float64(k.Velocity)})
	}
	return out, nil
}
