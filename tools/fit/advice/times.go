package main

import (
	"io"

	"hairpin/dynamics/advice"
)

func times(w io.Writer, dir string, t *advice.Table, counts map[advice.Comparable]*count) error { return nil }
