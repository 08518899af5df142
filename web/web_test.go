package web

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"regexp"
	"runtime"
	"strings"
	"testing"
	"time"

	"hairpin/harmony/stated"
	"hairpin/report/html"
)

// started is a server that listens, with its address.
type started struct {
	*testing.T
	s       *Server
	address string
}

func start(t *testing.T, opt Options) started {
	t.Helper()
	l, err := Listen(0)
	if err != nil {
		t.Fatal(err)
	}
	ctx, stop := context.WithCancel(context.Background())
	s := New(ctx, opt)
	done := make(chan error, 1)
	go func() { done <- s.Serve(ctx, l) }()
	t.Cleanup(func() {
		stop()
		if err := <-done; err != nil {
			t.Error(err)
		}
		s.Close(context.Background())
	})
	return started{t, s, l.Addr().String()}
}

// ask sends a request as the page would, changed by the given function.
func (t started) ask(method, path, kind string, body []byte, change func(*http.Request)) (int, string) {
	t.Helper()
	r, err := http.NewRequest(method, "http://"+t.address+path, bytes.NewReader(body))
	if err != nil {
		t.Fatal(err)
	}
	if method == http.MethodPost {
		r.Header.Set("Content-Type", kind)
		r.Header.Set("Origin", "http://"+t.address)
	}
	if change != nil {
		change(r)
	}
	a, err := http.DefaultClient.Do(r)
	if err != nil {
		t.Fatal(err)
	}
	defer a.Body.Close()
	text, _ := io.ReadAll(a.Body)
	return a.StatusCode, string(text)
}

func (t started) json(path string, v any) (int, string) {
	t.Helper()
	body, err := json.Marshal(v)
	if err != nil {
		t.Fatal(err)
	}
	return t.ask("POST", path, "application/json", body, nil)
}

// take uploads a score and returns what the page would then ask for.
func (t started) take(name string, data []byte) choice {
	t.Helper()
	status, text := t.ask("POST", "/api/score?name="+name, "application/octet-stream", data, nil)
	var k kept
	if err := json.Unmarshal([]byte(text), &k); err != nil || status != 200 {
		t.Fatalf("upload of %s: %d %s", name, status, text)
	}
	return choice{ID: k.ID, Dissonance: 1, Distance: 1, Pull: 1}
}

func demoScore(t testing.TB, name string) []byte {
	t.Helper()
	data, err := os.ReadFile(filepath.Join("..", "testdata", name+".musicxml"))
	if err != nil {
		t.Fatal(err)
	}
	return data
}

func TestListensOnLoopbackOnly(t *testing.T) {
	l, err := Listen(0)
	if err != nil {
		t.Fatal(err)
	}
	defer l.Close()
	if ip := l.Addr().(*net.TCPAddr).IP; !ip.IsLoopback() {
		t.Errorf("listens on %v", ip)
	}
}

func TestForeignHostIsRefused(t *testing.T) {
	s := start(t, Options{})
	for _, host := range []string{"score.example", "score.example:80", "127.0.0.1", "192.0.2.1:80", ""} {
		if status, _ := s.ask("GET", "/", "", nil, func(r *http.Request) { r.Host = host }); host != "" && status != http.StatusForbidden {
			t.Errorf("host %q: status %d", host, status)
		}
	}
	_, port, _ := net.SplitHostPort(s.address)
	for _, host := range []string{s.address, "localhost:" + port} {
		if status, _ := s.ask("GET", "/", "", nil, func(r *http.Request) { r.Host = host }); status != 200 {
			t.Errorf("host %q: status %d", host, status)
		}
	}
}

func TestForeignOriginIsRefused(t *testing.T) {
	s := start(t, Options{})
	body := []byte(`{"name":"song-ferry-lamp"}`)
	cases := []struct {
		name   string
		change func(*http.Request)
		want   int
	}{
		{"own", nil, 200},
		{"foreign", func(r *http.Request) { r.Header.Set("Origin", "http://score.example") }, 403},
		{"other port", func(r *http.Request) { r.Header.Set("Origin", "http://127.0.0.1:1") }, 403},
		{"none", func(r *http.Request) { r.Header.Del("Origin") }, 403},
		{"null", func(r *http.Request) { r.Header.Set("Origin", "null") }, 403},
		{"a form's type", func(r *http.Request) { r.Header.Set("Content-Type", "text/plain") }, 415},
	}
	for _, c := range cases {
		if status, text := s.ask("POST", "/api/demo", "application/json", body, c.change); status != c.want {
			t.Errorf("%s: %d %s", c.name, status, text)
		}
	}
	status, _ := s.ask("GET", "/api/demos", "", nil, func(r *http.Request) { r.Header.Set("Sec-Fetch-Site", "cross-site") })
	if status != 403 {
		t.Errorf("a look from another site: %d", status)
	}
}

func TestEveryAnswerCarriesThePolicy(t *testing.T) {
	s := start(t, Options{})
	for _, path := range []string{"/", "/assets/page.js", "/assets/reading.css", "/fonts/music.woff2", "/api/demos", "/nothing"} {
		a, err := http.Get("http://" + s.address + path)
		if err != nil {
			t.Fatal(err)
		}
		a.Body.Close()
		p := a.Header.Get("Content-Security-Policy")
		if !strings.Contains(p, "default-src 'none'") || strings.Contains(p, "unsafe") || a.Header.Get("X-Content-Type-Options") != "nosniff" {
			t.Errorf("%s: policy %q", path, p)
		}
	}
}

func TestOversizedUploadIsRefused(t *testing.T) {
	s := start(t, Options{Upload: 1000})
	status, text := s.ask("POST", "/api/score?name=big.xml", "application/octet-stream", make([]byte, 2000), nil)
	if status != http.StatusRequestEntityTooLarge || !strings.Contains(text, "larger than") {
		t.Errorf("%d %s", status, text)
	}
}

func TestTraversalFindsNothing(t *testing.T) {
	s := start(t, Options{})
	for _, path := range []string{"/../web.go", "/assets/../web.go", "/assets/..%2fweb.go", "/assets/%2e%2e/web.go", "/fonts/..%2f..%2fgo.mod", "/assets/..%5cweb.go", "//etc/passwd"} {
		conn, err := net.Dial("tcp", s.address)
		if err != nil {
			t.Fatal(err)
		}
		fmt.Fprintf(conn, "GET %s HTTP/1.1\r\nHost: %s\r\nConnection: close\r\n\r\n", path, s.address)
		answer, _ := io.ReadAll(conn)
		conn.Close()
		if bytes.Contains(answer, []byte("package web")) || bytes.Contains(answer, []byte("module hairpin")) || bytes.HasPrefix(answer, []byte("HTTP/1.1 200")) {
			t.Errorf("%s: %.60s", path, answer)
		}
	}
	status, text := s.json("/api/demo", map[string]string{"name": "../../go.mod"})
	if status != http.StatusNotFound {
		t.Errorf("demo outside: %d %s", status, text)
	}
	c := s.take("..%2f..%2fevil%22.xml", demoScore(t, "vibraphone-low-water"))
	if e := s.s.shelf.get(c.ID); strings.ContainsAny(e.name, `/\`) {
		t.Errorf("name kept: %q", e.name)
	}
}

func TestSlowClientIsLetGo(t *testing.T) {
	s := start(t, Options{Waiting: 300 * time.Millisecond})
	for name, text := range map[string]string{
		"head": "POST /api/score HTTP/1.1\r\nHost: ",
		"body": "POST /api/score?name=a.xml HTTP/1.1\r\nHost: " + s.address + "\r\nOrigin: http://" + s.address +
			"\r\nContent-Type: application/octet-stream\r\nContent-Length: 1000\r\n\r\n<score",
	} {
		conn, err := net.Dial("tcp", s.address)
		if err != nil {
			t.Fatal(err)
		}
		io.WriteString(conn, text)
		conn.SetReadDeadline(time.Now().Add(5 * time.Second))
		begun := time.Now()
		if _, err := io.ReadAll(conn); err != nil {
			t.Errorf("%s: still held after %v: %v", name, time.Since(begun), err)
		}
		conn.Close()
	}
}

func TestHostileFilesGiveTheCommandsSentence(t *testing.T) {
	s := start(t, Options{})
	for name, data := range map[string]string{
		"entity.xml": `<!DOCTYPE s [<!ENTITY x SYSTEM "file:///etc/passwd">]><score-partwise>&x;</score-partwise>`,
		"cut.xml":    `<score-partwise><part-list>`,
		"empty.xml":  "",
		"noise.mxl":  "PK\x03\x04 nothing",
	} {
		status, text := s.ask("POST", "/api/score?name="+name, "application/octet-stream", []byte(data), nil)
		var f failure
		if err := json.Unmarshal([]byte(text), &f); err != nil || status != http.StatusUnprocessableEntity || !strings.HasPrefix(f.Error, name) {
			t.Errorf("%s: %d %s", name, status, text)
		}
		if strings.Contains(text, "root:") || strings.Contains(f.Error, "\n") {
			t.Errorf("%s: %s", name, text)
		}
	}
}

// Two tabs read two scores, each its own way, at the same time.
func TestTwoTabsDoNotDisturbEachOther(t *testing.T) {
	s := start(t, Options{})
	a := s.take("a.musicxml", demoScore(t, "song-ferry-lamp"))
	b := s.take("b.musicxml", demoScore(t, "etude-millrace"))
	b.Corrections = "1 1 C I\n"
	type got struct{ want, text string }
	out := make(chan got, 8)
	for i := range 8 {
		c, want := a, "Eb"
		if i%2 == 1 {
			c, want = b, "given"
		}
		go func() {
			_, text := s.json("/api/explain", struct {
				choice
				At string `json:"at"`
			}{c, "1:1"})
			out <- got{want, text}
		}()
	}
	for range 8 {
		if g := <-out; !strings.Contains(g.text, g.want) {
			t.Errorf("%q is not in %s", g.want, g.text)
		}
	}
}

func TestForgottenScoreIsSaidToBeGone(t *testing.T) {
	s := start(t, Options{Shelf: 1})
	a := s.take("a.musicxml", demoScore(t, "song-ferry-lamp"))
	s.take("b.musicxml", demoScore(t, "etude-millrace"))
	status, text := s.json("/api/play", a)
	if status != http.StatusGone || !strings.Contains(text, `"gone":true`) {
		t.Errorf("%d %s", status, text)
	}
}

func TestHundredUploadsKeepMemoryFlat(t *testing.T) {
	if testing.Short() {
		t.Skip("takes some seconds")
	}
	s := start(t, Options{})
	data := demoScore(t, "quartet-below-the-weir")
	after := func(from, to int) uint64 {
		for i := from; i < to; i++ {
			c := s.take("q.musicxml", append(data, []byte(fmt.Sprintf("<!-- %d -->", i))...))
			if status, text := s.json("/api/play", c); status != 200 {
				t.Fatal(status, text)
			}
		}
		runtime.GC()
		var m runtime.MemStats
		runtime.ReadMemStats(&m)
		return m.HeapAlloc
	}
	early, late := after(0, 20), after(20, 120)
	t.Logf("heap after 20 uploads %d kB, after 120 %d kB", early>>10, late>>10)
	if late > early+early/4+(4<<20) {
		t.Errorf("the heap grew from %d to %d kB", early>>10, late>>10)
	}
}

func TestReadTellsItsStagesAndThenTheReading(t *testing.T) {
	s := start(t, Options{})
	c := s.take("song.musicxml", demoScore(t, "song-ferry-lamp"))
	status, text := s.json("/api/read", struct {
		choice
		Layout string `json:"layout"`
	}{c, "wide"})
	lines := strings.Split(strings.TrimSpace(text), "\n")
	if status != 200 || len(lines) != 5 || !strings.Contains(lines[0], "stage") || !strings.Contains(lines[1], `"words"`) || !strings.Contains(lines[3], `"head"`) || !strings.Contains(lines[4], `"done"`) {
		t.Fatalf("%d, %d lines", status, len(lines))
	}
	if strings.Contains(text, "<script") {
		t.Error("a script in the reading")
	}
}

// The first systems of a long score come before the whole, and stay as they are.
func TestTheBeginningOfALongScoreComesFirst(t *testing.T) {
	s := start(t, Options{})
	demo := string(demoScore(t, "song-ferry-lamp"))
	long := regexp.MustCompile(`(?s)(<part id[^>]*>)(.*?)(</part>)`).ReplaceAllString(demo, "$1$2$2$3")
	for _, layout := range []string{"wide", "narrow"} {
		_, text := s.json("/api/read", struct {
			choice
			Layout string `json:"layout"`
		}{s.take("long.musicxml", []byte(long)), layout})
		var head, done *html.Live
		for text := range strings.Lines(text) {
			var said struct{ Head, Done *html.Live }
			if err := json.Unmarshal([]byte(text), &said); err != nil {
				t.Fatal(err)
			}
			if said.Head != nil {
				head = said.Head
			}
			if said.Done != nil {
				done = said.Done
			}
		}
		if head == nil || done == nil || len(head.Systems) == 0 || len(head.Systems) >= len(done.Systems) {
			t.Fatalf("%s: no beginning came", layout)
		}
		const begins = `<div class="hp-line">`
		first, all := strings.Split(head.Score, begins), strings.Split(done.Score, begins)
		for i := range head.Systems {
			picture, _, _ := strings.Cut(first[i+1], "</div>")
			if !strings.HasPrefix(all[i+1], picture) {
				t.Errorf("%s: system %d is drawn otherwise", layout, i)
			}
		}
		if head.Tables != "" || done.Tables == "" {
			t.Errorf("%s: the tables belong to the whole", layout)
		}
	}
}

func TestEveryFileIsMade(t *testing.T) {
	s := start(t, Options{})
	c := s.take("song.musicxml", demoScore(t, "song-ferry-lamp"))
	begins := map[string]string{"report": "<!DOCTYPE html>", "poster": "<!DOCTYPE html>", "picture": "<svg", "annotated": "<?xml", "reduction": "<?xml", "printed": "MThd", "shaped": "MThd", "study": "{"}
	for kind := range products(nil, false) {
		status, text := s.json("/api/file/"+kind, c)
		if status != 200 || !strings.HasPrefix(text, begins[kind]) || begins[kind] == "" {
			t.Errorf("%s: %d %.40q", kind, status, text)
		}
	}
}

func TestIdleServerEnds(t *testing.T) {
	l, err := Listen(0)
	if err != nil {
		t.Fatal(err)
	}
	s := New(context.Background(), Options{Idle: time.Second})
	defer s.Close(context.Background())
	done := make(chan error, 1)
	go func() { done <- s.Serve(context.Background(), l) }()
	select {
	case err := <-done:
		if err != nil {
			t.Error(err)
		}
	case <-time.After(10 * time.Second):
		t.Error("still there")
	}
}

func TestOverrulingIsToldByItsMoment(t *testing.T) {
	for _, c := range []struct {
		text string
		err  error
		want string
	}{
		{"1 1 - I\n12 3 - XX\n", &stated.LineError{Line: 2, Err: errors.New(`numeral "XX" is unknown`)}, `your reading at 12:3: numeral "XX" is unknown`},
		{"", &stated.LineError{Line: 4, Err: errors.New("too long")}, "your reading: too long"},
		{"1 1 - I", errors.New("something else"), "your reading: something else"},
	} {
		if got := overruling(c.text, c.err); got != c.want {
			t.Errorf("%q: got %q, want %q", c.err, got, c.want)
		}
	}
}
