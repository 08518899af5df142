package main

import (
	"bufio"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"sort"
	"strings"

	"hairpin/internal/midi"
	"hairpin/musicxml"
	"hairpin/performance"
)

func main() {
	dir, filter := os.Args[1], ""
	if len(os.Args) > 2 {
		filter = os.Args[2]
	}
	if len(os.Args) > 3 {
		audio(dir, os.Args[3], filter)
		return
	}
	files, _ := filepath.Glob(dir + "/takes/*.mid")
	sort.Strings(files)
	o := bufio.NewWriter(os.Stdout)
	defer o.Flush()
	for _, f := range files {
		take := strings.TrimSuffix(filepath.Base(f), ".mid")
		if !strings.Contains(take, filter) {
			continue
		}
		piece := take[:strings.LastIndex(take, "__")]
		s, err := musicxml.Open(dir + "/scores/" + piece + ".mxl")
		if err != nil {
			panic(err)
		}
		r, _ := os.Open(f)
		list, err := midi.ReadStrokes(r)
		if err != nil {
			panic(err)
		}
		fo := performance.Temp(s.Score, list)
		fmt.Fprintln(os.Stderr, take, len(fo.Runs), fo.Sure)
		vel := map[[2]int64]int{}
		g := kitGrid(s.Score)
		for _, m := range fo.Matches {
			n := s.Score.Notes[m.Note]
			fmt.Fprintf(o, "note\t%s\t%.6f\t%d\t%.4f\n", take, s.Score.Quarters(n.Onset), list[m.Stroke].Key, list[m.Stroke].On)
			if n.Grace {
				continue
			}
			k := sort.Search(len(g), func(i int) bool { return g[i].At > n.Onset }) - 1
			vel[[2]int64{int64(m.Run), int64(k)}] = max(vel[[2]int64{int64(m.Run), int64(k)}], list[m.Stroke].Velocity)
		}
		for r, run := range fo.Runs {
			for k, b := range g {
				t, ok := run.At(b.At)
				if !ok {
					continue
				}
				loud := ""
				if v := vel[[2]int64{int64(r), int64(k)}]; v > 0 {
					loud = fmt.Sprintf("%.2f", 40*math.Log10(float64(v)/127))
				}
				fmt.Fprintf(o, "beat\t%s\t%.6f\t%.4f\t%s\n", take, s.Score.Quarters(b.At), t, loud)
			}
		}
	}
}
