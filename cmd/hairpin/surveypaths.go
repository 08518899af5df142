package main

import (
	"bufio"
	"io"
	"io/fs"
	"iter"
	"os"
	"path/filepath"
	"strings"
)

// scoreNames are the scores that the paths stand for, one after the other: a
// folder is searched, a pattern is matched, and - reads names from stdin.
func scoreNames(stdin io.Reader, paths []string) iter.Seq2[string, error] {
	return func(yield func(string, error) bool) {
		for _, path := range paths {
			if path == "-" {
				if !listed(stdin, yield) {
					return
				}
				continue
			}
			for _, p := range matches(path) {
				if !below(p, yield) {
					return
				}
			}
		}
	}
}

// listed gives the names on the lines of a list.
func listed(r io.Reader, yield func(string, error) bool) bool {
	lines := bufio.NewScanner(r)
	for lines.Scan() {
		if name := strings.TrimSuffix(lines.Text(), "\r"); name != "" && !yield(name, nil) {
			return false
		}
	}
	return lines.Err() == nil || yield("", lines.Err())
}

// matches are the paths of a pattern, or the path itself: a missing one is
// told in its row.
func matches(path string) []string {
	if _, err := os.Lstat(path); err == nil || !strings.ContainsAny(path, "*?[") {
		return []string{path}
	}
	if found, err := filepath.Glob(path); err == nil && len(found) > 0 {
		return found
	}
	return []string{path}
}

// below gives the scores in a folder and its folders, or the path itself if it
// is not one. Hidden files and the insides of unpacked containers are left out.
func below(path string, yield func(string, error) bool) bool {
	more := true
	if info, err := os.Stat(path); err != nil || !info.IsDir() {
		return yield(path, nil)
	}
	filepath.WalkDir(path, func(name string, d fs.DirEntry, err error) error {
		switch {
		case err != nil:
			more = yield(name, nil) // its row says what is wrong
		case name != path && strings.HasPrefix(d.Name(), "."), d.IsDir() && d.Name() == "META-INF":
			if d.IsDir() {
				return fs.SkipDir
			}
		case !d.IsDir() && isScore(name):
			more = yield(name, nil)
		}
		if !more {
			return fs.SkipAll
		}
		return nil
	})
	return more
}

func isScore(name string) bool {
	switch strings.ToLower(filepath.Ext(name)) {
	case ".musicxml", ".xml", ".mxl":
		return true
	}
	return false
}

// without leaves out the names that an earlier output holds.
func without(names iter.Seq2[string, error], has func(string) bool) iter.Seq2[string, error] {
	return func(yield func(string, error) bool) {
		for name, err := range names {
			if err == nil && has(name) {
				continue
			}
			if !yield(name, err) {
				return
			}
		}
	}
}
