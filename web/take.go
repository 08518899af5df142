package web

import (
	"bytes"
	"encoding/json"
	"errors"
	"io"
	"net/http"
	"path"
	"strings"

	"hairpin/performance"
	"hairpin/performance/sound"
	"hairpin/report/take"
)

// Of a recording, which is worked on in memory and not kept.
const (
	mostRecording = 160 << 20 // bytes
	mostMinutes   = 20
)

// played lays a recording over a score: the body is the recording, the query names
// it and holds the choice as JSON. It answers with what the command take writes.
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
	told, err := s.overScore(want, recordingName(r), data)
	if err != nil {
		s.fail(w, err)
		return
	}
	send(w, http.StatusOK, told)
}

func recordingName(r *http.Request) string {
	name := path.Base(path.Clean("/" + strings.ReplaceAll(r.URL.Query().Get("name"), `\`, "/")))
	if name == "/" || len(name) > 200 {
		return "recording"
	}
	return name
}

// overScore reads a recording and follows it.
func (s *Server) overScore(c choice, name string, data []byte) (*take.Report, error) {
	_, reading, err := s.reading(c)
	if err != nil {
		return nil, err
	}
	t, err := performance.Read(bytes.NewReader(data), name, sound.Limits{Bytes: mostRecording, Seconds: 60 * mostMinutes})
	if err != nil {
		return nil, err
	}
	p, err := performance.Follow(reading.Score, t)
	if err != nil {
		return nil, err
	}
	return take.New(reading, []*performance.Playing{p}), nil
}
