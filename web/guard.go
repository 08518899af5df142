package web

import (
	"mime"
	"net"
	"net/http"
	"strings"
	"time"
)

// pagePolicy lets the page use what this server sends and nothing else.
const pagePolicy = "default-src 'none'; script-src 'self'; style-src 'self'; font-src 'self'; img-src 'self' data:; " +
	"connect-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"

// guard answers only the page this server has sent: a request must name this
// machine's loopback address (so no foreign name can be pointed at it), and one
// that comes from a page must come from ours.
func (s *Server) guard(address string, next http.Handler) http.Handler {
	hosts := ownNames(address)
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		h := w.Header()
		h.Set("Content-Security-Policy", pagePolicy)
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("X-Frame-Options", "DENY")
		h.Set("Referrer-Policy", "no-referrer")
		h.Set("Cross-Origin-Opener-Policy", "same-origin")
		h.Set("Cross-Origin-Resource-Policy", "same-origin")
		h.Set("Cache-Control", "no-store")
		switch {
		case !hosts[r.Host]:
			refuse(w, http.StatusForbidden, "this page is only for the machine it runs on", "")
		case !ownOrigin(r, hosts):
			refuse(w, http.StatusForbidden, "the request comes from another page", "")
		case !asked(r):
			refuse(w, http.StatusUnsupportedMediaType, "the request is not one of this page's", "")
		default:
			s.seen.Store(time.Now().Unix())
			next.ServeHTTP(w, r)
		}
	})
}

// ownNames are the names under which the address may be asked for.
func ownNames(address string) map[string]bool {
	_, port, err := net.SplitHostPort(address)
	if err != nil {
		return nil
	}
	return map[string]bool{"127.0.0.1:" + port: true, "localhost:" + port: true, "[::1]:" + port: true}
}

// ownOrigin reports whether a request comes from this page, or from no page at
// all: what changes or computes something must come from the page.
func ownOrigin(r *http.Request, hosts map[string]bool) bool {
	origin := r.Header.Get("Origin")
	if origin == "" {
		site := r.Header.Get("Sec-Fetch-Site")
		reading := r.Method == http.MethodGet || r.Method == http.MethodHead
		return reading && (site == "" || site == "none" || site == "same-origin")
	}
	host, ok := strings.CutPrefix(origin, "http://")
	return ok && hosts[host] && host == r.Host
}

// asked reports whether a request that is not a mere look has a type that other
// pages cannot send without asking first.
func asked(r *http.Request) bool {
	if r.Method == http.MethodGet || r.Method == http.MethodHead {
		return true
	}
	kind, _, _ := mime.ParseMediaType(r.Header.Get("Content-Type"))
	return kind == "application/json" || kind == "application/octet-stream"
}
