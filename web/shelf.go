package web

import (
	"container/list"
	"crypto/sha256"
	"encoding/hex"
	"sync"

	"hairpin/internal/engrave"
	"hairpin/internal/midi"
	"hairpin/musicxml"
	"hairpin/report"
	"hairpin/report/html"
	"hairpin/report/sound"
)

// shelf keeps the scores used last, in memory only: at most so many, and at
// most so many bytes of them.
type shelf struct {
	mu    sync.Mutex
	most  int
	bytes int64
	used  int64
	order *list.List // of *entry, the latest first
	byID  map[string]*list.Element
}

// entry is a score and what was made of it.
type entry struct {
	id, name string
	file     *musicxml.File
	size     int64

	drawing sync.Mutex // over the engravings
	drawn   map[picture]*engrave.Engraving

	mu      sync.Mutex                      // over the reading
	choice  string                          // of the reading kept
	reading *report.Reading                 // the last one, nil at first
	sounds  map[played]*midi.Sound          // of that reading
	takes   map[[sha256.Size]byte]*followed // by the recording's sum
}

// picture is a way to engrave a score.
type picture struct {
	staves html.Staves
	narrow bool
}

// played is a way to play a reading.
type played struct {
	level sound.LevelSource
	speed float64
}

func newShelf(most int, bytes int64) *shelf {
	return &shelf{most: most, bytes: bytes, order: list.New(), byID: map[string]*list.Element{}}
}

// put adds a score and drops those used longest ago.
func (s *shelf) put(name string, data []byte, f *musicxml.File) *entry {
	sum := sha256.Sum256(append([]byte(name+"\x00"), data...))
	id := hex.EncodeToString(sum[:16])
	s.mu.Lock()
	defer s.mu.Unlock()
	if at, ok := s.byID[id]; ok {
		s.order.MoveToFront(at)
		return at.Value.(*entry)
	}
	e := &entry{id: id, name: name, file: f, size: int64(len(f.Document())), drawn: map[picture]*engrave.Engraving{}, takes: map[[sha256.Size]byte]*followed{}}
	s.byID[id] = s.order.PushFront(e)
	s.used += e.size
	for s.order.Len() > 1 && (s.order.Len() > s.most || s.used > s.bytes) {
		s.drop(s.order.Back())
	}
	return e
}

func (s *shelf) drop(at *list.Element) {
	e := s.order.Remove(at).(*entry)
	delete(s.byID, e.id)
	s.used -= e.size
}

// get is the score, nil if it is no longer there.
func (s *shelf) get(id string) *entry {
	s.mu.Lock()
	defer s.mu.Unlock()
	at, ok := s.byID[id]
	if !ok {
		return nil
	}
	s.order.MoveToFront(at)
	return at.Value.(*entry)
}
