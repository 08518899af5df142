package report

import (
	"hairpin/harmony/events"
	"hairpin/harmony/phrasing"
	"hairpin/score"
)

// keyStay is a stretch in another key than home: the way there, its arrival, the way back.
type keyStay struct {
	Key      string               `json:"key"`
	From     string               `json:"from"` // the key before
	Measures string               `json:"measures"`
	Onset    Quarters             `json:"onset"`
	End      Quarters             `json:"end"`
	Entry    events.Entry         `json:"entry,omitempty"`
	Arrival  string               `json:"arrival,omitempty"` // where its tonic is reached
	Close    phrasing.CadenceKind `json:"close,omitempty"`   // by which cadence, if by one
	Back     string               `json:"back,omitempty"`    // where home is entered again
	BackBy   events.Entry         `json:"back_by,omitempty"`
	Theme    bool                 `json:"theme"`            // with the opening of the piece
	Stands   string               `json:"stands,omitempty"` // where home's tonic stands then, led to by its dominant
}

// keyStays are the stretches in other keys than home.
func (r *Reading) keyStays(stays []events.Stay) []keyStay {
	out := []keyStay{}
	for _, x := range stays {
		out = append(out, keyStay{
			Key: x.Key.Name(), From: x.From.Name(), Measures: r.Span(x.Start, x.End), Onset: r.quarters(x.Start), End: r.quarters(x.End),
			Entry: x.Entry, Arrival: r.atOr(x.Arrival), Close: x.Close, Back: r.atOr(x.Back), BackBy: x.BackEntry, Theme: x.Theme, Stands: r.atOr(x.Stands),
		})
	}
	return out
}

// atOr is a moment as measure and beat, "" if there is none.
func (r *Reading) atOr(t score.Tick) string {
	if t < 0 {
		return ""
	}
	return r.At(t)
}
