package page_test

import (
	"fmt"
	"strings"

	"hairpin/dynamics/page"
	"hairpin/musicxml"
	"hairpin/score"
)

// A swell over two measures: p, a hairpin, f.
func ExamplePrinted() {
	const doc = `<score-partwise><part-list><score-part id="P1"><part-name/></score-part></part-list><part id="P1">
<measure number="1"><attributes><divisions>1</divisions><time><beats>4</beats><beat-type>4</beat-type></time></attributes>
<direction><direction-type><dynamics><p/></dynamics></direction-type></direction>
<direction><direction-type><wedge type="crescendo"/></direction-type></direction>
<note><pitch><step>C</step><octave>4</octave></pitch><duration>4</duration></note></measure>
<measure number="2"><direction><direction-type><wedge type="stop"/></direction-type></direction>
<direction><direction-type><dynamics><f/></dynamics></direction-type></direction>
<note><pitch><step>G</step><octave>4</octave></pitch><duration>4</duration></note></measure>
</part></score-partwise>`
	f, err := musicxml.Read(strings.NewReader(doc), "swell.musicxml", musicxml.Limits{})
	if err != nil {
		fmt.Println(err)
		return
	}
	p := page.Printed(f.Score, nil)
	for quarter := range 5 {
		level := p.Whole.At(f.Score.Division * score.Tick(quarter))
		fmt.Printf("%.2f %s\n", level, page.Mark(level))
	}
	// Output:
	// 3.00 p
	// 3.75 mp
	// 4.50 mf
	// 5.25 mf
	// 6.00 f
}
