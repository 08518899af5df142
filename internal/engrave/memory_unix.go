//go:build linux || darwin

package engrave

import (
	"syscall"

	"github.com/tetratelabs/wazero/experimental"
)

type mappedMemory struct{ bytes []byte }

func mapMemory(limit uint64) experimental.LinearMemory {
	if limit == 0 || limit > 4<<30 || uint64(int(limit)) != limit {
		return nil
	}
	bytes, err := syscall.Mmap(-1, 0, int(limit), syscall.PROT_READ|syscall.PROT_WRITE, syscall.MAP_ANON|syscall.MAP_PRIVATE|syscall.MAP_NORESERVE)
	if err != nil {
		return nil
	}
	return &mappedMemory{bytes}
}

func (m *mappedMemory) Reallocate(size uint64) []byte {
	if size > uint64(len(m.bytes)) {
		return nil
	}
	return m.bytes[:size]
}

func (m *mappedMemory) Free() {
	if m.bytes != nil {
		syscall.Munmap(m.bytes)
		m.bytes = nil
	}
}
