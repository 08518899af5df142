package main

import (
	"bytes"
	"compress/gzip"
	"encoding/binary"
	"errors"
	"io"
)

// mostPages is the most memory the program may take in a browser, in WebAssembly
// pages of 64 KiB: 1 GiB. A phone's browser ends a page that takes much more,
// without a word; at this bound the program says itself that a score is too large.
const mostPages = 1 << 30 >> 16

// bounded gives the memory of a WebAssembly module an upper bound, which the
// compiler does not. (WebAssembly Core Specification 2.0, W3C 2022, 5.5: a module
// is a header of eight bytes and sections, each an id, a size and content;
// section 5 holds the memory's limits.)
func bounded(module []byte) ([]byte, error) {
	const header, memory = 8, 5
	damaged := errors.New("the program for the browser is no WebAssembly module of the expected form")
	if len(module) < header {
		return nil, damaged
	}
	for at := header; at < len(module); {
		size, n := binary.Uvarint(module[at+1:])
		start := at + 1 + n
		if n <= 0 || size > uint64(len(module)-start) {
			return nil, damaged
		}
		end := start + int(size)
		if module[at] != memory {
			at = end
			continue
		}
		limits := module[start:end] // one memory, no upper bound, least pages
		if !bytes.HasPrefix(limits, []byte{1, 0}) {
			return nil, damaged
		}
		content := binary.AppendUvarint(append([]byte{1, 1}, limits[2:]...), mostPages)
		out := append(bytes.Clone(module[:at]), memory)
		out = binary.AppendUvarint(out, uint64(len(content)))
		return append(append(out, content...), module[end:]...), nil
	}
	return nil, damaged
}

func unpacked(data []byte) ([]byte, error) {
	z, err := gzip.NewReader(bytes.NewReader(data))
	if err != nil {
		return nil, err
	}
	return io.ReadAll(z)
}
