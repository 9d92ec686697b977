package web

import (
	"bytes"
	"context"
	"crypto/tls"
	"errors"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"
	"time"
)

// A one-time link lets in whoever reads it, and a log is read by many.
func TestLog_HasNoOneTimeLinks(t *testing.T) {
	s, link := school(t)
	var log bytes.Buffer
	s.Log = slog.New(slog.NewTextHandler(&log, nil))
	stranger := &as{t, s, map[string]string{}}
	for _, path := range []string{"/welcome/" + link, "//welcome/" + link, "/a/../welcome/" + link, "/welcome/" + link + "/x"} {
		stranger.ask("GET", path, nil)
	}
	stranger.ask("GET", "/"+strings.Repeat("a", 20000), nil)
	s.refuse(httptest.NewRecorder(), httptest.NewRequest("GET", "/welcome/"+link, nil), errors.New("a failure"))
	if n := strings.Count(log.String(), "welcome/…"); n < 5 || strings.Contains(log.String(), link) {
		t.Errorf("%d addresses in the log:\n%s", n, log.String())
	}
	for line := range strings.SplitSeq(log.String(), "\n") {
		if len(line) > 1000 {
			t.Errorf("a line of %d bytes", len(line))
		}
	}
}

func TestHeaders_OfTheNetwork(t *testing.T) {
	s, _ := school(t)
	for _, c := range []struct {
		tls  *tls.ConnectionState
		want string
	}{{nil, ""}, {&tls.ConnectionState{}, strict}} {
		r := httptest.NewRequest("GET", "/signin", nil)
		r.Host, r.TLS = "127.0.0.1", c.tls
		w := httptest.NewRecorder()
		s.Handler().ServeHTTP(w, r)
		h := w.Header()
		if got := h.Get("Strict-Transport-Security"); got != c.want {
			t.Errorf("with TLS %v: %q", c.tls != nil, got)
		}
		for name, want := range map[string]string{
			"Permissions-Policy": permissions, "Cross-Origin-Opener-Policy": "same-origin", "Cross-Origin-Resource-Policy": "same-origin", "Cache-Control": "no-store",
		} {
			if h.Get(name) != want {
				t.Errorf("%s: %q", name, h.Get(name))
			}
		}
	}
}

func TestSignIn_EndsTheSessionThatItCameWith(t *testing.T) {
	s, link := school(t)
	b := welcomed(t, s, link, "chief")
	before := &as{t, s, map[string]string{"hangtrue": b.cookies["hangtrue"]}}
	if w := b.ask("POST", "/signin", url.Values{"login": {"chief"}, "passphrase": {goodPassphrase}}); w.Code != http.StatusSeeOther {
		t.Fatalf("signed in again: %d", w.Code)
	}
	if b.cookies["hangtrue"] == before.cookies["hangtrue"] {
		t.Error("the session goes on under the same secret")
	}
	if w := before.ask("GET", "/account", nil); w.Code != http.StatusSeeOther {
		t.Errorf("the session before: %d", w.Code)
	}
	if w := b.ask("GET", "/account", nil); w.Code != http.StatusOK {
		t.Errorf("the new session: %d", w.Code)
	}
	// A secret that somebody else put into the browser is not taken over.
	planted := &as{t, s, map[string]string{"hangtrue": strings.Repeat("A", 43)}}
	planted.ask("POST", "/signin", url.Values{"login": {"chief"}, "passphrase": {goodPassphrase}})
	if planted.cookies["hangtrue"] == strings.Repeat("A", 43) {
		t.Error("a planted secret became a session")
	}
}

// A rig that is made to be slow takes one turn for a limited time.
func TestSolver_Limits(t *testing.T) {
	s, _ := serving(t, map[string]string{"crate": crate})
	s.solver.limit = 0
	if w := ask(t, s, "GET", "/rig/crate", nil); w.Code != http.StatusOK || !strings.Contains(w.Body.String(), "Hanging this rig takes longer than 0 s") &&
		!strings.Contains(w.Body.String(), "did not get its turn within 0 s") {
		t.Errorf("without time: %d", w.Code)
	}
	if len(s.solver.known) != 0 || len(s.solver.under) != 0 {
		t.Error("an answer that is none is remembered")
	}
	s.solver.limit = mostSolving
	if x := s.solver.solve([]byte(crate)); x.Answer == nil {
		t.Errorf("with time: %v", x.Problems)
	}
	// All turns taken: the next waits, and is told so.
	other := []byte(strings.Replace(crate, "title:", "title: x", 1))
	for range cap(s.solver.slots) {
		s.solver.slots <- struct{}{}
	}
	s.solver.limit = time.Millisecond
	if x := s.solver.solve(other); x.Answer != nil || len(x.Problems) != 1 || !strings.Contains(x.Problems[0].Text, "its turn") {
		t.Errorf("without a turn: %v", x.Problems)
	}
}

// What a page waits for ends before its answer must be sent.
func TestWaits_AreShorterThanAnAnswer(t *testing.T) {
	for what, most := range map[string]time.Duration{"a rig": mostSolving, "its effects": mostEffecting, "its faults": faultsLong} {
		if most <= 0 || most >= s60 {
			t.Errorf("%s: %s", what, most)
		}
	}
}

const s60 = 60 * time.Second

func TestServer_TimesAndSizes(t *testing.T) {
	s, _ := serving(t, nil)
	h := s.limits(s.handler)
	for what, is := range map[string]struct{ got, most time.Duration }{
		"head": {h.ReadHeaderTimeout, 5 * time.Second}, "request": {h.ReadTimeout, 30 * time.Second},
		"answer": {h.WriteTimeout, s60}, "idle": {h.IdleTimeout, 2 * time.Minute},
	} {
		if is.got <= 0 || is.got > is.most {
			t.Errorf("%s: %s, at most %s", what, is.got, is.most)
		}
	}
	if h.MaxHeaderBytes <= 0 || h.MaxHeaderBytes > 32<<10 {
		t.Errorf("heads of %d bytes", h.MaxHeaderBytes)
	}
}

// Where a form says to go on to is a page of this server.
func TestBack_StaysHere(t *testing.T) {
	for _, to := range []string{
		"//evil.example", `/\evil.example`, "https://evil.example", "javascript:alert(1)", "///evil.example", `\\evil.example`, "/\t/evil.example",
		"", "evil.example", "/a\r\nSet-Cookie: x=1", "mailto:a@evil.example",
	} {
		if got := back(to); got != "/" {
			t.Errorf("%q leads to %q", to, got)
		}
	}
	for to, want := range map[string]string{"/rig/crate?x=1": "/rig/crate?x=1", `/./\evil.example`: "/./%5Cevil.example"} {
		if got := back(to); got != want {
			t.Errorf("%q leads to %q, want %q", to, got, want)
		}
	}
}

// What a page may not do is refused by name of the method too.
func TestMethods(t *testing.T) {
	s, _ := school(t)
	for _, m := range []string{"TRACE", "PUT", "DELETE", "PATCH", "OPTIONS", "FOO"} {
		r := httptest.NewRequestWithContext(context.Background(), m, "/signin", nil)
		r.Host = "127.0.0.1"
		w := httptest.NewRecorder()
		s.Handler().ServeHTTP(w, r)
		if w.Code != http.StatusNotFound || w.Header().Get("Access-Control-Allow-Origin") != "" {
			t.Errorf("%s: %d", m, w.Code)
		}
	}
}

// A form that breaks off, is too large or is wrongly written is refused, though
// its length was not said beforehand.
func TestParseForm_SaysWhatIsWrong(t *testing.T) {
	for what, c := range map[string]struct {
		body string
		want int
	}{
		"a form":           {"login=chief&passphrase=x", 0},
		"too large":        {"login=" + strings.Repeat("a", mostBody), http.StatusRequestEntityTooLarge},
		"wrongly written":  {"login=%zz&passphrase=x", http.StatusBadRequest},
		"with a semicolon": {"login=a;passphrase=x", http.StatusBadRequest},
		"many fields":      {strings.Repeat("a=1&", 1000), 0},
	} {
		r := httptest.NewRequest("POST", "/signin", strings.NewReader(c.body))
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
		r.Body = http.MaxBytesReader(httptest.NewRecorder(), r.Body, mostBody)
		err := parseForm(r)
		var told refusal
		if c.want == 0 && err != nil || c.want != 0 && (!errors.As(err, &told) || told.status != c.want) {
			t.Errorf("%s: %v, want %d", what, err, c.want)
		}
	}
}

// A photo that says where it was taken is refused at the door.
func TestPhoto_WithAPlaceIsRefused(t *testing.T) {
	k := walkersHere(t)
	id := k.begun(k.ivo, "frame")
	plain := photograph(t)
	place := "Exif\x00\x00II*\x00\x08\x00\x00\x00\x01\x00\x25\x88\x04\x00\x01\x00\x00\x00\x1a\x00\x00\x00\x00\x00\x00\x00"
	placed := append([]byte{0xff, 0xd8, 0xff, 0xe1, 0, byte(len(place) + 2)}, place...)
	w := k.ivo.post("/inspect/"+id+"/photo", append(placed, plain[2:]...))
	if w.Code != http.StatusUnprocessableEntity || !strings.Contains(w.Body.String(), "where it was taken") {
		t.Errorf("with a place: %d %s", w.Code, w.Body)
	}
	if w := k.ivo.post("/inspect/"+id+"/photo", plain); w.Code != http.StatusOK {
		t.Errorf("without: %d %s", w.Code, w.Body)
	}
	// What is counted for its limit is what the store has.
	if n, bytes, err := k.store.PhotosOf(t.Context(), k.id[k.ivo], schoolClock.Add(-24*time.Hour)); err != nil || n != 1 || bytes != int64(len(plain)) {
		t.Errorf("%d photos with %d bytes are counted: %v", n, bytes, err)
	}
}
