package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// fineScore has a quarter note of a prime number of divisions, too many to be
// written again with small note values.
const fineScore = `<score-partwise version="4.0"><part-list><score-part id="P1"><part-name>X</part-name></score-part></part-list>` +
	`<part id="P1"><measure number="1"><attributes><divisions>999983</divisions><time><beats>4</beats><beat-type>4</beat-type></time></attributes>` +
	`<note><pitch><step>C</step><octave>4</octave></pitch><duration>1999966</duration></note>` +
	`<note><pitch><step>G</step><octave>4</octave></pitch><duration>1999966</duration></note></measure></part></score-partwise>`

// Whatever is wrong with a score, every command's error begins with its name.
func TestErrorsNameTheFile(t *testing.T) {
	t.Chdir(t.TempDir())
	write := func(name, content string) {
		if err := os.WriteFile(name, []byte(content), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	write("fine.musicxml", fineScore)
	write("rests.musicxml", strings.ReplaceAll(fineScore, "pitch>", "rest>"))
	write("letter.mxl", "Dear Anna")
	commands := [][]string{
		{"study"}, {"explain", "--at", "1"}, {"chords"}, {"levels"}, {"contents"}, {"annotate", "-o", "out.musicxml"},
		{"reduce", "-o", "out.musicxml"}, {"listen", "-o", "out.mid"}, {"listen", "-o", "out.wav"}, {"report", "-o", "out.html"},
	}
	for _, c := range commands {
		for _, score := range []string{"rests.musicxml", "letter.mxl", "missing.musicxml"} {
			checkNamed(t, append(c, score), score)
		}
		checkNamed(t, append(c, "--limit-notes", "1", "fine.musicxml"), "fine.musicxml")
		if c[0] != "contents" {
			checkNamed(t, append(c, "--measures", "7", "fine.musicxml"), "fine.musicxml")
		}
	}
	checkNamed(t, []string{"reduce", "-o", "out.musicxml", "fine.musicxml"}, "fine.musicxml")
	checkNamed(t, []string{"explain", "--at", "7:1", "fine.musicxml"}, "fine.musicxml")
	checkNamed(t, []string{"study", "--part", "2", "fine.musicxml"}, "fine.musicxml")
	if left, _ := filepath.Glob("*out*"); len(left) > 0 {
		t.Errorf("left behind: %v", left)
	}
}

func checkNamed(t *testing.T, args []string, score string) {
	t.Helper()
	if args[0] == "contents" && score == "rests.musicxml" { // it can be told what is in it
		return
	}
	var out, errs bytes.Buffer
	status := run(args, strings.NewReader(""), &out, &errs)
	if status == done || !strings.HasPrefix(errs.String(), "hairpin: error: "+score+": ") {
		t.Errorf("%v: status %d, %q", args, status, errs.String())
	}
}
