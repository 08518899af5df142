package report

import (
	"io"

	"hairpin/internal/licences"
)

// Licences writes the licence of the program and those of everything that is
// compiled into it.
func Licences(w io.Writer) error { return licences.Write(w) }
