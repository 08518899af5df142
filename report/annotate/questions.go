package annotate

import (
	"hairpin/dynamics/verdict"
	"hairpin/harmony/phrasing"
)

// questions asks one question a phrase, at its start: about the most important
// verdict in it, or about where it goes.
func (a *annotator) questions() {
	for _, ph := range a.r.Harmony.Phrases {
		if a.shown(ph.Start) {
			a.put(a.top, ph.Start, false, directionXML("above", wordsXML(a.question(ph), "italic")))
		}
	}
}

func (a *annotator) question(ph phrasing.Phrase) string {
	for _, v := range a.r.Ranked() {
		if v.Start < ph.Start || v.Start >= ph.End {
			continue
		}
		switch {
		case v.Kind == verdict.WorksAgainst:
			return "Is the contrast meant?"
		case v.Aspect == verdict.AtContrast:
			return "Is the contrast heard?"
		case v.Kind == verdict.Unshaped && v.Tension > 0:
			return "Does it grow here?"
		case v.Kind == verdict.Unshaped:
			return "Does it ease here?"
		case v.Kind == verdict.Supports:
			return "Where is its highest point?"
		}
	}
	return "Where does it lead?"
}
