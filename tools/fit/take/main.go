// Command take says in the words of a table what hairpin hears in takes, to be
// compared with what is known of them.
//
//	go run ./tools/fit/take SCORES FILE...           matched notes and beats
//	go run ./tools/fit/take -page SCORES FILE...     verdicts on the hairpins
//	go run ./tools/fit/take -even SCORES FILE...     evenness
//
// SCORES is a folder of PIECE.mxl; a FILE is PIECE__KIND.mid or
// PIECE__KIND.INSTRUMENT.CONDITION.wav, with -even PIECE alone. Rows are
//
//	note TAKE QUARTER KEY SECONDS
//	beat TAKE QUARTER SECONDS DECIBELS
//	page TAKE FROM TO follow|flat|contrary DECIBELS
//	even PIECE SEGMENT DB MS DB_SCATTER MS_SCATTER
package main

import (
	"flag"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"time"

	"hairpin/musicxml"
	"hairpin/performance"
	"hairpin/performance/sound"
	"hairpin/score"
)

type settings struct {
	page, even bool
	scores     string
}

func main() {
	var s settings
	flag.BoolVar(&s.page, "page", false, "verdicts on the hairpins")
	flag.BoolVar(&s.even, "even", false, "evenness")
	flag.Parse()
	s.scores = flag.Arg(0)
	var lock sync.Mutex
	var wait sync.WaitGroup
	files := make(chan string)
	for range 2 {
		wait.Go(func() {
			for f := range files {
				rows, note := s.rows(f)
				lock.Lock()
				io.WriteString(os.Stdout, rows)
				io.WriteString(os.Stderr, note)
				lock.Unlock()
			}
		})
	}
	for _, f := range flag.Args()[1:] {
		files <- f
	}
	close(files)
	wait.Wait()
}

// rows is what is said of one file, and a remark.
func (s settings) rows(file string) (rows, note string) {
	name := strings.TrimSuffix(strings.TrimSuffix(filepath.Base(file), ".mid"), ".wav")
	piece, _, _ := strings.Cut(name, ".")
	if !s.even {
		piece, _, _ = strings.Cut(piece, "__")
	}
	f, err := musicxml.Open(filepath.Join(s.scores, piece+".mxl"))
	if err != nil {
		return "", err.Error() + "\n"
	}
	begin := time.Now()
	p, err := read(f.Score, file)
	if err != nil {
		return "", err.Error() + "\n"
	}
	note = fmt.Sprintf("%s: runs %d, sure %.3f, lost %d, spread %.1f dB, %.1f s for %.0f s\n", name, len(p.Runs), p.Sure, len(p.Lost), p.Spread, time.Since(begin).Seconds(), p.Seconds)
	switch {
	case s.page:
		return pageRows(f.Score, p, name), note
	case s.even:
		return evenRows(f.Score, p, name), note
	}
	return noteRows(f.Score, p, name) + beatRows(f.Score, p, name), note
}

func read(s *score.Score, file string) (*performance.Playing, error) {
	r, err := os.Open(file)
	if err != nil {
		return nil, err
	}
	defer r.Close()
	t, err := performance.Read(r, file, sound.DefaultLimits())
	if err != nil {
		return nil, err
	}
	return performance.FollowBeats(s, t, beats(s))
}

// beats are the beats as the truth counts them: halves as two quarters, groups of
// three in 6, 9 and 12 only.
func beats(s *score.Score) (out []score.Tick) {
	for _, m := range s.Measures {
		unit := 4 * s.Division / score.Tick(max(m.BeatUnit, 4))
		if (m.Beats == 6 || m.Beats == 9 || m.Beats == 12) && m.BeatUnit >= 8 {
			unit *= 3
		}
		head := m.Offset
		if m.Pickup && m.Nominal > m.Length {
			head = m.Nominal - m.Length
		}
		for at := m.Start; at < m.End(); at += unit - (at-m.Start+head)%unit {
			out = append(out, at)
		}
	}
	return out
}

func noteRows(s *score.Score, p *performance.Playing, name string) string {
	var b strings.Builder
	for _, n := range p.Right {
		fmt.Fprintf(&b, "note\t%s\t%.6f\t%d\t%.4f\n", name, s.Quarters(s.Notes[n.Note].Onset), n.Key, n.Time)
	}
	return b.String()
}

func beatRows(s *score.Score, p *performance.Playing, name string) string {
	var b strings.Builder
	for _, x := range p.Beats {
		level := ""
		if x.Loud {
			level = fmt.Sprintf("%.2f", x.Level)
		}
		fmt.Fprintf(&b, "beat\t%s\t%.6f\t%.4f\t%s\n", name, s.Quarters(x.At), x.Time, level)
	}
	return b.String()
}

func pageRows(s *score.Score, p *performance.Playing, name string) string {
	word := map[performance.Verdict]string{performance.Followed: "follow", performance.Flat: "flat", performance.Contrary: "contrary"}
	var b strings.Builder
	for _, h := range p.Hairpins {
		x := s.Hairpins[h.Hairpin]
		fmt.Fprintf(&b, "page\t%s\t%s\t%s\t%s\t%.2f\n", name, number(s.Quarters(x.Start)), number(s.Quarters(x.End)), word[h.Verdict], h.Change)
	}
	return b.String()
}

// number is a number as short as can be.
func number(x float64) string {
	text := strings.TrimRight(fmt.Sprintf("%.6f", x), "0")
	return strings.TrimSuffix(text, ".")
}

// evenRows cannot know the truth's segments: it gives each passage its number.
func evenRows(s *score.Score, p *performance.Playing, name string) string {
	var b strings.Builder
	for i, e := range p.Uneven {
		fmt.Fprintf(&b, "even\t%s\t%d\t%.3f\t%.3f\t%.3f\t%.3f\n", name, i, e.Level, e.Late, e.LevelScatter, e.LateScatter)
	}
	return b.String()
}
