package web

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"net"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"hairpin/musicxml"
	"hairpin/tools/scoregen"
)

// piano is a long score for the page.
func piano(t *testing.T, measures int) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := musicxml.Write(&b, scoregen.Piano(measures, 1)); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// begin sends a request by hand, of which nothing is read.
func (t started) begin(path string, v any) net.Conn {
	t.Helper()
	body, err := json.Marshal(v)
	if err != nil {
		t.Fatal(err)
	}
	conn, err := net.Dial("tcp", t.address)
	if err != nil {
		t.Fatal(err)
	}
	conn.(*net.TCPConn).SetReadBuffer(4 << 10)
	fmt.Fprintf(conn, "POST %s HTTP/1.1\r\nHost: %s\r\nOrigin: http://%s\r\nContent-Type: application/json\r\nContent-Length: %d\r\n\r\n%s", path, t.address, t.address, len(body), body)
	return conn
}

// While long scores are drawn, what needs no drawing is answered at once.
func TestAnswersWhileDrawing(t *testing.T) {
	s := start(t, Options{})
	small := s.take("small.musicxml", demoScore(t, "song-ferry-lamp"))
	for i := range 2 {
		long := s.take(fmt.Sprintf("long%d.musicxml", i), piano(t, 800))
		defer s.begin("/api/read", long).Close()
	}
	time.Sleep(3 * time.Second) // they are being read and drawn
	worst := time.Duration(0)
	for range 30 {
		begun := time.Now()
		if status, text := s.json("/api/explain", struct {
			choice
			At string `json:"at"`
		}{small, "1:1"}); status != http.StatusOK {
			t.Fatalf("%d %s", status, text)
		}
		worst = max(worst, time.Since(begun))
	}
	if worst > 2*time.Second { // on a busy machine; 8 s and more when the drawing could not be interrupted
		t.Errorf("an answer took %s", worst)
	}
}

// stuck is a page that does not take its answer until it is let go.
type stuck struct {
	http.ResponseWriter
	reached, letGo chan struct{}
}

func (w stuck) Write(b []byte) (int, error) {
	w.reached <- struct{}{}
	<-w.letGo
	return w.ResponseWriter.Write(b)
}

// A page that asks for a file and does not take it holds up nobody: it has
// given back its turn before the file is sent.
func TestSlowTakers(t *testing.T) {
	s := start(t, Options{})
	body, _ := json.Marshal(s.take("song.musicxml", demoScore(t, "song-ferry-lamp")))
	for range 3 { // more than may work at once
		w := stuck{httptest.NewRecorder(), make(chan struct{}), make(chan struct{})}
		r := httptest.NewRequest(http.MethodPost, "/api/file/study", bytes.NewReader(body))
		r.SetPathValue("kind", "study")
		go s.s.download(w, r)
		select {
		case <-w.reached:
		case <-time.After(time.Minute):
			t.Fatal("it waits for its turn")
		}
		defer close(w.letGo)
	}
}

// The server ends within two seconds, whatever is being drawn.
func TestEndsWhileDrawing(t *testing.T) {
	l, err := Listen(0)
	if err != nil {
		t.Fatal(err)
	}
	ctx, stop := context.WithCancel(context.Background())
	server := New(ctx, Options{})
	done := make(chan error, 1)
	go func() { done <- server.Serve(ctx, l) }()
	s := started{t, server, l.Addr().String()}
	for i := range 2 {
		conn := s.begin("/api/read", s.take(fmt.Sprintf("long%d.musicxml", i), piano(t, 800)))
		defer conn.Close()
	}
	time.Sleep(3 * time.Second)
	begun := time.Now()
	stop()
	err = <-done
	server.Close(context.Background())
	if took := time.Since(begun); err != nil || took > 2*time.Second {
		t.Errorf("the end took %s (%v)", took, err)
	}
}

// The page's errors and hints are about the page, not about a command line.
func TestErrorsNameNoCommand(t *testing.T) {
	s := start(t, Options{Upload: 1 << 20})
	rests := `<score-partwise><part-list><score-part id="P1"><part-name>X</part-name></score-part></part-list><part id="P1"><measure number="1"><note><rest/><duration>4</duration></note></measure></part></score-partwise>`
	var answers []string
	for name, data := range map[string]string{
		"large.xml": strings.Repeat(" ", 2<<20), "deep.xml": strings.Repeat("<a>", 300), "noise.mxl": "no zip", "empty.xml": "", "page.xml": "<html/>",
	} {
		status, text := s.ask("POST", "/api/score?name="+name, "application/octet-stream", []byte(data), nil)
		if status == http.StatusOK {
			t.Errorf("%s was taken", name)
		}
		answers = append(answers, text)
	}
	_, text := s.json("/api/file/study", s.take("rests.xml", []byte(rests)))
	answers = append(answers, text)
	wrong := s.take("song.xml", demoScore(t, "song-ferry-lamp"))
	wrong.Part = 9
	_, text = s.json("/api/file/study", wrong)
	for _, text := range append(answers, text) {
		if strings.Contains(text, "hairpin") || strings.Contains(text, "--") || !strings.Contains(text, `"error"`) {
			t.Errorf("answer %s", text)
		}
	}
}

// More uploads at once than are held in memory: all are answered.
func TestManyUploadsAtOnce(t *testing.T) {
	s := start(t, Options{})
	data := piano(t, 200)
	out := make(chan string, 40)
	for i := range 40 {
		go func() {
			r, _ := http.NewRequest(http.MethodPost, fmt.Sprintf("http://%s/api/score?name=%d.musicxml", s.address, i%10), bytes.NewReader(data))
			r.Header.Set("Content-Type", "application/octet-stream")
			r.Header.Set("Origin", "http://"+s.address)
			a, err := http.DefaultClient.Do(r)
			if err != nil {
				out <- err.Error()
				return
			}
			defer a.Body.Close()
			text, _ := io.ReadAll(a.Body)
			out <- string(text)
		}()
	}
	for range 40 {
		if text := <-out; !strings.Contains(text, `"id"`) {
			t.Errorf("answer %s", text)
		}
	}
	if n := s.s.shelf.order.Len(); n > 6 {
		t.Errorf("%d scores are kept", n)
	}
}
