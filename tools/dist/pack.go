package main

import (
	"archive/tar"
	"archive/zip"
	"bytes"
	"compress/gzip"
	"io/fs"
	"os"
	"os/exec"
	"path"
	"slices"
	"strings"
	"time"
)

// member is a file of a package.
type member struct {
	name string
	mode int64
	data []byte
}

// stamp is the time of every file in a package: a fixed one, so that packages
// made again are the same.
var stamp = time.Date(2000, 1, 1, 0, 0, 0, 0, time.UTC)

// extras are the files that go with the program on every platform.
func extras(version string) ([]member, error) {
	var out []member
	for _, name := range [...]string{"README.md", "LICENSE", "NOTICE", "CHANGELOG.md"} {
		data, err := os.ReadFile(name)
		if err != nil {
			return nil, err
		}
		out = append(out, member{name, 0o644, data})
	}
	said := [...]struct {
		name string
		args []string
	}{
		{"LICENCES.txt", []string{"licences"}},
		{"completion/hairpin.bash", []string{"completion", "bash"}},
		{"completion/_hairpin", []string{"completion", "zsh"}},
		{"completion/hairpin.fish", []string{"completion", "fish"}},
		{"completion/hairpin.ps1", []string{"completion", "powershell"}},
	}
	for _, s := range said {
		c := exec.Command("go", append([]string{"run", "./cmd/hairpin"}, s.args...)...)
		c.Stderr = os.Stderr
		data, err := c.Output()
		if err != nil {
			return nil, err
		}
		out = append(out, member{s.name, 0o644, data})
	}
	return out, nil
}

// pack makes a package: zip for Windows, tar.gz for the others.
func pack(platform, version string, binary []byte, extra []member) (name string, data []byte, err error) {
	folder := "hairpin-" + version + "-" + strings.ReplaceAll(platform, "/", "-")
	program := "hairpin"
	write, ending := packTar, ".tar.gz"
	if strings.HasPrefix(platform, "windows/") {
		program, write, ending = "hairpin.exe", packZip, ".zip"
	}
	members := slices.Concat([]member{{program, 0o755, binary}}, extra)
	for i := range members {
		members[i].name = path.Join(folder, members[i].name)
	}
	data, err = write(members)
	return folder + ending, data, err
}

func packTar(members []member) ([]byte, error) {
	var b bytes.Buffer
	z := gzip.NewWriter(&b)
	t := tar.NewWriter(z)
	for _, m := range members {
		h := &tar.Header{Name: m.name, Mode: m.mode, Size: int64(len(m.data)), ModTime: stamp, Format: tar.FormatUSTAR}
		if err := t.WriteHeader(h); err != nil {
			return nil, err
		}
		if _, err := t.Write(m.data); err != nil {
			return nil, err
		}
	}
	if err := t.Close(); err != nil {
		return nil, err
	}
	err := z.Close()
	return b.Bytes(), err
}

func packZip(members []member) ([]byte, error) {
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	for _, m := range members {
		h := &zip.FileHeader{Name: m.name, Method: zip.Deflate, Modified: stamp}
		h.SetMode(fs.FileMode(m.mode))
		w, err := z.CreateHeader(h)
		if err != nil {
			return nil, err
		}
		if _, err := w.Write(m.data); err != nil {
			return nil, err
		}
	}
	err := z.Close()
	return b.Bytes(), err
}
