package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"io/fs"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
)

// module is a module that is compiled into the program.
type module struct{ Path, Version, Dir string }

// writeNotices gathers the licences of everything that is compiled in.
func writeNotices(file string) error {
	text, err := notices()
	if err != nil {
		return err
	}
	return os.WriteFile(file, text, 0o644)
}

// notices is the program's own licence, the sources of its fitted tables, the
// licence of the compiler's library and those of the modules, by name.
func notices() ([]byte, error) {
	var b bytes.Buffer
	if err := section(&b, "hairpin", ".", licenceFile); err != nil {
		return nil, err
	}
	head, err := tableHead(filepath.Join("harmony", "hearing", "chords.model"))
	if err != nil {
		return nil, err
	}
	fmt.Fprintf(&b, "== the table of the chord decoder\n\n%s\n", head)
	root, err := exec.Command("go", "env", "GOROOT").Output()
	if err != nil {
		return nil, err
	}
	if err := section(&b, "the Go standard library", strings.TrimSpace(string(root)), licenceFile); err != nil {
		return nil, err
	}
	modules, err := compiledIn()
	if err != nil {
		return nil, err
	}
	for _, m := range modules {
		if err := section(&b, m.Path+" "+m.Version, m.Dir, licenceFile); err != nil {
			return nil, err
		}
	}
	return b.Bytes(), nil
}

// licenceFile is how the files that hold a licence or a notice are named.
var licenceFile = regexp.MustCompile(`(?i)^(licen[cs]e|copying|notice|patents)(\.(md|txt))?$`)

// section writes the licence files of a folder.
func section(b *bytes.Buffer, title, folder string, named *regexp.Regexp) error {
	entries, err := os.ReadDir(folder)
	if err != nil {
		return err
	}
	found := false
	for _, e := range entries {
		if e.IsDir() || !named.MatchString(e.Name()) {
			continue
		}
		text, err := os.ReadFile(filepath.Join(folder, e.Name()))
		if err != nil {
			return err
		}
		if !found {
			fmt.Fprintf(b, "== %s\n\n", title)
		}
		found = true
		fmt.Fprintf(b, "%s\n\n", bytes.TrimSpace(bytes.ReplaceAll(text, []byte("\r\n"), []byte("\n"))))
	}
	if !found {
		return fmt.Errorf("%s has no licence file in %s", title, folder)
	}
	return nil
}

// tableHead is the comment at the head of a fitted table.
func tableHead(file string) (string, error) {
	text, err := os.ReadFile(file)
	if err != nil {
		return "", err
	}
	var head strings.Builder
	for line := range strings.Lines(string(text)) {
		if !strings.HasPrefix(line, "#") {
			break
		}
		head.WriteString(strings.TrimPrefix(strings.TrimPrefix(line, "#"), " "))
	}
	return head.String(), nil
}

// compiledIn are the modules of the program on all platforms, by path.
func compiledIn() ([]module, error) {
	all := map[string]module{}
	for _, p := range platforms {
		system, processor, _ := strings.Cut(p, "/")
		c := exec.Command("go", "list", "-deps", "-json=Module", "./cmd/hairpin")
		c.Env = append(os.Environ(), "GOOS="+system, "GOARCH="+processor, "CGO_ENABLED=0")
		c.Stderr = os.Stderr
		out, err := c.Output()
		if err != nil {
			return nil, err
		}
		for d := json.NewDecoder(bytes.NewReader(out)); ; {
			var p struct{ Module *module }
			if err := d.Decode(&p); err == io.EOF {
				break
			} else if err != nil {
				return nil, err
			}
			if p.Module != nil && p.Module.Version != "" {
				all[p.Module.Path] = *p.Module
			}
		}
	}
	var out []module
	for _, name := range slices.Sorted(maps.Keys(all)) {
		out = append(out, all[name])
	}
	return out, nil
}

// sources are the files of the working tree that a build needs: without hidden
// folders, packages of an earlier run and what the page's tools bring.
func sources() fs.FS { return tree{os.DirFS(".")} }

// tree hides folders that are no sources.
type tree struct{ fs.FS }

func (t tree) ReadDir(name string) ([]fs.DirEntry, error) {
	entries, err := fs.ReadDir(t.FS, name)
	return slices.DeleteFunc(entries, func(e fs.DirEntry) bool {
		return strings.HasPrefix(e.Name(), ".") || e.IsDir() && (e.Name() == "node_modules" || e.Name() == "dist" && name == ".")
	}), err
}
