// Dist makes the packages of a release, and checks that they can be made again
// bit for bit.
//
//	go run ./tools/dist -o DIR            one package a platform, and their SHA-256 sums
//	go run ./tools/dist -o DIR -twice     build again from a copy in another folder, with an empty cache, and compare
//	go run ./tools/dist -only linux/amd64 only this platform
//	go run ./tools/dist -site -o DIR      the static site
//	go run ./tools/dist -notices          gather the licences of the modules in internal/licences/notices.txt
package main

import (
	"bytes"
	"crypto/sha256"
	"flag"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
)

// platforms are those a release is built for.
var platforms = [...]string{
	"linux/amd64", "linux/arm64", "windows/amd64", "windows/arm64", "darwin/amd64", "darwin/arm64",
}

func main() {
	out := flag.String("o", "dist", "folder for the packages")
	version := flag.String("version", "", "version to stamp; else that of the last tag")
	only := flag.String("only", "", "this platform only, as linux/amd64")
	twice := flag.Bool("twice", false, "build everything again elsewhere and compare")
	notices := flag.Bool("notices", false, "gather the licences of the modules")
	static := flag.Bool("site", false, "make the static site instead")
	flag.Parse()
	err := error(nil)
	switch {
	case *notices:
		err = writeNotices(filepath.Join("internal", "licences", "notices.txt"))
	case *static:
		err = writeSite(*out)
	default:
		err = release(*out, *version, *only, *twice)
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, "dist: error:", err)
		os.Exit(1)
	}
}

func release(out, version, only string, twice bool) error {
	if version == "" {
		version = tagged()
	}
	if err := os.MkdirAll(out, 0o755); err != nil {
		return err
	}
	extra, err := extras(version)
	if err != nil {
		return err
	}
	var sums bytes.Buffer
	for _, p := range platforms {
		if only != "" && p != only {
			continue
		}
		binary, err := build(".", p, "./cmd/hairpin", stamped(version), "")
		if err == nil && twice {
			err = compare(binary, p, version)
		}
		if err != nil {
			return fmt.Errorf("%s: %w", p, err)
		}
		name, data, err := pack(p, version, binary, extra)
		if err != nil {
			return err
		}
		if err := os.WriteFile(filepath.Join(out, name), data, 0o644); err != nil {
			return err
		}
		fmt.Fprintf(&sums, "%x  %s\n", sha256.Sum256(data), name)
		fmt.Printf("%x  %s\n", sha256.Sum256(binary), p)
	}
	return os.WriteFile(filepath.Join(out, "SHA256SUMS"), sums.Bytes(), 0o644)
}

// tagged is the version by the last tag, "v0.0.0" before the first.
func tagged() string {
	v, err := exec.Command("git", "describe", "--tags", "--dirty").Output()
	if err != nil {
		return "v0.0.0"
	}
	return strings.TrimSpace(string(v))
}

// stamped are the linker's flags for the command of a version.
func stamped(version string) string { return "-s -w -X main.release=" + version }

// build compiles a program of the tree in a folder and gives its bytes; flags are
// the linker's, cache is the compiler's cache, "" for the usual one.
func build(folder, platform, program, flags, cache string) ([]byte, error) {
	temp, err := os.MkdirTemp("", "hairpin-dist-*")
	if err != nil {
		return nil, err
	}
	defer os.RemoveAll(temp)
	system, processor, _ := strings.Cut(platform, "/")
	file := filepath.Join(temp, "hairpin")
	c := exec.Command("go", "build", "-trimpath", "-buildvcs=false", "-ldflags", flags, "-o", file, program)
	c.Dir, c.Stderr = folder, os.Stderr
	c.Env = append(os.Environ(), "GOOS="+system, "GOARCH="+processor, "CGO_ENABLED=0", "GOFLAGS=", "GOAMD64=v1", "GOARM64=v8.0")
	if cache != "" {
		c.Env = append(c.Env, "GOCACHE="+cache)
	}
	if err := c.Run(); err != nil {
		return nil, err
	}
	return os.ReadFile(file)
}

// compare builds a copy of the sources in another folder with an empty cache;
// the bytes must be the same.
func compare(first []byte, platform, version string) error {
	temp, err := os.MkdirTemp("", "hairpin-again-*")
	if err != nil {
		return err
	}
	defer os.RemoveAll(temp)
	tree := filepath.Join(temp, "tree")
	if err := os.CopyFS(tree, sources()); err != nil {
		return err
	}
	second, err := build(tree, platform, "./cmd/hairpin", stamped(version), filepath.Join(temp, "cache"))
	if err != nil {
		return err
	}
	if !bytes.Equal(first, second) {
		return fmt.Errorf("built twice, the programs differ: %x and %x", sha256.Sum256(first), sha256.Sum256(second))
	}
	fmt.Printf("%s: built twice, the same bytes\n", platform)
	return nil
}
