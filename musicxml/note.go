package musicxml

import (
	"strings"

	"hairpin/score"
)

// tiedNote is a note element before ties are joined.
type tiedNote struct {
	score.Note
	tieStart, tieStop   bool
	tiedStart, tiedStop bool // by <tied>, which counts where there is no <tie>
	hasTie              bool
	sung                score.Syllable // Text is empty if there is none
}

func (r *partReader) readNote(n *node, index int) {
	t := r.note(n)
	w := tiedNote{Note: score.Note{
		Onset: r.start + t.onset, Duration: t.duration,
		Part: r.part, Measure: r.measure, Staff: 1, Voice: 1,
		Grace: t.grace, Chord: t.chord, Hidden: n.attr("print-object") == "no",
	}}
	if s := n.attr("dynamics"); s != "" {
		w.Velocity, _ = number(s)
	}
	if s := n.find("staff"); s != nil {
		w.Staff = max(r.staff(n), 1)
	}
	rest, sounding := r.noteContent(n, &w)
	r.small.note(w.Note, len(r.notes), sounding && r.err == nil)
	switch {
	case rest:
		r.s.Rests++
	case sounding && r.err == nil:
		w.Source = r.b.index[index : index+1 : index+1]
		r.tied = r.tied || w.tieStart || w.tieStop || w.tiedStart || w.tiedStop
		r.notes = append(r.notes, w)
		if y := w.sung; y.Text != "" {
			y.Place, y.Voice = score.Place{At: w.Onset, Part: r.part, Staff: w.Staff}, w.Voice
			r.s.Syllables = append(r.s.Syllables, y)
		}
	case r.err == nil:
		r.warn("a note without pitch was passed over")
	}
}

// noteContent reads the children of a note.
func (r *partReader) noteContent(n *node, w *tiedNote) (rest, sounding bool) {
	for e := n.child; e != nil; e = e.next {
		switch e.name {
		case "pitch":
			w.Pitch, sounding = r.readPitch(e, w.Note), true
		case "unpitched":
			w.Unpitched, sounding = true, true
		case "rest":
			rest = true
		case "cue":
			w.Small, w.Cue = true, true
		case "voice":
			if v, ok := integer(e.text, 1, 999); ok {
				w.Voice = v
			}
		case "tie":
			w.hasTie = true
			w.tieStart = w.tieStart || e.attr("type") == "start"
			w.tieStop = w.tieStop || e.attr("type") == "stop"
		case "accidental":
			r.readAccidental(e, n.find("pitch"), w)
		case "notations":
			r.readNotations(e, w)
		case "lyric":
			if y := readLyric(e); w.sung.Text == "" {
				w.sung = y
			} else if y.Text != "" {
				w.sung.Verses++
			}
		}
	}
	if w.Grace && w.Cue && !sounding {
		rest = true
	}
	r.unpitched = r.unpitched || sounding && w.Unpitched
	r.pitched = r.pitched || sounding && !w.Unpitched
	return rest, sounding
}

// readLyric reads the syllables of a verse on one note; those bound together count as one.
func readLyric(n *node) score.Syllable {
	y := score.Syllable{Ends: true, Verses: 1}
	for e := n.child; e != nil; e = e.next {
		switch e.name {
		case "syllabic":
			kind := trim(e.text)
			y.Ends = kind != "begin" && kind != "middle"
		case "text", "elision":
			y.Text += e.text
		}
	}
	y.Text = trim(y.Text)
	return y
}

// readPitch reads a written pitch and carries it to the sounding one.
func (r *partReader) readPitch(n *node, w score.Note) score.Pitch {
	var p score.Pitch
	p.Step = -1
	octave := false
	for e := n.child; e != nil; e = e.next {
		switch e.name {
		case "step":
			if s := trim(e.text); len(s) == 1 {
				p.Step = strings.IndexByte("CDEFGAB", s[0]&^0x20)
			}
		case "alter":
			p.Alter = r.alter(e.text)
		case "octave":
			if p.Octave, octave = integer(e.text, -2, 12); !octave {
				r.fail("a note in octave %s", short(e.text))
			}
		}
	}
	if p.Step < 0 {
		r.fail("a note on the step %s", short(n.get("step")))
		p.Step = 0
	} else if !octave {
		r.fail("a note without an octave")
	}
	if len(r.transpose) > 0 || len(r.transpositions) > 0 {
		p = r.transposed(w.Staff, w.Onset-r.start).apply(p)
	}
	return p
}

// readAccidental compares the sign that is printed with the pitch. Where the
// pitch has no alteration at all, the sign is what a player reads.
func (r *partReader) readAccidental(n, pitch *node, w *tiedNote) {
	sign, ok := accidentalAlter(trim(n.text))
	if !ok || pitch == nil {
		return
	}
	written, _ := number(pitch.get("alter"))
	switch {
	case written == sign:
	case pitch.get("alter") == "":
		w.Pitch.Alter += sign
		r.warn("a %s is printed that the pitch does not have; it was read as %s", trim(n.text), w.Pitch)
	default:
		r.warn("a %s is printed before a note altered by %s; it was read as %s", trim(n.text), formatAlter(written), w.Pitch)
	}
}

// accidentalAlter is what a plain accidental does to a pitch.
func accidentalAlter(name string) (float64, bool) {
	switch name {
	case "sharp", "natural-sharp":
		return 1, true
	case "flat", "natural-flat":
		return -1, true
	case "natural":
		return 0, true
	case "double-sharp", "sharp-sharp":
		return 2, true
	case "flat-flat":
		return -2, true
	}
	return 0, false
}

// alter reads an alteration in half tones.
func (r *partReader) alter(s string) float64 {
	if trim(s) == "" {
		r.warn("an empty alteration was read as none")
		return 0
	}
	a, ok := number(s)
	if !ok || a < -12 || a > 12 {
		r.fail("an alteration of %s half tones", short(s))
		return 0
	}
	return a
}

func (r *partReader) readNotations(n *node, w *tiedNote) {
	for e := n.child; e != nil; e = e.next {
		switch e.name {
		case "tied":
			w.tiedStart = w.tiedStart || e.attr("type") == "start" || e.attr("type") == "continue"
			w.tiedStop = w.tiedStop || e.attr("type") == "stop" || e.attr("type") == "continue"
		case "slur":
			p := place{at: w.Onset, written: w.Onset, staff: w.Staff}
			r.slurs = r.addSpan(r.slurs, e, p, spanMark{voice: w.Voice, until: w.End()})
		case "articulations", "ornaments", "technical":
			for c := e.child; c != nil; c = c.next {
				w.Signs |= sign(c.name)
			}
		case "fermata":
			w.Signs |= score.FermataSign
			r.addFermata(w.Onset, w.Staff)
		case "arpeggiate":
			w.Signs |= score.Arpeggio
		case "dynamics":
			p := place{at: w.Onset, written: w.Onset, staff: w.Staff}
			r.readDynamics(e, p, score.Dynamic{Voice: w.Voice, OnNote: true, Hidden: w.Hidden})
		}
	}
}

// sign is what an element within articulations, ornaments or technical does to
// the sound of its note; 0 if nothing that score knows.
func sign(name string) score.Sign {
	switch name {
	case "accent":
		return score.Accent
	case "strong-accent":
		return score.StrongAccent
	case "soft-accent":
		return score.SoftAccent
	case "staccato":
		return score.Staccato
	case "staccatissimo", "spiccato":
		return score.Staccatissimo
	case "tenuto":
		return score.Tenuto
	case "detached-legato":
		return score.DetachedLegato
	case "stress":
		return score.Stress
	case "unstress":
		return score.Unstress
	case "tremolo":
		return score.Tremolo
	case "trill-mark", "schleifer":
		return score.Trill
	case "turn", "delayed-turn", "inverted-turn", "delayed-inverted-turn", "vertical-turn", "inverted-vertical-turn", "haydn":
		return score.Trill | score.Turn
	case "mordent": // in MusicXML the sign with the stroke, played downward
		return score.Trill | score.Mordent
	case "inverted-mordent", "shake":
		return score.Trill | score.Shake
	case "stopped", "snap-pizzicato", "half-muted", "harmon-mute":
		return score.Stopped
	case "harmonic":
		return score.Harmonic
	}
	return 0
}

func (r *partReader) addFermata(at score.Tick, staff int) {
	r.s.Fermatas = append(r.s.Fermatas, score.Fermata{Place: score.Place{At: at, Part: r.part, Staff: staff}})
}
