package web

import (
	"net/http"

	"hairpin/internal/midi"
	"hairpin/report"
	"hairpin/report/html"
	"hairpin/report/sound"
)

// play sends how the time of the performance lies on the page.
func (s *Server) play(w http.ResponseWriter, r *http.Request) {
	var want choice
	if err := decode(w, r, &want); err != nil {
		s.fail(w, err)
		return
	}
	_, reading, err := s.reading(want)
	if err != nil {
		s.fail(w, err)
		return
	}
	p, err := html.NewPlayback(reading)
	if err != nil {
		s.fail(w, err)
		return
	}
	send(w, http.StatusOK, p)
}

// longestPiece is the most samples that are sent at once: eight seconds.
const longestPiece = 8 * midi.SampleRate

// sound sends a piece of the performance as samples: the sound that listen
// writes, 16 bit stereo. The piece is counted in samples at the chosen speed.
func (s *Server) sound(w http.ResponseWriter, r *http.Request) {
	var want struct {
		choice
		Level sound.LevelSource `json:"level"`
		Speed float64           `json:"speed"`
		From  int               `json:"from"`
		To    int               `json:"to"`
	}
	if err := decode(w, r, &want); err != nil {
		s.fail(w, err)
		return
	}
	if !(want.Speed >= 0.25 && want.Speed <= 2) || want.From < 0 || want.To < want.From || want.To-want.From > longestPiece {
		s.fail(w, &report.ChoiceError{Text: "a piece of sound lies outside of what is played"})
		return
	}
	e, reading, err := s.reading(want.choice)
	if err != nil {
		s.fail(w, err)
		return
	}
	played, err := e.sound(reading, played{want.Level, want.Speed})
	if err != nil {
		s.fail(w, err)
		return
	}
	w.Header().Set("Content-Type", "application/octet-stream")
	played.WritePCM(w, want.From, want.To) // a page that has gone needs no answer
}

// sound is the reading as sound; the ways it was played last are kept.
func (e *entry) sound(r *report.Reading, as played) (*midi.Sound, error) {
	const most = 4
	e.mu.Lock()
	known := e.sounds[as]
	e.mu.Unlock()
	if known != nil {
		return known, nil
	}
	whole := r.From == 0 && r.To == r.Score.Length()
	p, err := sound.Perform(r, sound.Listening{Level: as.level, Repeats: whole})
	if err != nil {
		return nil, err
	}
	made := p.Sound(as.speed)
	e.mu.Lock()
	defer e.mu.Unlock()
	if e.reading == r {
		if len(e.sounds) >= most {
			clear(e.sounds)
		}
		e.sounds[as] = made
	}
	return made, nil
}
