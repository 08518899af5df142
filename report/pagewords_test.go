package report

import (
	"testing"

	"hairpin/dynamics/page"
)

// What the page says of a level, in words; no kind of cause is left without.
func TestPageWords(t *testing.T) {
	for want, c := range map[string]page.Cause{
		"unmarked":                   {Kind: page.Unmarked},
		"p":                          {Kind: page.Print, Text: "p"},
		"cresc. to f":                {Kind: page.ToMark, Text: "cresc.", Mark: "f"},
		"dim. to nothing":            {Kind: page.ToNothing, Text: "dim."},
		"cresc. to about mf":         {Kind: page.About, Text: "cresc.", Mark: "mf"},
		"cresc. to more than ff":     {Kind: page.MoreThan, Text: "cresc.", Mark: "ff"},
		"dim. to less than pp":       {Kind: page.LessThan, Text: "dim.", Mark: "pp"},
		"diminuendo back to p":       {Kind: page.BackTo, Text: "diminuendo", Mark: "p"},
		"after cresc.":               {Kind: page.After, Text: "cresc."},
		"back to the running level":  {Kind: page.Homeward},
		"as Oboe":                    {Kind: page.AsPart, Text: "Oboe"},
		"as in measure 4":            {Kind: page.AsMeasure, Text: "4"},
		"as before the first ending": {Kind: page.AsEnding},
		"cresc. to a little more than f, then f again": {Kind: page.LittleMore, Text: "cresc.", Mark: "f"},
		"cresc. to about mp, then p at once":           {Kind: page.About, Text: "cresc.", Mark: "mp", Then: "p"},
	} {
		if got := pageText(c, ""); got != want {
			t.Errorf("%v is %q, want %q", c, got, want)
		}
	}
	if got := pageText(page.Cause{Kind: page.Print, Text: "p"}, "sf"); got != "p, sf" {
		t.Errorf("with its stress: %q", got)
	}
}
