package sound_test

import (
	"bytes"
	"fmt"

	"hairpin/musicxml"
	"hairpin/report"
	"hairpin/report/sound"
)

func Example() {
	f, err := musicxml.Open("../../testdata/quartet-below-the-weir.musicxml")
	if err != nil {
		fmt.Println(err)
		return
	}
	r, err := report.New(f, report.Options{Measures: "1-4"})
	if err != nil {
		fmt.Println(err)
		return
	}
	var b bytes.Buffer
	if err := sound.WriteMIDI(&b, r, sound.Listening{Level: sound.PrintedLevel}); err != nil {
		fmt.Println(err)
	}
	fmt.Printf("%s\n", b.Bytes()[:4])
	// Output: MThd
}
