package main

import (
	"fmt"
	"io"
	"math"
	"slices"

	"hairpin/harmony/tonal"
)

// timed is a chord with its times in quarter notes.
type timed struct {
	tonal.Chord
	onset, end float64
}

// figures are the shares of a piece's analysed time that a reading gets right,
// and its chord changes within half a quarter of the expert's.
type figures struct {
	genre                               string
	time, key, root, quality, bass, all float64
	hits, expected, given               int
}

// compare weighs a reading against the expert's rows.
func (p *piece) compare(chords []timed) figures {
	f := figures{genre: p.genre}
	for _, r := range p.rows {
		f.time += r.end - r.onset
		k, _ := tonal.ParseKey(r.key)
		for _, c := range chords {
			if w := min(c.end, r.end) - max(c.onset, r.onset); w > 0 {
				f.add(c.Chord, r, k, w)
			}
		}
	}
	f.changes(p.rows, chords)
	return f
}

// add counts w quarters in which a chord stands against an expert's row.
func (f *figures) add(c tonal.Chord, r row, k tonal.Key, w float64) {
	key := sameKey(c.Key, k)
	root, quality := c.Root.PC() == r.root, c.Quality.ID() == r.quality
	for _, x := range []struct {
		sum   *float64
		right bool
	}{
		{&f.key, key}, {&f.root, root}, {&f.quality, root && quality}, {&f.bass, c.Bass.PC() == r.bass},
		{&f.all, key && quality && c.Inversion == r.inv && c.Numeral.NormalDegree(c.Key) == r.degree},
	} {
		if x.right {
			*x.sum += w
		}
	}
}

func sameKey(a, b tonal.Key) bool { return a.Tonic.PC() == b.Tonic.PC() && a.Minor == b.Minor }

// changes counts the chord changes of both, and those that agree.
func (f *figures) changes(rows []row, chords []timed) {
	var want, got []float64
	for i := 1; i < len(rows); i++ {
		if a, b := rows[i-1], rows[i]; a.root != b.root || a.quality != b.quality || a.inv != b.inv {
			want = append(want, b.onset)
		}
	}
	for i := 1; i < len(chords); i++ {
		if a, b := chords[i-1], chords[i]; a.Root.PC() != b.Root.PC() || a.Quality != b.Quality || a.Inversion != b.Inversion {
			got = append(got, b.onset)
		}
	}
	f.expected, f.given, f.hits = len(want), len(got), agreeing(want, got)
}

// agreeing pairs moments at most half a quarter apart, each once.
func agreeing(want, got []float64) (hits int) {
	for i, j := 0, 0; i < len(want) && j < len(got); {
		switch {
		case math.Abs(want[i]-got[j]) <= 0.5+1e-6:
			hits++
			i, j = i+1, j+1
		case want[i] < got[j]:
			i++
		default:
			j++
		}
	}
	return hits
}

// percents are the columns of the table: key, root, root and quality, bass, all, changes.
func (f figures) percents() (out [6]float64) {
	f1 := 1.0
	if f.expected+f.given > 0 {
		f1 = 2 * float64(f.hits) / float64(f.expected+f.given)
	}
	for i, x := range [6]float64{f.key / f.time, f.root / f.time, f.quality / f.time, f.bass / f.time, f.all / f.time, f1} {
		out[i] = 100 * x
	}
	return out
}

// table prints the mean of the pieces of every genre, and the mean of the genres.
func table(w io.Writer, list []figures) {
	genres := map[string][][6]float64{}
	for _, f := range list {
		if f.time > 0 {
			genres[f.genre] = append(genres[f.genre], f.percents())
		}
	}
	var names []string
	for g := range genres {
		names = append(names, g)
	}
	slices.Sort(names)
	fmt.Fprintf(w, "%-16s %4s %6s %6s %8s %6s %6s %8s\n", "% of duration", "n", "key", "root", "+quality", "bass", "all", "changes")
	var means [][6]float64
	for _, g := range names {
		means = append(means, mean(genres[g]))
		line(w, g, len(genres[g]), means[len(means)-1])
	}
	line(w, "mean of genres", len(names), mean(means))
}

func mean(list [][6]float64) (m [6]float64) {
	for _, x := range list {
		for i := range x {
			m[i] += x[i] / float64(len(list))
		}
	}
	return m
}

func line(w io.Writer, name string, n int, m [6]float64) {
	fmt.Fprintf(w, "%-16s %4d %6.1f %6.1f %8.1f %6.1f %6.1f %8.1f\n", name, n, m[0], m[1], m[2], m[3], m[4], m[5])
}
