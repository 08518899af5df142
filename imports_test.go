// The line of rooms, as a test: which package of this module may import which.
package hairpin_test

import (
	"go/parser"
	"go/token"
	"io/fs"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// rooms says what each room may import of this module; reading order is import
// order. A folder belongs to the longest room that contains it.
var rooms = map[string][]string{
	"score":                {},
	"musicxml":             {"score"},
	"internal/midi":        {"score"},
	"internal/engrave":     {"score"},
	"harmony/decode":       {},
	"harmony/tonal":        {"score"},
	"harmony/hearing":      {"score", "harmony/decode", "harmony/tonal"},
	"harmony/stated":       {"score", "harmony/tonal"}, // chords that the page or the musician states
	"harmony/tension":      {"score", "harmony/tonal"},
	"harmony/form":         {"score"},
	"harmony/longline":     {"score"},
	"harmony/phrasing":     {"score", "harmony/tonal", "harmony/form"},
	"harmony/reduction":    {"score", "harmony/tonal", "harmony/phrasing"},
	"harmony":              {"score", "harmony/decode", "harmony/tonal", "harmony/hearing", "harmony/stated", "harmony/tension", "harmony/phrasing", "harmony/form", "harmony/longline"},
	"harmony/events":       {"score", "harmony", "harmony/tonal", "harmony/phrasing", "harmony/tension"}, // what a teacher would point at
	"harmony/written":      {"score", "harmony/tonal"},                                                   // chords and progressions for the tests of harmony; not in the program
	"dynamics/page":        {"score", "harmony/tonal", "harmony/phrasing"},
	"dynamics/verdict":     {"score", "harmony", "harmony/tonal", "harmony/tension", "harmony/phrasing", "dynamics/page"},
	"dynamics/shaping":     {"score", "harmony", "harmony/tonal", "dynamics/page"},
	"dynamics/advice":      {"score", "harmony", "harmony/tonal", "harmony/phrasing", "harmony/form", "dynamics/page", "dynamics/shaping"},
	"dynamics":             {"score", "harmony", "dynamics/page", "dynamics/verdict", "dynamics/shaping", "dynamics/advice"},
	"dynamics/written":     {"score"}, // small scores for the tests of dynamics; not in the program
	"report":               {"score", "musicxml", "internal/licences", "harmony", "harmony/events", "harmony/form", "harmony/tonal", "harmony/tension", "harmony/phrasing", "harmony/stated", "dynamics", "dynamics/page", "dynamics/verdict", "dynamics/shaping", "dynamics/advice"},
	"report/internal/demo": {"score", "musicxml", "harmony/stated", "tools/scoregen", "internal/golden"}, // scores for the tests of report; not in the program
	"report/annotate":      {"score", "musicxml", "harmony/tonal", "dynamics/page", "dynamics/verdict", "dynamics/advice", "report", "harmony/phrasing"},
	"report/practice":      {"score", "musicxml", "harmony/reduction", "dynamics/page", "report", "report/annotate"},
	"report/sound":         {"score", "internal/midi", "harmony/reduction", "dynamics/page", "report", "report/practice"},
	"report/html":          {"score", "musicxml", "internal/midi", "internal/engrave", "harmony/tonal", "dynamics/page", "dynamics/verdict", "report", "report/sound", "harmony/tension", "report/take"},
	"report/survey":        {"musicxml", "harmony", "harmony/tonal", "dynamics/verdict", "report"},
	"testdata":             {}, // the demo scores, for the page
	"web":                  {"musicxml", "internal/engrave", "harmony/tonal", "harmony/tension", "harmony/stated", "report", "report/annotate", "report/html", "report/practice", "report/sound", "testdata", "report/take", "performance", "performance/sound", "internal/midi"},
	"cmd/hairpin":          {"score", "musicxml", "harmony", "harmony/tonal", "harmony/tension", "harmony/stated", "report", "report/annotate", "report/html", "report/practice", "report/sound", "report/survey", "web", "report/take", "performance", "performance/sound"},
	"internal/licences":    {"internal/engrave"},
	// The tools are not in the program.
	"internal/golden": {},                                                                                                                                                                                                                                                              // compares with stored files; not in the program
	"tools/dist":      {"web"},                                                                                                                                                                                                                                                         // makes the packages
	"tools/mutate":    {},                                                                                                                                                                                                                                                              // sets faults for the tests to find
	"tools/scoregen":  {"score"},                                                                                                                                                                                                                                                       // large scores for tests and benchmarks
	"tools/fit":       {"score", "musicxml", "harmony", "harmony/decode", "harmony/hearing", "harmony/tonal", "harmony/tension", "harmony/phrasing", "harmony/events", "dynamics/page", "dynamics/shaping", "dynamics/advice", "dynamics/verdict", "performance", "performance/sound"}, // fit the stored tables
	// Takes: what was played.
	"performance/spectrum": {}, // samples alone
	"performance/sound":    {"performance/spectrum"},
	"performance/follow":   {"score", "performance/spectrum"},
	"performance":          {"score", "internal/midi", "performance/spectrum", "performance/sound", "performance/follow"},
	"report/take":          {"score", "harmony/tonal", "dynamics/page", "dynamics/verdict", "performance", "report"},
}

// doors says which room alone may import a third party.
var doors = map[string][]string{
	"github.com/beevik/etree":                    {"musicxml", "."}, // the module's own benchmarks take it as their measure
	"github.com/olekukonko/tablewriter":          {"report"},
	"github.com/go-music-theory/music-theory":    {"harmony", "harmony/stated", "harmony/tonal"}, // tonal's tests take it as an outside reference
	"github.com/tetratelabs/wazero":              {"internal/engrave"},
	"gitlab.com/gomidi/midi":                     {"internal/midi"},
	"github.com/mewkiz/flac":                     {"performance/sound"},
	"github.com/hajimehoshi/go-mp3":              {"performance/sound"},
	"github.com/jfreymuth/oggvorbis":             {"performance/sound"},
	"golang.org/x/term":                          {"cmd/hairpin"},
	"golang.org/x/text":                          {"musicxml"},
	"github.com/spf13":                           {"cmd/hairpin"},
	"gonum.org/v1/gonum":                         {"tools/fit"}, // linear algebra of the fits; not in the program
	"golang.org/x/sync/errgroup":                 {"tools/fit"},
	"github.com/rogpeppe/go-internal/testscript": {"cmd/hairpin", "musicxml"},
}

func TestImportsRunOneWay(t *testing.T) {
	err := filepath.WalkDir(".", func(file string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() && (strings.HasPrefix(d.Name(), ".") && d.Name() != "." || d.Name() == "node_modules") {
			return skip(err)
		}
		if strings.HasSuffix(file, ".go") {
			checkFile(t, filepath.ToSlash(file))
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
}

// skip passes an error on, or skips the folder.
func skip(err error) error {
	if err != nil {
		return err
	}
	return fs.SkipDir
}

func checkFile(t *testing.T, file string) {
	parsed, err := parser.ParseFile(token.NewFileSet(), file, nil, parser.ImportsOnly)
	if err != nil {
		t.Errorf("%s: %v", file, err)
		return
	}
	room := roomOf(path.Dir(file))
	for _, spec := range parsed.Imports {
		name := strings.Trim(spec.Path.Value, `"`)
		if inside, ok := strings.CutPrefix(name, "hairpin/"); ok {
			checkRoom(t, file, room, inside)
		} else if strings.Contains(strings.Split(name, "/")[0], ".") {
			checkDoor(t, file, room, name)
		}
	}
}

func checkRoom(t *testing.T, file, room, target string) {
	to := roomOf(target)
	if to == room || strings.HasSuffix(file, "_test.go") && path.Dir(file) == "." {
		return
	}
	allowed, known := rooms[room]
	if strings.HasSuffix(file, "_test.go") { // tests may also reach what their room stands on, and read scores to test it on
		allowed = append(below(room, nil), "musicxml", "score", "tools/scoregen", "harmony/written", "dynamics/written", "report/sound", "report/internal/demo", "internal/golden")
	}
	if !known {
		t.Errorf("%s lies in no room; add its folder to the table", file)
	} else if !slices.Contains(allowed, to) {
		t.Errorf("%s imports %s, which %s may not", file, target, room)
	}
}

// below lists a room's rooms, theirs, and so on.
func below(room string, seen []string) []string {
	for _, r := range rooms[room] {
		if !slices.Contains(seen, r) {
			seen = below(r, append(seen, r))
		}
	}
	return seen
}

func checkDoor(t *testing.T, file, room, name string) {
	for module, in := range doors {
		if name == module || strings.HasPrefix(name, module+"/") {
			if !slices.Contains(in, room) {
				t.Errorf("%s imports %s, which enters by %v only", file, name, in)
			}
			return
		}
	}
	if room != "tools/fit" {
		t.Errorf("%s imports %s, which has no door; add it to the table with its reason in DEVELOPERS.md", file, name)
	}
}

// roomOf is the longest room that contains the folder, or the folder itself.
func roomOf(folder string) string {
	for f := folder; f != "."; f = path.Dir(f) {
		if _, ok := rooms[f]; ok {
			return f
		}
	}
	return folder
}
