package scoregen

import "hairpin/score"

// place is a moment of a stretch, on a beat, in a part.
func (w *medley) place(from, to score.Tick) score.Place {
	n := max(int((to-from)/w.beat()), 1)
	p := score.Place{At: from + score.Tick(w.rnd.IntN(n))*w.beat(), Part: w.rnd.IntN(len(w.s.Parts))}
	if w.s.Parts[p.Part].Staves > 1 && w.chance(50) {
		p.Staff = 1 + w.rnd.IntN(2)
	}
	return p
}

// marks prints levels, words and slopes over a phrase.
func (w *medley) marks(from, to score.Tick, measures int) {
	first := score.Place{At: from}
	if w.chance(70) {
		w.dynamic(first, w.one("pp", "p", "mp", "mf", "f", "ff"))
	}
	for range measures / 2 {
		switch w.rnd.IntN(4) {
		case 0:
			w.dynamic(w.place(from, to), w.one("p", "mf", "f", "ff", "sf", "sfz", "fp", "rfz", "pp", "n", "sfp", "ppp", "fff", "sfpp", "fz", "mp", "pf", "sffz", "rf", "pppp", "ffff", "mfp"))
		case 1, 2:
			w.hairpin(from, to)
		default:
			w.words(from, to)
		}
	}
	if w.chance(40) {
		p := w.place(from, to)
		w.s.Slurs = append(w.s.Slurs, score.Slur{Span: score.Span{Start: p.At, End: min(p.At+3*w.beat(), to), Part: p.Part, Staff: 1}, Voice: 1})
	}
}

func (w *medley) dynamic(p score.Place, mark string) {
	w.s.Dynamics = append(w.s.Dynamics, score.Dynamic{Place: p, Written: p.At, Mark: mark, OnNote: w.chance(20)})
}

func (w *medley) hairpin(from, to score.Tick) {
	p := w.place(from, to)
	end := min(p.At+w.beat()*score.Tick(1+w.rnd.IntN(6)), to)
	w.s.Hairpins = append(w.s.Hairpins, score.Hairpin{Span: score.Span{Start: p.At, End: end, Part: p.Part, Staff: p.Staff},
		WrittenStart: p.At, WrittenEnd: end, Kind: score.HairpinKind(w.rnd.IntN(2)), Niente: w.chance(15), Open: w.chance(10)})
	if w.chance(40) && end < to {
		w.dynamic(score.Place{At: end, Part: p.Part, Staff: p.Staff}, w.one("p", "mf", "f", "ff", "pp"))
	}
}

func (w *medley) words(from, to score.Tick) {
	p := w.place(from, to)
	text := w.one(terms()...)
	w.s.Words = append(w.s.Words, score.Words{Place: p, Written: p.At, Text: text})
	if w.chance(40) {
		w.s.Dashes = append(w.s.Dashes, score.Dashes{Span: score.Span{Start: p.At, End: min(p.At+4*w.beat(), to), Part: p.Part, Staff: p.Staff}, WrittenStart: p.At, WrittenEnd: min(p.At+4*w.beat(), to)})
	}
}

// terms are words about loudness, movement and manner.
func terms() []string {
	return []string{"cresc.", "dim.", "cresc. poco a poco", "dim. al niente", "dolce", "più f", "subito p", "p sub.", "meno f", "sempre pp", "morendo", "sotto voce",
		"poco cresc.", "molto cresc.", "decresc. e rit.", "rit.", "a tempo", "p cresc.", "echo", "non cresc.", "più p", "cresc. al ff", "mf-p", "calando", "mezza voce",
		"con forza", "immer leiser", "allmählich lauter", "2nd time p", "quasi f", "marcato", "Allegro", "pizz.", "tutta forza", "p dolce", "cresc. molto", "smorz.", "f possibile",
		"sempre cresc.", "sempre dim.", "cresc. sempre", "sempre f", "poco f", "mp sempre", "sempre più f", "sempre più p", "sempre p e legato", "rinf.", "sforzando", "subito f", "ff subito",
		"perdendosi", "diluendo", "a poco a poco dim.", "cresc. e accel.", "rallentando", "accel.", "Tempo I", "ritenuto", "meno mosso", "più mosso", "arco", "una corda", "tre corde",
		"con sordino", "senza sord.", "solo", "tutti", "cantabile", "leggiero", "ben marcato", "pesante", "sehr leise", "laut", "plus fort", "en dehors", "doux", "augmentez", "softly", "loud",
		"getting louder", "as soft as possible", "poco a poco più f", "dim. molto", "poco dim.", "dim. al pp", "cresc. fino al f", "f ma dolce", "p ma marcato", "mp, cresc.", "1st time f, 2nd time p",
		"espressivo", "with force", "dying away", "Coda", "attacca", "stringendo", "più f e più f", "crescendo", "diminuendo", "cre", "scen", "do", "p (echo)", "[f]", "f–p", "molto", "poco rf"}
}

// signs prints what stands over the measures of a phrase: repeats, tempo, holds,
// chord symbols, words that are sung.
func (w *medley) signs(from score.Tick, first int) {
	last := len(w.s.Measures) - 1
	if w.chance(25) {
		w.s.Repeats = append(w.s.Repeats, score.Repeat{At: from, Measure: first, Forward: true}, score.Repeat{At: w.end(), Measure: last, Times: 2})
		if w.chance(50) && last > first {
			m := w.s.Measures[last]
			w.s.Endings = append(w.s.Endings, score.Ending{Start: m.Start, End: m.End(), First: last, Last: last, Numbers: []int{1}})
		}
	}
	if w.chance(30) {
		w.s.DoubleBar = append(w.s.DoubleBar, w.end())
	}
	if w.chance(30) {
		w.s.Tempos = append(w.s.Tempos, score.Tempo{At: from, PerMin: float64(50 + w.rnd.IntN(100)), Printed: w.chance(70)})
	}
	if w.chance(30) {
		w.s.Fermatas = append(w.s.Fermatas, score.Fermata{Place: score.Place{At: w.s.Measures[last].Start, Staff: 1}})
	}
	if w.chance(30) {
		at := w.s.Measures[last].Start
		w.s.Symbols = append(w.s.Symbols, score.ChordSymbol{Place: score.Place{At: at, Staff: 1}, Root: w.tonic.String(), WrittenRoot: w.tonic.String(),
			Kind: w.one("major", "minor", "dominant", "diminished-seventh"), Inversion: -1})
	}
}
