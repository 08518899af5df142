//go:build !windows

package main

// ownConsole reports whether the terminal was made for this program alone.
func ownConsole() bool { return false }
