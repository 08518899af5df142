package midi

import "strings"

// instruments finds a General MIDI program, counted from 0, and a kind of tone
// by words in a part's name. Longer names stand before those they contain.
var instruments = [...]struct {
	word    string
	program int
	holds   bool
}{
	{"vibra", 11, false}, {"marimba", 12, false}, {"xylo", 13, false}, {"glocken", 9, false}, {"celesta", 8, false},
	{"harpsi", 6, false}, {"cembalo", 6, false}, {"clavichord", 7, false}, {"piano", 0, false}, {"klavier", 0, false},
	{"organ", 19, true}, {"orgel", 19, true}, {"harp", 46, false}, {"harfe", 46, false}, {"guitar", 24, false}, {"gitarre", 24, false},
	{"timpani", 47, false}, {"pauken", 47, false},
	{"contrabassoon", 70, true}, {"bassoon", 70, true}, {"fagott", 70, true}, {"clarinet", 71, true}, {"klarinette", 71, true},
	{"english horn", 69, true}, {"oboe", 68, true}, {"piccolo", 72, true}, {"flute", 73, true}, {"flöte", 73, true}, {"flauto", 73, true},
	{"recorder", 74, true}, {"saxophone", 65, true}, {"sax", 65, true},
	{"trumpet", 56, true}, {"trompete", 56, true}, {"tromba", 56, true}, {"trombone", 57, true}, {"posaune", 57, true},
	{"tuba", 58, true}, {"horn", 60, true}, {"corno", 60, true},
	{"contrabass", 43, true}, {"double bass", 43, true}, {"kontrabass", 43, true}, {"violoncello", 42, true}, {"cello", 42, true},
	{"viola", 41, true}, {"bratsche", 41, true}, {"violin", 40, true}, {"violon", 40, true}, {"geige", 40, true}, {"string", 48, true},
	{"soprano", 52, true}, {"sopran", 52, true}, {"alto", 52, true}, {"alt", 52, true}, {"tenor", 52, true}, {"baritone", 52, true},
	{"bass", 52, true}, {"voice", 52, true}, {"vocal", 52, true}, {"choir", 52, true}, {"chor", 52, true}, {"gesang", 52, true}, {"singst", 52, true}, {"canto", 52, true},
}

// instrument is the program for a part's name and whether its tone holds; a
// piano for names that say nothing.
func instrument(name string) (program int, holds bool) {
	name = strings.ToLower(name)
	for _, x := range instruments {
		if strings.Contains(name, x.word) {
			return x.program, x.holds
		}
	}
	return 0, false
}
