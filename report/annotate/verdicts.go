package annotate

import (
	"fmt"
	"math"
	"sort"

	"hairpin/dynamics/advice"
	"hairpin/dynamics/verdict"
	"hairpin/harmony/tonal"
	"hairpin/score"
)

// verdicts draws a line over each stretch with a verdict, and writes a few
// words at its start. Stretches that overlap a more important one are left
// out, so that one line suffices. The pattern of the line repeats the verdict.
func (a *annotator) verdicts() {
	number := a.onto.FreeNumber(a.top.part, "bracket")
	list := a.chosenVerdicts()
	for i, v := range list {
		start, end := max(v.Start, a.r.From), min(v.End, a.r.To)
		room := math.Inf(1)
		if i+1 < len(list) {
			room = a.x(max(list[i+1].Start, start)) - a.x(start)
		}
		a.put(a.top, start, false, directionXML("above", wordsXML(a.verdictText(v, a.asked(v), room), "italic")))
		if number == 0 || v.Aspect != verdict.OverSpan {
			continue
		}
		line := fmt.Sprintf(`number="%d" line-type="%s" `, number, linePattern(v.Kind))
		a.put(a.top, start, false, directionXML("above", `<bracket type="start" `+line+`line-end="down"/>`))
		a.put(a.top, end, true, directionXML("above", fmt.Sprintf(`<bracket type="stop" number="%d" line-end="down"/>`, number)))
	}
}

// chosenVerdicts are the verdicts worth a line, in order of time: at most one
// at any moment, the more important of two.
func (a *annotator) chosenVerdicts() (list []verdict.Verdict) {
	for _, v := range a.r.Ranked() {
		span := v.Aspect == verdict.OverSpan
		if !span && (!a.shown(v.Start) || v.Kind != verdict.WorksAgainst && v.Aspect != verdict.AtContrast) {
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

func linePattern(k verdict.Kind) string {
	switch k {
	case verdict.WorksAgainst:
		return "dashed"
	case verdict.Unshaped, verdict.Independent:
		return "dotted"
	}
	return "solid"
}

// ask is what the proposal does over a stretch; its zero value asks for nothing.
type ask struct {
	way   verdict.Way
	cause advice.Cause
}

// asked is what the phrases' proposals ask for over a stretch: the hairpins that
// are drawn are the same. Nothing is asked for against a printed hairpin.
func (a *annotator) asked(v verdict.Verdict) ask {
	h := a.r.Plan.Asks(v.Start, v.End-verdict.Tolerance(a.r.Score, v.Start))
	if h == nil {
		return ask{}
	}
	out, against := ask{verdict.Down, h.Cause}, score.Crescendo
	if h.Grows() {
		out.way, against = verdict.Up, score.Diminuendo
	}
	for _, x := range a.r.Score.Hairpins {
		if x.Kind == against && x.Start < v.End && x.End > v.Start {
			return ask{}
		}
	}
	return out
}

// verdictText is the verdict in a few words, in one where the next verdict
// leaves no room for more, in signs for players; a question where it is unsure.
// What it asks for is what the proposal draws.
func (a *annotator) verdictText(v verdict.Verdict, to ask, room float64) string {
	full, short := studentWords(v, to), studentWord(v, to)
	if a.opt.Shorthand {
		full, short = playerSigns(v, to), playerSigns(v, to)
	}
	text := questioned(full, v)
	if textWidth(text)+gapWords > room {
		text = questioned(short, v)
	}
	return text
}

func questioned(text string, v verdict.Verdict) string {
	if v.Certainty == tonal.Unsure && text[len(text)-1] != '?' {
		return text + "?"
	}
	return text
}

func studentWords(v verdict.Verdict, to ask) string {
	up := v.Tension > 0
	switch {
	case v.Aspect == verdict.AtContrast && v.Kind != verdict.WorksAgainst:
		return "a contrast: let it be heard"
	case v.Kind == verdict.Supports && up:
		return "grows with the harmony"
	case v.Kind == verdict.Supports:
		return "eases with the harmony"
	case v.Kind == verdict.WorksAgainst && v.Aspect == verdict.AtAccent:
		return "accent on the release: intended?"
	case v.Kind == verdict.WorksAgainst && v.Aspect == verdict.AtTaper:
		return "phrase end stays loud: intended?"
	case v.Kind == verdict.WorksAgainst:
		return "against the harmony: intended?"
	case v.Kind == verdict.Unshaped:
		return harmonyWords(up) + to.words(up)
	}
	return "harmony is still here"
}

// harmonyWords say what the harmony does where the page is silent.
func harmonyWords(up bool) string {
	if up {
		return "harmony builds"
	}
	return "harmony releases"
}

// words are what is asked where the harmony goes up or down, "" for nothing; with
// the reason where it goes the other way.
func (k ask) words(up bool) string {
	switch {
	case k.way == verdict.Still:
		return ""
	case (k.way == verdict.Up) == up:
		return ": " + k.word()
	}
	return ", yet " + k.word() + " (" + string(k.cause) + ")"
}

func (k ask) word() string {
	switch k.way {
	case verdict.Up:
		return "grow?"
	case verdict.Down:
		return "ease?"
	}
	return "open"
}

// studentWord is the same in one word.
func studentWord(v verdict.Verdict, to ask) string {
	switch {
	case v.Aspect == verdict.AtContrast && v.Kind != verdict.WorksAgainst:
		return "contrast"
	case v.Kind == verdict.Supports:
		return "together"
	case v.Kind == verdict.WorksAgainst:
		return "against?"
	case v.Kind == verdict.Unshaped:
		return to.word()
	}
	return "still"
}

func playerSigns(v verdict.Verdict, to ask) string {
	arrow := "↘"
	if v.Tension > 0 {
		arrow = "↗"
	}
	switch {
	case v.Aspect == verdict.AtContrast && v.Kind != verdict.WorksAgainst:
		return "contrast"
	case v.Kind == verdict.Supports:
		return arrow + " with"
	case v.Kind == verdict.WorksAgainst:
		return arrow + " against?"
	case v.Kind == verdict.Unshaped && to.way != verdict.Still && (to.way == verdict.Up) != (v.Tension > 0):
		return "open" // the proposal goes the other way: no arrow against it
	case v.Kind == verdict.Unshaped:
		return arrow + " open"
	}
	return "page only"
}
