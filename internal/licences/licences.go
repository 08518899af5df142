// Package licences carries the licence of the program and the notices of
// everything that is compiled into it.
package licences

import (
	_ "embed"
	"io"

	"hairpin/internal/engrave"
)

// notices are the texts of the modules, gathered by
//
//	go run ./tools/dist -notices
//
//go:embed notices.txt
var notices string

// Write writes all of them.
func Write(w io.Writer) error {
	if _, err := io.WriteString(w, notices); err != nil {
		return err
	}
	if _, err := io.WriteString(w, "== engraver and fonts\n\n"); err != nil {
		return err
	}
	return engrave.WriteNotices(w)
}
