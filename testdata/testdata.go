// Package testdata holds our own scores, for demonstrations and tests.
package testdata

import "embed"

// Scores are the .musicxml files of this folder.
//
//go:embed *.musicxml
var Scores embed.FS
