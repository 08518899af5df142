package main

import (
	"bytes"
	"cmp"
	"compress/gzip"
	"context"
	"crypto/sha256"
	"encoding/json"
	"fmt"
	"net/http"
	"net/http/httptest"
	"os"
	"os/exec"
	"path"
	"path/filepath"
	"regexp"
	"slices"
	"strings"

	"hairpin/web"
)

// site is a static site in the making: its files by name.
type site map[string][]byte

// writeSite makes the static site: the page as the local page's handler gives
// it, the program for the browser, the engraver, and what makes it installable.
func writeSite(out string) error {
	s := site{}
	for _, add := range [...]func(site) error{addPage, addModules, addScripts, addApp, addLicences} {
		if err := add(s); err != nil {
			return err
		}
	}
	if err := s.finish(); err != nil {
		return err
	}
	for name, data := range s {
		file := filepath.Join(out, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(file), 0o755); err != nil {
			return err
		}
		if err := os.WriteFile(file, data, 0o644); err != nil {
			return err
		}
	}
	fmt.Printf("%d files, %.1f MB packed to fetch at the first visit\n", len(s), float64(s.firstVisit())/1e6)
	return nil
}

// addPage asks the handler for the page, its styles and fonts.
func addPage(s site) error {
	server := web.New(context.Background(), web.Options{})
	defer server.Close(context.Background())
	const address = "127.0.0.1:80"
	handler := server.Handler(address)
	get := func(name string) (*httptest.ResponseRecorder, error) {
		r := httptest.NewRequest("GET", "http://"+address+"/"+name, nil)
		w := httptest.NewRecorder()
		if handler.ServeHTTP(w, r); w.Code != http.StatusOK {
			return nil, fmt.Errorf("/%s: status %d", name, w.Code)
		}
		return w, nil
	}
	start, err := get("")
	if err != nil {
		return err
	}
	s["index.html"] = onSite(start.Body.Bytes(), sitePolicy(start.Header().Get("Content-Security-Policy")))
	wanted := regexp.MustCompile(`href="(assets/[^"]+)"|url\(\.\./(fonts/[^)]+)\)`)
	for _, from := range [...]string{"index.html", "assets/fonts.css"} {
		for _, m := range wanted.FindAllSubmatch(s[from], -1) {
			name := string(m[1]) + string(m[2])
			file, err := get(name)
			if err != nil {
				return err
			}
			s[name] = file.Body.Bytes()
		}
	}
	s["assets/fonts.css"] = wanted.ReplaceAllFunc(s["assets/fonts.css"], func(b []byte) []byte {
		name := string(wanted.FindSubmatch(b)[2])
		return fmt.Appendf(nil, "url(../%s?v=%s)", name, sum(s[name]))
	})
	return nil
}

// sitePolicy is the page's policy for the site: its own WebAssembly may run, in
// workers whose scripts the page has put together itself.
func sitePolicy(policy string) string {
	policy, _, _ = strings.Cut(policy, "; frame-ancestors") // means nothing inside a document
	return strings.Replace(policy, "script-src 'self'", "script-src 'self' 'wasm-unsafe-eval'; worker-src 'self' blob:; manifest-src 'self'", 1)
}

// onSite makes the page the site's: with its policy, its script, as an app, and
// with a way to the licences.
func onSite(page []byte, policy string) []byte {
	head := `<meta http-equiv="Content-Security-Policy" content="` + policy + `">
<meta name="referrer" content="no-referrer">
<link rel="manifest" href="manifest.webmanifest">
<link rel="apple-touch-icon" href="icon-192.png">
<link rel="license" href="LICENCES.txt">
`
	page = bytes.Replace(page, []byte(`<meta name="viewport"`), []byte(head+`<meta name="viewport"`), 1)
	page = bytes.Replace(page, []byte("</main>\n"), []byte("</main>\n"+`<footer class="lp-state"><a href="LICENCES.txt">Licences</a></footer>`+"\n"), 1)
	page = bytes.Replace(page, []byte(`href="data:,"`), []byte(`href="icon.svg"`), 1)
	return bytes.Replace(page, []byte(`src="assets/page.js"`), []byte(`src="site.js"`), 1)
}

// addModules adds the program and the engraver, packed and plain.
func addModules(s site) error {
	program, err := build(".", "js/wasm", "./web/worker", "-s -w", "")
	if err != nil {
		return err
	}
	if s["hairpin.wasm"], err = bounded(program); err != nil {
		return err
	}
	packed, err := os.ReadFile(filepath.Join("internal", "engrave", "vendored", "engraver.wasm.gz"))
	if err != nil {
		return err
	}
	s["engraver.wasm"], err = unpacked(packed)
	return err
}

// addScripts adds the scripts, which web/check.sh compares with their sources,
// and the compiler's own that starts a program.
func addScripts(s site) error {
	root, err := exec.Command("go", "env", "GOROOT").Output()
	if err != nil {
		return err
	}
	files := []string{filepath.Join(strings.TrimSpace(string(root)), "lib", "wasm", "wasm_exec.js")}
	for _, name := range [...]string{"site.js", "worker.js", "engraver.js", "sw.js"} {
		files = append(files, filepath.Join("web", "site", name))
	}
	for _, file := range files {
		if s[filepath.Base(file)], err = os.ReadFile(file); err != nil {
			return err
		}
	}
	return nil
}

func addLicences(s site) (err error) {
	c := exec.Command("go", "run", "./cmd/hairpin", "licences")
	c.Stderr = os.Stderr
	s["LICENCES.txt"], err = c.Output()
	return err
}

// finish packs the files, names each by what is in it, and tells the scripts.
func (s site) finish() error {
	for _, name := range s.names() {
		if kind := path.Ext(name); kind != ".woff2" && kind != ".png" {
			s[name+".gz"] = packed(s[name])
		}
	}
	known := map[string]string{}
	for _, name := range s.names() {
		if s.visited(name) && name != "index.html" && name != "site.js" && name != "sw.js" {
			known[name] = sum(s[name])
		}
	}
	version, err := s.tell(known)
	if err != nil {
		return err
	}
	s["index.html"] = s.stamp(known)
	for _, name := range [...]string{"index.html", "site.js", "sw.js"} {
		s[name+".gz"] = packed(s[name])
	}
	fmt.Println("version", version)
	return nil
}

// tell writes what the site consists of (Site in web/src/stock.ts) before the
// scripts that use it, and gives its version.
func (s site) tell(known map[string]string) (string, error) {
	all := sha256.New()
	for _, name := range s.names() {
		fmt.Fprintln(all, name, sum(s[name]))
	}
	about := struct {
		Version string            `json:"version"`
		Files   map[string]string `json:"files"`
		Size    int               `json:"size"`
	}{fmt.Sprintf("%x", all.Sum(nil)[:6]), known, len(s["hairpin.wasm.gz"]) + len(s["engraver.wasm.gz"])}
	for _, name := range [...]string{"site.js", "sw.js"} { // the worker keeps the page's script too
		text, err := json.Marshal(about)
		if err != nil {
			return "", err
		}
		s[name] = slices.Concat([]byte("const SITE="), text, []byte(";\n"), s[name])
		known[name] = sum(s[name])
	}
	delete(known, "sw.js") // the browser keeps that one itself
	return about.Version, nil
}

// stamp names the files the page asks for by what is in them.
func (s site) stamp(known map[string]string) []byte {
	link := regexp.MustCompile(`(href|src)="([^"]+)"`)
	return link.ReplaceAllFunc(s["index.html"], func(b []byte) []byte {
		m := link.FindSubmatch(b)
		if sum, ok := known[string(m[2])]; ok {
			return fmt.Appendf(nil, `%s="%s?v=%s"`, m[1], m[2], sum)
		}
		return b
	})
}

// visited reports whether a visit to the page asks for the file.
func (s site) visited(name string) bool {
	switch path.Ext(name) {
	case ".wasm", ".txt", ".png":
		return false
	case ".gz":
		return strings.HasSuffix(name, ".wasm.gz")
	}
	return true
}

// firstVisit is how many bytes that takes, from a server that packs nothing itself.
func (s site) firstVisit() int {
	n := 0
	for name, data := range s {
		if s.visited(name) {
			n += len(data)
		}
	}
	return n
}

func (s site) names() []string {
	var out []string
	for name := range s {
		out = append(out, name)
	}
	slices.SortFunc(out, cmp.Compare[string])
	return out
}

func sum(data []byte) string { return fmt.Sprintf("%x", sha256.Sum256(data))[:12] }

func packed(data []byte) []byte {
	var b bytes.Buffer
	z, _ := gzip.NewWriterLevel(&b, gzip.BestCompression)
	z.Write(data) // into memory: no error
	z.Close()
	return b.Bytes()
}
