package musicxml_test

import (
	"fmt"
	"os"
	"strings"

	"hairpin/musicxml"
	"hairpin/score"
)

func ExampleOpen() {
	f, err := musicxml.Open("testdata/pickup-and-short-end.musicxml")
	if err != nil {
		fmt.Println(err)
		return
	}
	s := f.Score
	for _, n := range s.Notes {
		fmt.Printf("%s for %g quarters at %s\n", n.Pitch, s.Quarters(n.Duration), s.At(n.Onset))
	}
	// Output:
	// D4 for 1 quarters at 0:3
	// G4 for 2 quarters at 1:1
	// B4 for 1 quarters at 1:3
	// G4 for 2 quarters at 2:1
}

// An insertion stands between processing instructions; taken out again, the
// document is what it was.
func ExampleFile_Apply() {
	const doc = `<score-partwise><part-list><score-part id="P1"><part-name/></score-part></part-list><part id="P1"><measure number="1">
<attributes><divisions>1</divisions></attributes>
<note><pitch><step>C</step><octave>4</octave></pitch><duration>4</duration></note>
</measure></part></score-partwise>`
	f, err := musicxml.Read(strings.NewReader(doc), "song.musicxml", musicxml.Limits{})
	if err != nil {
		fmt.Println(err)
		return
	}
	g, err := f.Apply([]musicxml.Edit{{
		Part: 0, At: 2 * f.Score.Division, Layer: "numerals",
		XML: `<direction placement="below"><direction-type><words>` + musicxml.Escape("V7") + `</words></direction-type></direction>`,
	}})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(strings.Split(string(g.Bytes()), "\n")[2])
	h, err := g.Remove("numerals")
	fmt.Println(string(h.Bytes()) == doc, err)
	// Output:
	// <?hairpin begin numerals?>
	// true <nil>
}

func ExampleWrite() {
	s := &score.Score{
		Division: 1,
		Parts:    []score.Part{{Name: "Piano", Staves: 1}},
		Measures: []score.Measure{{Number: "1", Length: 4, Nominal: 4, Beats: 4, BeatUnit: 4}},
		Notes:    []score.Note{{Duration: 4, Staff: 1, Voice: 1, Pitch: score.Pitch{Step: 0, Octave: 4}}},
	}
	if err := musicxml.Write(os.Stdout, s); err != nil {
		fmt.Println(err)
	}
	// Output:
	// <?xml version="1.0" encoding="UTF-8"?>
	// <!DOCTYPE score-partwise PUBLIC "-//Recordare//DTD MusicXML 4.0 Partwise//EN" "http://www.musicxml.org/dtds/partwise.dtd">
	// <score-partwise version="4.0">
	//   <identification>
	//     <encoding>
	//       <software>hairpin</software>
	//     </encoding>
	//   </identification>
	//   <part-list>
	//     <score-part id="P1">
	//       <part-name>Piano</part-name>
	//     </score-part>
	//   </part-list>
	//   <part id="P1">
	//     <measure number="1">
	//       <attributes>
	//         <divisions>96</divisions>
	//         <time>
	//           <beats>4</beats>
	//           <beat-type>4</beat-type>
	//         </time>
	//         <clef>
	//           <sign>G</sign>
	//           <line>2</line>
	//         </clef>
	//       </attributes>
	//       <note>
	//         <pitch>
	//           <step>C</step>
	//           <octave>4</octave>
	//         </pitch>
	//         <duration>384</duration>
	//         <voice>1</voice>
	//         <type>whole</type>
	//       </note>
	//     </measure>
	//   </part>
	// </score-partwise>
}
