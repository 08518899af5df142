package form

import (
	"slices"
	"testing"
)

// partsOf hears a fugue and returns the kinds of its parts and the bars they start in.
func partsOf(t *testing.T, bars int, list ...sung) (f *Fugue, kinds []FugueKind, starts []int) {
	t.Helper()
	s, phrases := fugal(bars, true, list...)
	if f = hear(s, 0, phrases).Fugue; f == nil {
		t.Fatal("heard no fugue")
	}
	for i, p := range f.Parts {
		kinds, starts = append(kinds, p.Kind), append(starts, int(p.Start)/(4*division))
		if i > 0 && p.Start != f.Parts[i-1].End {
			t.Errorf("part %d does not start where the one before ends", i)
		}
		if p.Closes != (i == len(f.Parts)-1) {
			t.Errorf("part %d closes: %v", i, p.Closes)
		}
		for _, e := range f.Entries {
			if e.Start < p.Start && e.End > p.Start {
				t.Errorf("part %d cuts the entry of bar %d", i, int(e.Start)/(4*division))
			}
		}
	}
	if end := f.Parts[len(f.Parts)-1].End; end != s.Length() {
		t.Errorf("the parts end at %d", end)
	}
	return f, kinds, starts
}

// The exposition, entries and stretti, episodes between them: Laitz, The Complete Musician,
// and Mann, The Study of Fugue (1958), both from memory. Entries in a row are one part.
func TestFugueParts(t *testing.T) {
	f, kinds, starts := partsOf(t, 24, sung{bar: 0}, sung{bar: 2, steps: 4, head: -1}, sung{bar: 5, steps: -7}, sung{bar: 10, steps: 5},
		sung{bar: 12, steps: 2, down: true}, sung{bar: 17}, sung{bar: 18, steps: 4}, sung{bar: 21})
	if want := []FugueKind{ExpositionPart, EpisodePart, EntryPart, EpisodePart, StrettoPart}; !slices.Equal(kinds, want) {
		t.Fatalf("heard %q", kinds)
	}
	if want := []int{0, 7, 10, 14, 17}; !slices.Equal(starts, want) {
		t.Errorf("they start in bars %v", starts)
	}
	if p := f.Parts[2]; p.First != 3 || p.Last != 4 {
		t.Errorf("the entries in a row are %d to %d", p.First, p.Last)
	}
}

// A long exposition is told entry by entry, the links between them with the entry before;
// so is a stretch after the last entry that is long enough.
func TestLongExposition(t *testing.T) {
	_, kinds, starts := partsOf(t, 48, sung{bar: 0}, sung{bar: 6, steps: 4}, sung{bar: 12, steps: -7}, sung{bar: 18, steps: -3},
		sung{bar: 25, steps: 5}, sung{bar: 31, steps: 2}, sung{bar: 36}, sung{bar: 42})
	want := []FugueKind{EntryPart, EntryPart, EntryPart, EntryPart, EpisodePart, EntryPart, EpisodePart, EntryPart, EpisodePart, EntryPart, EpisodePart, EntryPart, ClosePart}
	if !slices.Equal(kinds, want) {
		t.Fatalf("heard %q in bars %v", kinds, starts)
	}
	if want := []int{0, 6, 12, 18, 20, 25, 27, 31, 33, 36, 38, 42, 44}; !slices.Equal(starts, want) {
		t.Errorf("they start in bars %v", starts)
	}
}
