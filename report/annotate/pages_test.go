package annotate

import (
	"regexp"
	"strings"
	"testing"
)

// Proposals are told from the composer's marks by more than dashes: every proposed
// hairpin says (ed.), and none stands without.
func TestProposedHairpinsSayWhoseTheyAre(t *testing.T) {
	r := toAnnotate(t, "quartet-below-the-weir", "")
	text := string(annotated(t, r, r.File, Annotation{Layers: []Layer{ShapingLayer}}).Document())
	dashed, told := strings.Count(text, `line-type="dashed"/>`), strings.Count(text, "(ed.)")
	if dashed == 0 || dashed != told {
		t.Errorf("%d proposed hairpins, %d say (ed.)", dashed, told)
	}
}

// The student's page asks one question a phrase and prints no numerals.
func TestPages(t *testing.T) {
	r := toAnnotate(t, "etude-millrace", "")
	f := annotated(t, r, r.File, Annotation{Layers: StudentPage.Layers()})
	questions := regexp.MustCompile(`<words[^>]*>[^<]*\?</words>`).FindAllString(string(f.Document()), -1)
	if len(questions) != len(r.Harmony.Phrases) {
		t.Errorf("%d questions for %d phrases", len(questions), len(r.Harmony.Phrases))
	}
	if got := strings.Join(f.Layers(), " "); strings.Contains(got, "numerals") {
		t.Errorf("layers %s on the student's page", got)
	}
	if got := Page("parent").Layers(); got != nil {
		t.Errorf("a page that does not exist has layers %v", got)
	}
}

// Labels stand over the part that plays, not over a singer's staff.
func TestLabelsStandOverThePlayer(t *testing.T) {
	r := toAnnotate(t, "song-ferry-lamp", "")
	f := annotated(t, r, r.File, Annotation{Layers: []Layer{VerdictLayer}})
	ours := 0
	for _, w := range f.Score.Words {
		if w.Part == 0 {
			ours++
		}
	}
	for _, w := range r.Score.Words {
		if w.Part == 0 {
			ours--
		}
	}
	if ours != 0 {
		t.Errorf("%d labels over the voice", ours)
	}
}
