package report

import (
	"math"
	"sort"

	"hairpin/dynamics"
	"hairpin/harmony"
)

// verdicts draws a line over each stretch with a verdict, and writes a few
// words at its start. Stretches that overlap a more important one are left
// out, so that one line suffices. The pattern of the line repeats the verdict.
func (a *annotator) verdicts() {
	numbered := len(a.onto.FreeNumbers(a.top.part, "bracket")) > 0
	list := a.chosenVerdicts()
	for i, v := range list {
		start, end := max(v.Start, a.r.from), min(v.End, a.r.to)
		room := math.Inf(1)
		if i+1 < len(list) {
			room = a.x(max(list[i+1].Start, start)) - a.x(start)
		}
		a.put(a.top, start, false, directionXML("above", wordsXML(a.verdictText(v, room), "italic")))
		if !numbered || v.Aspect != dynamics.OverSpan {
			continue
		}
		a.line(a.top, start, end, "bracket",
			directionXML("above", `<bracket type="start" line-type="`+linePattern(v.Kind)+`" line-end="down"/>`),
			directionXML("above", `<bracket type="stop" line-end="down"/>`))
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

// verdictText is the verdict in a few words, in one where the next verdict
// leaves no room for more, in signs for players; a question where it is unsure.
func (a *annotator) verdictText(v dynamics.Verdict, room float64) string {
	full, short := studentWords(v), studentWord(v)
	if a.opt.Shorthand {
		full, short = playerSigns(v), playerSigns(v)
	}
	text := questioned(full, v)
	if textWidth(text)+gapWords > room {
		text = questioned(short, v)
	}
	return text
}

func questioned(text string, v dynamics.Verdict) string {
	if v.Certainty == harmony.Unsure && text[len(text)-1] != '?' {
		return text + "?"
	}
	return text
}

func studentWords(v dynamics.Verdict) string {
	up := v.Tension > 0
	switch {
	case v.Aspect == dynamics.AtContrast && v.Kind != dynamics.WorksAgainst:
		return "a contrast: let it be heard"
	case v.Kind == dynamics.Supports && up:
		return "grows with the harmony"
	case v.Kind == dynamics.Supports:
		return "eases with the harmony"
	case v.Kind == dynamics.WorksAgainst && v.Aspect == dynamics.AtAccent:
		return "accent on the release: intended?"
	case v.Kind == dynamics.WorksAgainst && v.Aspect == dynamics.AtTaper:
		return "phrase end stays loud: intended?"
	case v.Kind == dynamics.WorksAgainst:
		return "against the harmony: intended?"
	case v.Kind == dynamics.Unshaped && up:
		return "harmony builds: grow?"
	case v.Kind == dynamics.Unshaped:
		return "harmony releases: ease?"
	}
	return "harmony is still here"
}

// studentWord is the same in one word.
func studentWord(v dynamics.Verdict) string {
	switch {
	case v.Aspect == dynamics.AtContrast && v.Kind != dynamics.WorksAgainst:
		return "contrast"
	case v.Kind == dynamics.Supports:
		return "together"
	case v.Kind == dynamics.WorksAgainst:
		return "against?"
	case v.Kind == dynamics.Unshaped && v.Tension > 0:
		return "grow?"
	case v.Kind == dynamics.Unshaped:
		return "ease?"
	}
	return "still"
}

func playerSigns(v dynamics.Verdict) string {
	arrow := "↘"
	if v.Tension > 0 {
		arrow = "↗"
	}
	switch {
	case v.Aspect == dynamics.AtContrast && v.Kind != dynamics.WorksAgainst:
		return "contrast"
	case v.Kind == dynamics.Supports:
		return arrow + " with"
	case v.Kind == dynamics.WorksAgainst:
		return arrow + " against?"
	case v.Kind == dynamics.Unshaped:
		return arrow + " open"
	}
	return "page only"
}
