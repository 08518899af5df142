package html

import (
	"encoding/json"
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"hairpin/report/take"
)

// told is a take by hand: a beat every quarter, each with its pass and its loudness in
// dB, and one contrary hairpin.
func told(t *testing.T, file string, passes []int, loud func(i int) float64) take.Take {
	t.Helper()
	var beats []string
	onset := 0
	for i, pass := range passes {
		if i > 0 && pass != passes[i-1] {
			onset -= 2 // a restart two quarters before
		}
		beats = append(beats, fmt.Sprintf(`{"onset":%d,"measure":"1","beat":1,"pass":%d,"time":%d,"tempo":60,"db":-20,"relative_db":%v}`, onset, pass, i, loud(i)))
		onset++
	}
	text := fmt.Sprintf(`{"file":%q,"sound":true,"seconds":%d,"found":1,"passes":[],"lost":[],"beats":[%s],
		"hairpins":[{"onset":0,"end":4,"measures":"1","pass":1,"db":-4.6,"verdict":"contrary","clear":true,"kind":"crescendo"}]}`,
		file, len(passes), strings.Join(beats, ","))
	var k take.Take
	if err := json.Unmarshal([]byte(text), &k); err != nil {
		t.Fatal(err)
	}
	return k
}

// firstTakeLine is the path of a take over the curves of the first system.
func firstTakeLine(t *testing.T, page string, n int) (starts int, ys []float64) {
	t.Helper()
	found := regexp.MustCompile(fmt.Sprintf(`<g class="hp-take hp-take-%d"><path class="hp-take-halo" d="([^"]+)"`, n)).FindStringSubmatch(page)
	if found == nil {
		t.Fatalf("take %d is not drawn", n)
	}
	for _, p := range regexp.MustCompile(`([ML])[-\d.]+ ([-\d.]+)`).FindAllStringSubmatch(found[1], -1) {
		if p[1] == "M" {
			starts++
		}
		y, _ := strconv.ParseFloat(p[2], 64)
		ys = append(ys, y)
	}
	return starts, ys
}

// stepHeight is how far the lines of neighbouring levels lie apart.
func stepHeight(t *testing.T, page string) float64 {
	t.Helper()
	lines := regexp.MustCompile(`<g class="hp-grid"><path d="M[-\d.]+ ([-\d.]+)H[-\d.]+"/><text[^>]*>[^<]+</text><path d="M[-\d.]+ ([-\d.]+)H`).FindStringSubmatch(page)
	if lines == nil {
		t.Fatal("no grid")
	}
	a, _ := strconv.ParseFloat(lines[1], 64)
	b, _ := strconv.ParseFloat(lines[2], 64)
	return a - b
}

func lowWater(t *testing.T, takes ...take.Take) string {
	t.Helper()
	return pageOf(t, demoReading(t, "vibraphone-low-water"), Pictures{Takes: takes})
}

// firstSystem is the first system before its markup is made small.
func firstSystem(t *testing.T, takes ...take.Take) string {
	t.Helper()
	return string(newPageParts(demoReading(t, "vibraphone-low-water"), Pictures{Takes: takes}).Wide[0].SVG)
}

// Played on at +4 dB after four beats at 0 the line lies one step higher; where the
// player began again there is a gap.
func TestTakeIsDrawnInStepsWithGaps(t *testing.T) {
	passes := []int{1, 1, 1, 1, 1, 1, 1, 1, 2, 2, 2, 2}
	mine := told(t, "/home/me/mine.wav", passes, func(i int) float64 { return 4 * float64(i/4%2) })
	system, page := firstSystem(t, mine), lowWater(t, mine)
	starts, ys := firstTakeLine(t, system, 1)
	if starts != 2 || len(ys) != len(passes) {
		t.Fatalf("%d stretches of %d points, want 2 of %d", starts, len(ys), len(passes))
	}
	if step := stepHeight(t, system); math.Abs(ys[1]-ys[6]-step) > 0.2 {
		t.Errorf("4 dB are drawn %v high, a step is %v", ys[1]-ys[6], step)
	}
	for _, want := range []string{"contrary? −5 dB", "1: mine", "tempo, beats a minute", "Printed hairpins", "Gaps: a stop"} {
		if !strings.Contains(page, want) {
			t.Errorf("no %q", want)
		}
	}
	if strings.Contains(page, "/home/me") {
		t.Error("the report names the player's folder")
	}
}

// Takes are told apart by dash and marker, not by colour: all have the colour of ink.
func TestTakesAreToldApartWithoutColour(t *testing.T) {
	passes := []int{1, 1, 1, 1}
	var takes []take.Take
	for _, name := range []string{"a.wav", "b.wav", "c.wav", "d.wav"} {
		takes = append(takes, told(t, name, passes, func(i int) float64 { return float64(i) }))
	}
	page := lowWater(t, takes...)
	dashes, marks := map[string]bool{}, map[string]bool{}
	for n := 1; n <= MostTakes; n++ {
		dash := regexp.MustCompile(fmt.Sprintf(`\n?\.hp-take-%d \.hp-take-line \{ stroke-dasharray: ([^;]+);`, n)).FindStringSubmatch(page)
		dashes[strings.Join(dash, "")] = true
		marks[regexp.MustCompile(`[-\d. ]+`).ReplaceAllString(takeMark(n, 10, 10, 5), "")] = true
		firstTakeLine(t, firstSystem(t, takes...), n)
		if !strings.Contains(page, fmt.Sprintf("%d: %s", n, "abcd"[n-1:n])) {
			t.Errorf("no legend for take %d", n)
		}
	}
	if len(dashes) != MostTakes || len(marks) != MostTakes {
		t.Errorf("%d dashes and %d markers for %d takes", len(dashes), len(marks), MostTakes)
	}
	if regexp.MustCompile(`hp-take[^{]*\{[^}]*stroke: (?:var\(--(?:ink|paper)|)[^v}]*var\(--(?:printed|shaped|against)`).MatchString(page) {
		t.Error("a take has a colour of its own")
	}
	if !strings.Contains(page, "Where the takes differ") && !strings.Contains(page, "No measure that the takes share") {
		t.Error("takes are not laid beside one another")
	}
}

func TestPageWithoutTakesSaysNothingOfThem(t *testing.T) {
	page := lowWater(t)
	_, body, _ := strings.Cut(page, "</style>")
	if strings.Contains(body, "hp-take-") || strings.Contains(body, "What was played") {
		t.Error("the page speaks of takes without one")
	}
}

// What a page sends back is drawn as far as it makes sense, and breaks nothing.
func TestSenselessTakeIsHarmless(t *testing.T) {
	var k take.Take
	text := `{"file":"<b>x</b>","beats":[{"onset":-1e18,"pass":0,"tempo":-5,"relative_db":1e300},{"onset":1e18,"pass":1,"relative_db":-1e300}],
		"hairpins":[{"onset":9e15,"end":-9e15,"verdict":"<i>","db":1e300}],"moves":[{"onset":0,"end":4,"verdict":"\"><script>"}]}`
	if err := json.Unmarshal([]byte(text), &k); err != nil {
		t.Fatal(err)
	}
	_, page, _ := strings.Cut(lowWater(t, k), "</style>") // without fonts and data
	page, _, _ = strings.Cut(page, `<script type="application/octet-stream"`)
	for _, bad := range []string{"<b>x", "<i>", `"><script>`, "NaN", "Inf"} {
		if strings.Contains(page, bad) {
			t.Errorf("the page contains %q", bad)
		}
	}
}
