package survey

import (
	"archive/zip"
	"bytes"
	"context"
	"fmt"
	"io"
	"io/fs"
	"math/rand/v2"
	"os"
	"path/filepath"
	"runtime"
	"strconv"
	"strings"
	"testing"
	"time"

	"hairpin/musicxml"
	"hairpin/report/internal/demo"
	"hairpin/tools/scoregen"
)

// TestSoak reads many scores, mutilated ones among them, in one survey. Every
// file must come back in one row, none may make the program fail, and neither
// memory nor goroutines may grow from the first half to the second.
//
// HAIRPIN_SOAK is the number of files, 300 if not set. HAIRPIN_SOAK_SCORES is
// a folder of further scores to start from:
//
//	HAIRPIN_SOAK=20000 HAIRPIN_SOAK_SCORES=~/scores go test ./report/survey -run Soak -v -timeout 2h
func TestSoak(t *testing.T) {
	files, err := strconv.Atoi(os.Getenv("HAIRPIN_SOAK"))
	if err != nil {
		files = 300
	}
	s := &soak{t: t, seeds: soakSeeds(t), folder: t.TempDir(), waiting: map[string]bool{}}
	s.goroutines = runtime.NumGoroutine()
	start := time.Now()
	var halves [2]uint64
	for half := range halves {
		s.run(half*files/2, (half+1)*files/2)
		halves[half] = s.held()
	}
	if got := runtime.NumGoroutine(); got > s.goroutines {
		t.Errorf("%d goroutines before, %d after", s.goroutines, got)
	}
	if halves[1] > halves[0]+halves[0]/2+4<<20 {
		t.Errorf("memory held grew from %d to %d bytes", halves[0], halves[1])
	}
	if left, _ := os.ReadDir(s.folder); len(left) > 0 || len(s.waiting) > 0 {
		t.Errorf("%d files got no row", len(s.waiting))
	}
	t.Logf("%d files from %d scores, %d read, %d refused, in %v; held %.1f then %.1f MiB, most %.0f MiB; %d goroutines before and after",
		s.rows, len(s.seeds), s.rows-s.refused, s.refused, time.Since(start).Round(time.Second),
		float64(halves[0])/(1<<20), float64(halves[1])/(1<<20), float64(s.most)/(1<<20), s.goroutines)
}

type soak struct {
	t             *testing.T
	seeds         [][]byte
	folder        string
	waiting       map[string]bool
	rows, refused int
	goroutines    int
	most          uint64 // memory taken from the system, as seen at the rows
}

// run surveys the files from number first up to last. Each is made when it is
// asked for and removed with its row.
func (s *soak) run(first, last int) {
	made := make(chan string, 1<<16)
	names := func(yield func(string, error) bool) {
		for i := first; i < last; i++ {
			name, err := s.make(i)
			made <- name
			if !yield(name, err) {
				return
			}
		}
	}
	err := Survey{}.Run(context.Background(), names, func(row Row) error {
		for len(made) > 0 {
			s.waiting[<-made] = true
		}
		s.check(row)
		return os.Remove(row.File)
	})
	if err != nil {
		s.t.Fatal(err)
	}
}

func (s *soak) check(row Row) {
	if !s.waiting[row.File] {
		s.t.Errorf("%s has a row it should not have", row.File)
	}
	delete(s.waiting, row.File)
	s.rows++
	if row.Error != "" {
		s.refused++
	}
	if strings.Contains(row.Error, "the program failed") {
		keep, _ := os.ReadFile(row.File)
		path := filepath.Join(os.TempDir(), "hairpin-soak-"+filepath.Base(row.File))
		s.t.Errorf("%s: %s (kept as %s: %v)", row.File, row.Error, path, os.WriteFile(path, keep, 0o644))
	}
	if s.rows%100 == 0 {
		var m runtime.MemStats
		runtime.ReadMemStats(&m)
		s.most = max(s.most, m.Sys-m.HeapReleased)
	}
}

// held is the memory in use when nothing is being read.
func (s *soak) held() uint64 {
	for range 20 { // the last goroutines end a moment after the last row
		if runtime.NumGoroutine() <= s.goroutines {
			break
		}
		time.Sleep(10 * time.Millisecond)
	}
	runtime.GC()
	runtime.GC()
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	return m.HeapAlloc
}

// make writes file number i: a score as it is, or hurt.
func (s *soak) make(i int) (string, error) {
	rnd := rand.New(rand.NewPCG(uint64(i), 9))
	data := s.seeds[i%len(s.seeds)]
	if rnd.IntN(3) > 0 {
		data = bytes.Clone(data)
		for range 1 + rnd.IntN(4) {
			data = hurt(data, rnd)
		}
	}
	name := filepath.Join(s.folder, fmt.Sprintf("%06d.xml", i))
	return name, os.WriteFile(name, data, 0o644)
}

// hurt does one kind of damage.
func hurt(data []byte, rnd *rand.Rand) []byte {
	if len(data) < 8 {
		return append(data, "<note>"...)
	}
	a := rnd.IntN(len(data))
	b := min(a+1+rnd.IntN(400), len(data))
	switch rnd.IntN(6) {
	case 0: // cut off
		return data[:a]
	case 1: // a piece lost
		return append(data[:a:a], data[b:]...)
	case 2: // a piece twice
		return append(data[:b:b], data[a:]...)
	case 3: // bytes changed
		for range 1 + rnd.IntN(8) {
			data[rnd.IntN(len(data))] = byte(rnd.IntN(256))
		}
		return data
	case 4: // a number changed
		for i := a; i < len(data); i++ {
			if data[i] >= '0' && data[i] <= '9' {
				number := [...]string{"-1", "0", "99999999", "1e9", "7", "0.5"}[rnd.IntN(6)]
				return append(append(data[:i:i], number...), data[i+1:]...)
			}
		}
		return data
	}
	other := [...]string{"</note>", "<note>", "<backup><duration>9</duration></backup>", "<!DOCTYPE x [<!ENTITY a \"b\">]>&a;", "<measure number='x'/>", "\x00"}[rnd.IntN(6)]
	return append(append(data[:a:a], other...), data[a:]...)
}

// soakSeeds are the demo scores, invented ones, the small and hostile ones of
// musicxml's tests, and those of the folder that is named.
func soakSeeds(t *testing.T) [][]byte {
	seeds := [][]byte{ // hostile by design
		nil, []byte("PK\x03\x04"), bytes.Repeat([]byte("<part>"), 1<<18), bytes.Repeat([]byte{0}, 1<<20),
		[]byte("<score-partwise><part-list/><part id='P1'>" + strings.Repeat("<measure/>", 1<<15) + "</part></score-partwise>"),
		[]byte("<!DOCTYPE a [<!ENTITY b 'b'><!ENTITY c '&b;&b;&b;&b;'>]><score-partwise>&c;</score-partwise>"),
	}
	for _, measures := range []int{1, 12, 60} {
		var doc bytes.Buffer
		if err := musicxml.Write(&doc, scoregen.Piano(measures, 3)); err != nil {
			t.Fatal(err)
		}
		seeds = append(seeds, doc.Bytes())
	}
	folders := []string{demo.Path(t, ""), filepath.Join(filepath.Dir(demo.Path(t, "")), "musicxml", "testdata")}
	if more := os.Getenv("HAIRPIN_SOAK_SCORES"); more != "" {
		folders = append(folders, more)
	}
	for _, folder := range folders {
		err := filepath.WalkDir(folder, func(name string, d fs.DirEntry, err error) error {
			if err != nil || d.IsDir() {
				return err
			}
			switch filepath.Ext(name) {
			case ".musicxml", ".xml", ".mxl", "":
				data, err := os.ReadFile(name)
				if err != nil {
					return err
				}
				seeds = append(seeds, data)
				if inner := unpacked(data); inner != nil {
					seeds = append(seeds, inner)
				}
			}
			return nil
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	return seeds
}

// unpacked is the score in a container, nil if there is none.
func unpacked(data []byte) []byte {
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		return nil
	}
	for _, f := range z.File {
		if strings.HasPrefix(f.Name, "META-INF") || f.UncompressedSize64 > 8<<20 || !strings.HasSuffix(f.Name, "xml") {
			continue
		}
		r, err := f.Open()
		if err != nil {
			return nil
		}
		defer r.Close()
		if inner, err := io.ReadAll(r); err == nil {
			return inner
		}
	}
	return nil
}
