//go:build linux

package main

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"hairpin/musicxml"
)

// fullScore has as many notes and measures as the limits allow, in 50 MB.
func fullScore(l musicxml.Limits) []byte {
	var b bytes.Buffer
	b.WriteString(`<score-partwise version="4.0"><part-list><score-part id="P1"><part-name>X</part-name></score-part></part-list><part id="P1">`)
	each := l.Notes / l.Measures / 2
	for m := range l.Measures {
		fmt.Fprintf(&b, `<measure number="%d">`, m+1)
		if m == 0 {
			fmt.Fprintf(&b, `<attributes><divisions>%d</divisions><time><beats>4</beats><beat-type>4</beat-type></time><staves>2</staves></attributes>`, each)
		}
		for staff := 1; staff <= 2; staff++ {
			if staff == 2 {
				fmt.Fprintf(&b, `<backup><duration>%d</duration></backup>`, 4*each)
			}
			for i := range each {
				fmt.Fprintf(&b, `<note default-x="12.5"><pitch><step>%c</step><octave>%d</octave></pitch><duration>4</duration><voice>%d</voice><type>eighth</type><stem>up</stem><staff>%d</staff></note>`,
					"CDEFGAB"[(m*(2+staff)+i*i*staff)%7], 6-2*staff+(m+i)%2, staff, staff)
			}
		}
		b.WriteString("</measure>\n")
	}
	b.WriteString(`</part></score-partwise>`)
	return b.Bytes()
}

// What every command keeps to within the limits: 20 seconds of the processor, half as
// much again on a machine with other work, and 2 GiB. It takes minutes: set HAIRPIN_LOAD
// to run it.
func TestLimitsPromise(t *testing.T) {
	if os.Getenv("HAIRPIN_LOAD") == "" {
		t.Skip("HAIRPIN_LOAD is not set")
	}
	const most, gibibytes = 30 * time.Second, 2 << 30
	folder := t.TempDir()
	score, out := filepath.Join(folder, "full.musicxml"), filepath.Join(folder, "out")
	if err := os.WriteFile(score, fullScore(musicxml.DefaultLimits()), 0o644); err != nil {
		t.Fatal(err)
	}
	for _, command := range []string{
		"contents", "study", "chords", "levels", "explain --at 1:1", "survey", "annotate -o OUT.musicxml", "reduce -o OUT.musicxml",
		"listen -o OUT.mid", "report --measures 1-100 -o OUT.html", "report --measures 15000-15100 -o OUT.html", "report -o OUT.html",
	} {
		c := exec.Command("hairpin", append(strings.Fields(strings.ReplaceAll(command, "OUT", out)), score)...)
		text, err := c.CombinedOutput()
		usage := c.ProcessState.SysUsage().(*syscall.Rusage)
		took := c.ProcessState.UserTime() + c.ProcessState.SystemTime()
		t.Logf("%-26s %6.1f s, %5d MiB", command, took.Seconds(), usage.Maxrss>>10)
		if err != nil || took > most || usage.Maxrss<<10 > gibibytes {
			t.Errorf("%s: %s, %d MiB, %v %.300s", command, took, usage.Maxrss>>10, err, text)
		}
	}
}
