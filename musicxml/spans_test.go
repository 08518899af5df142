package musicxml

import (
	"strings"
	"testing"
)

// Hairpins as exporters write them, all with the same number. n is a quarter,
// b goes back by two quarters, < > | are starts and stops.
func TestPairing(t *testing.T) {
	tests := []struct{ name, doc, want, warned string }{
		{"one after the other", "<n|>n|", "1-2 < staff 1, 2-3 > staff 1", ""},
		{"stop and start at one moment, the wrong way round", "<n>|n|", "1-2 < staff 1, 2-3 > staff 1", ""},
		{"stop before its start in the document", "nn|b<nn", "1-3 < staff 1", ""},
		{"two that overlap, the second behind its stop", "<n|n|b>nn", "1-2 < staff 1, 1-3 > staff 1", ""},
		{"a stray stop", "|<n>n|nn<n|", "2-3 > staff 1, 5-6 < staff 1, 1-2 < staff 1 open", "a hairpin never stops"},
		{"never stopped", "n<nn", "2-4 < staff 1 open", "a hairpin never stops"},
		{"never started", "nn|n", "", "a hairpin stops that never started"},
	}
	elements := strings.NewReplacer(
		"n", strings.Replace(plainNote, "<duration>1", "<duration>2", 1),
		"b", "<backup><duration>4</duration></backup>",
		"<", `<direction><direction-type><wedge type="crescendo"/></direction-type></direction>`,
		">", `<direction><direction-type><wedge type="diminuendo"/></direction-type></direction>`,
		"|", `<direction><direction-type><wedge type="stop"/></direction-type></direction>`,
	)
	for _, tt := range tests {
		lead := strings.Replace(plainNote, "<duration>1", "<duration>2", 1) // so that nothing stands at 0
		s := mustRead(t, inMeasure(lead+elements.Replace(tt.doc))).Score
		got := strings.Split(describe(s, "hairpins"), ", ")
		for _, w := range strings.Split(tt.want, ", ") {
			if !strings.Contains(strings.Join(got, ", "), w) {
				t.Errorf("%s: got %v, want %s", tt.name, got, tt.want)
			}
		}
		if warned := describe(s, "warnings"); tt.warned != "" && !strings.Contains(warned, tt.warned) || tt.warned == "" && strings.Contains(warned, "hairpin") {
			t.Errorf("%s: warnings %s", tt.name, warned)
		}
	}
}
