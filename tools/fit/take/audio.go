package main

import (
	"bufio"
	"fmt"
	"os"
	"path/filepath"
	"sort"
	"strings"
	"sync"
	"time"

	"hairpin/musicxml"
	"hairpin/performance"
	"hairpin/performance/follow"
	"hairpin/performance/sound"
	"hairpin/performance/spectrum"
	"hairpin/score"
)

func kitGrid(s *score.Score) []performance.Slot {
	var out []performance.Slot
	for _, m := range s.Measures {
		unit := 4 * s.Division / score.Tick(max(m.BeatUnit, 4))
		if (m.Beats == 6 || m.Beats == 9 || m.Beats == 12) && m.BeatUnit >= 8 {
			unit *= 3
		}
		head := m.Offset
		if m.Pickup && m.Nominal > m.Length {
			head = m.Nominal - m.Length
		}
		for at := m.Start; at < m.End(); {
			next := min(at+unit-(at-m.Start+head)%unit, m.End())
			out = append(out, performance.Slot{at, next})
			at = next
		}
	}
	return out
}

func audio(dir, wavs, filter string) {
	files, _ := filepath.Glob(wavs + "/*.wav")
	sort.Strings(files)
	o := bufio.NewWriter(os.Stdout)
	defer o.Flush()
	var mu sync.Mutex
	var wg sync.WaitGroup
	work := make(chan string)
	for range 2 {
		wg.Add(1)
		go func() {
			defer wg.Done()
			for f := range work {
				text := audioOne(dir, f)
				mu.Lock()
				o.WriteString(text)
				mu.Unlock()
			}
		}()
	}
	for _, f := range files {
		if strings.Contains(f, filter) {
			work <- f
		}
	}
	close(work)
	wg.Wait()
}

func audioOne(dir, f string) string {
	var o strings.Builder
	name := strings.TrimSuffix(filepath.Base(f), ".wav")
	take := strings.Join(strings.Split(name, ".")[:len(strings.Split(name, "."))-2], ".")
	piece := take[:strings.LastIndex(take, "__")]
	s, err := musicxml.Open(dir + "/scores/" + piece + ".mxl")
	if err != nil {
		panic(err)
	}
	r, _ := os.Open(f)
	x, err := sound.Read(r, sound.DefaultLimits())
	if err != nil {
		panic(err)
	}
	begin := time.Now()
	fo := follow.Sound(s.Score, x.Samples)
	fmt.Fprintf(os.Stderr, "%s runs %d sure %.3f time %.1f of %.0f\n", name, len(fo.Runs), fo.Sure, time.Since(begin).Seconds(), x.Seconds())
	g := kitGrid(s.Score)
	en := spectrum.NewEnergy(x.Samples, 60)
	type bt struct {
		q, t float64
	}
	var bs []bt
	for _, run := range fo.Runs {
		for _, b := range g {
			if t, ok := run.At(b.At); ok {
				bs = append(bs, bt{s.Score.Quarters(b.At), t})
			}
		}
	}
	sort.SliceStable(bs, func(i, j int) bool { return bs[i].t < bs[j].t })
	for i, b := range bs {
		e := b.t + 1.5
		if i+1 < len(bs) {
			e = min(bs[i+1].t, b.t+4)
		}
		e = max(e-.05, b.t+.04)
		fmt.Fprintf(&o, "beat\t%s\t%.6f\t%.4f\t%.2f\n", name, b.q, b.t, en.Loudest(b.t-.02, e))
	}
	return o.String()
}
