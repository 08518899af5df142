package report

import (
	"hairpin/dynamics/page"
	"hairpin/dynamics/verdict"
	"hairpin/harmony/tonal"
)

// doubtText says why a verdict is less than sure; "" if it is sure.
func doubtText(g verdict.Ground) string {
	switch {
	case g.Reason == verdict.NoChord:
		return "no chord sounds at an end of it"
	case g.Reason == verdict.OtherChord && g.Chord.Rival != "":
		return g.Chord.Name() + " may be " + g.Chord.Rival
	case g.Reason == verdict.OtherChord:
		return g.Chord.Name() + " may be another chord"
	case g.Reason == verdict.OtherHearing:
		return "the harmony may also be heard to " + heardTo(g.Deed)
	case g.Reason == verdict.FreePeak:
		return "the peak of a swell is the player's choice"
	case g.Reason == verdict.Terraces:
		return "a sudden change is neither growth nor decline"
	case g.Certainty < tonal.Sure:
		return moveDoubt(g.Page)
	}
	return ""
}

// heardTo names what the harmony does after "to".
func heardTo(d verdict.Deed) string {
	switch d {
	case verdict.Builds:
		return "build"
	case verdict.Releases:
		return "release"
	case verdict.Waits:
		return "wait"
	}
	return "hold"
}

// moveDoubt says why a movement of the page is less than sure.
func moveDoubt(d page.Doubt) string {
	switch d {
	case page.Turning:
		return "it also turns on the way"
	case page.ManyTurns:
		return "it turns more than once"
	case page.Brief:
		return "the slope is under way in a small part of it"
	case page.Beside:
		return "a sudden change stands beside the slope"
	case page.SuddenMoves:
		return "a sudden change is neither growth nor decline"
	}
	return ""
}
