package report

import (
	"fmt"
	"sort"

	"hairpin/dynamics"
	"hairpin/harmony"
	"hairpin/score"
)

// verdicts draws a line over each stretch with a verdict, and writes a few
// words at its start. Stretches that overlap a more important one are left
// out, so that one line suffices. The pattern of the line repeats the verdict.
func (a *annotator) verdicts() {
	number := a.onto.FreeNumber(a.top.part, "bracket")
	for _, v := range a.chosenVerdicts() {
		start, end := max(v.Start, a.r.from), min(v.End, a.r.to)
		words := wordsXML(a.verdictText(v), "italic")
		if number == 0 || v.Aspect != dynamics.OverSpan {
			a.put(a.top, start, false, directionXML("above", words))
			continue
		}
		line := fmt.Sprintf(`number="%d" line-type="%s" `, number, linePattern(v.Kind))
		a.put(a.top, start, false, directionXML("above", words, `<bracket type="start" `+line+`line-end="down"/>`))
		a.put(a.top, end, true, directionXML("above", fmt.Sprintf(`<bracket type="stop" number="%d" line-end="down"/>`, number)))
	}
}

// chosenVerdicts are the verdicts worth a line, in order of time: at most one
// at any moment, the more important of two.
func (a *annotator) chosenVerdicts() (list []dynamics.Verdict) {
	for _, v := range a.r.ranked() {
		span := v.Aspect == dynamics.OverSpan
		if !span && (!a.shown(v.Start) || v.Kind != dynamics.WorksAgainst && v.Aspect != dynamics.AtContrast) {
			continue
		}
		free := true
		for _, w := range list {
			free = free && !(v.Start < max(w.End, w.Start+1) && w.Start < max(v.End, v.Start+1))
		}
		if free {
			list = append(list, v)
		}
	}
	sort.SliceStable(list, func(i, j int) bool { return list[i].Start < list[j].Start })
	return list
}

func linePattern(k dynamics.Kind) string {
	switch k {
	case dynamics.WorksAgainst:
		return "dashed"
	case dynamics.Unshaped, dynamics.Independent:
		return "dotted"
	}
	return "solid"
}

// verdictText is the verdict in a few words; a question where it is unsure.
func (a *annotator) verdictText(v dynamics.Verdict) string {
	text := studentWords(v)
	if a.opt.Shorthand {
		text = playerSigns(v)
	}
	if v.Certainty == harmony.Unsure && text[len(text)-1] != '?' {
		text += "?"
	}
	return text
}

func studentWords(v dynamics.Verdict) string {
	if v.Aspect == dynamics.AtContrast && v.Kind != dynamics.WorksAgainst {
		return "a contrast: let it be heard"
	}
	switch v.Kind {
	case dynamics.Supports:
		if v.Tension > 0 {
			return "harmony builds, the page grows with it"
		}
		return "harmony releases, the page eases with it"
	case dynamics.WorksAgainst:
		switch v.Aspect {
		case dynamics.AtAccent:
			return "accent on the release: intended?"
		case dynamics.AtTaper:
			return "phrase end stays loud: intended?"
		}
		return "page against harmony: contrast intended?"
	case dynamics.Unshaped:
		if v.Tension > 0 {
			return "harmony builds, the page is silent"
		}
		return "harmony releases, the page is silent"
	case dynamics.Independent:
		return "the page moves, harmony is still"
	}
	return "calm"
}

func playerSigns(v dynamics.Verdict) string {
	arrow := "↘"
	if v.Tension > 0 {
		arrow = "↗"
	}
	if v.Aspect == dynamics.AtContrast && v.Kind != dynamics.WorksAgainst {
		return "contrast"
	}
	switch v.Kind {
	case dynamics.Supports:
		return arrow + " with"
	case dynamics.WorksAgainst:
		return arrow + " against?"
	case dynamics.Unshaped:
		return arrow + " open"
	}
	return "page only"
}

// proposedPin is a hairpin that the page does not print.
type proposedPin struct {
	start, end score.Tick
	kind       score.HairpinKind
}

// shaping draws proposed hairpins dashed, as editors show what is not the
// composer's.
func (a *annotator) shaping() {
	number := a.onto.FreeNumber(a.marked.part, "wedge")
	if number == 0 {
		return
	}
	for _, p := range a.r.proposedPins(a.marked) {
		kind := "crescendo"
		if p.kind == score.Diminuendo {
			kind = "diminuendo"
		}
		a.put(a.marked, p.start, false, directionXML("below", fmt.Sprintf(`<wedge type="%s" number="%d" line-type="dashed"/>`, kind, number)))
		a.put(a.marked, p.end, true, directionXML("below", fmt.Sprintf(`<wedge type="stop" number="%d"/>`, number)))
	}
}

// proposedPins are hairpins where the harmony moves and the page is silent.
func (r *Reading) proposedPins(d desk) (list []proposedPin) {
	for _, v := range r.Verdicts {
		if v.Aspect != dynamics.OverSpan || v.Kind != dynamics.Unshaped || v.Certainty == harmony.Unsure || !r.shows(v.Start, v.End) {
			continue
		}
		p := proposedPin{max(v.Start, r.from), min(v.End, r.to), score.Crescendo}
		if v.Tension < 0 {
			p.kind = score.Diminuendo
		}
		list = append(list, p)
	}
	return list
}
