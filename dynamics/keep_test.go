package dynamics_test

import (
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"testing"

	"hairpin/dynamics"
	"hairpin/dynamics/advice"
	"hairpin/dynamics/page"
	"hairpin/dynamics/shaping"
	"hairpin/musicxml"
	"hairpin/score"
)

// A proposal keeps to the page, or says why it leaves it: our own promise. Every
// demo, and every score under the folders that HAIRPIN_SCORES names, parted like a PATH.
func TestProposalsKeepToThePage(t *testing.T) {
	for _, path := range scores(t) {
		t.Run(filepath.Base(path), func(t *testing.T) {
			f, err := musicxml.Open(path)
			if err != nil {
				t.Skip(err)
			}
			s := f.Score
			d, a := read(t, s, dynamics.Options{})
			for _, r := range dynamics.Levels(s, a, d.Page, d.Shaping) {
				off := math.Abs(r.Shaped - r.Printed)
				if off > shaping.FreeBend+1e-9 && r.Leaves == "" {
					t.Errorf("%s: %.2f is proposed where %.2f is printed, without a reason", s.At(r.Start), r.Shaped, r.Printed)
				}
			}
			for _, p := range d.Shaping.Proposals {
				if off := math.Abs(p.Bend()); off > shaping.MaxBend || (off > shaping.FreeBend+1e-9) != (p.Reason != "") {
					t.Errorf("%s: %.2f from the page, %q", s.At(p.At), off, p.Reason)
				}
			}
			keepsRange(t, d)
			for _, p := range d.Plan.Proposals {
				onTheWay(t, s, d, p)
			}
		})
	}
}

// keepsRange checks that the proposal is spread about as widely as the page: the
// page's range is the player's. Where the page hardly moves there is no measure.
func keepsRange(t *testing.T, d *dynamics.Dynamics) {
	var printed, shaped []float64
	for _, p := range d.Shaping.Proposals {
		printed, shaped = append(printed, p.Printed), append(shaped, p.Level)
	}
	if a, b := spread(printed), spread(shaped); a >= 1 && (b < 0.66*a || b > 1.2*a) {
		t.Errorf("the page is spread by %.2f steps, the proposal by %.2f", a, b)
	}
}

func spread(v []float64) float64 {
	mean, sum := 0.0, 0.0
	for _, x := range v {
		mean += x / float64(len(v))
	}
	for _, x := range v {
		sum += (x - mean) * (x - mean)
	}
	return math.Sqrt(sum / float64(max(len(v), 1)))
}

// onTheWay checks that the level told for the goal of a phrase comes from the same
// curve: it lies between the printed level and what the beats around it are proposed.
func onTheWay(t *testing.T, s *score.Score, d *dynamics.Dynamics, p advice.Proposal) {
	beat, low, high := s.BeatAt(p.Goal), d.Page.Whole.At(p.Goal), d.Page.Whole.At(p.Goal)
	for _, at := range []score.Tick{p.Goal - beat, p.Goal, p.Goal + beat} {
		low, high = min(low, d.Shaping.At(at)), max(high, d.Shaping.At(at))
	}
	const shade = 0.25
	if p.Wish < low-shade || p.Wish > high+shade {
		t.Errorf("the goal at %s is told %s (%.2f), its beats run from %.2f to %.2f", s.At(p.Goal), page.Mark(p.Wish), p.Wish, low, high)
	}
}

// scores are the demos and those of HAIRPIN_SCORES.
func scores(t *testing.T) []string {
	out, err := filepath.Glob(filepath.Join("..", "testdata", "*.musicxml"))
	if err != nil || len(out) < 4 {
		t.Fatal(out, err)
	}
	for _, dir := range filepath.SplitList(os.Getenv("HAIRPIN_SCORES")) {
		err := filepath.WalkDir(dir, func(path string, e fs.DirEntry, err error) error {
			if x := filepath.Ext(path); err == nil && (x == ".mxl" || x == ".musicxml" || x == ".xml") {
				out = append(out, path)
			}
			return err
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	return out
}
