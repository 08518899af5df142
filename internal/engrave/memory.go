//go:build !js

package engrave

import "github.com/tetratelabs/wazero/experimental"

// newMemory gives one run of the engraver its memory: address space for all it
// may use, of which the machine provides what is touched, and which goes back
// the moment the run ends. Where that is not to be had, the garbage collector's.
func newMemory(capacity, limit uint64) experimental.LinearMemory {
	if m := mapMemory(limit); m != nil {
		return m
	}
	return &heapMemory{make([]byte, 0, capacity)}
}

type heapMemory struct{ bytes []byte }

func (m *heapMemory) Reallocate(size uint64) []byte {
	if have := uint64(len(m.bytes)); size > have {
		m.bytes = append(m.bytes, make([]byte, size-have)...)
	}
	return m.bytes[:size]
}

func (m *heapMemory) Free() { m.bytes = nil }
