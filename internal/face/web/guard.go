package web

import (
	"errors"
	"io"
	"io/fs"
	"log/slog"
	"net"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"time"

	"hangtrue/internal/engine/people"
	"hangtrue/internal/face/app"
)

// policy lets a page use what this server sends and nothing else.
const policy = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; font-src 'self'; connect-src 'self'; " +
	"form-action 'self'; base-uri 'none'; frame-ancestors 'none'"

// permissions are the powers of a browser that no page here asks for. A photo is
// taken by the device's own camera page, which needs none of them.
const permissions = "camera=(), microphone=(), geolocation=(), payment=(), usb=(), serial=(), midi=(), display-capture=()"

// strict keeps a browser that trusts the school's certificate to TLS for a month.
// It is no longer because a school whose authority was lost needs its trust page,
// which is plain HTTP, under the same name again; under its addresses it has it.
const strict = "max-age=2592000"

// mostBody bounds what is posted: a rig file and the page's other fields.
const mostBody = app.MostBytes + 64<<10

// mostDrained is how much of a body that is too large is read and thrown away,
// so that the browser reads our answer instead of reporting a broken line.
const mostDrained = 64 << 20

// guard stands before every handler: who is asked for, from where, how much,
// and what the browser may do with the answer.
func (s *Server) guard(next http.Handler) http.Handler {
	crossing := http.NewCrossOriginProtection()
	crossing.SetDenyHandler(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		s.refuse(w, r, refusal{http.StatusForbidden, "Refused", "This was sent from a page of another site."})
	}))
	inner := crossing.Handler(next)
	return s.logged(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		h := w.Header()
		h.Set("Content-Security-Policy", policy)
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("X-Frame-Options", "DENY")
		h.Set("Referrer-Policy", "no-referrer")
		h.Set("Cross-Origin-Opener-Policy", "same-origin")
		h.Set("Cross-Origin-Resource-Policy", "same-origin")
		h.Set("Permissions-Policy", permissions)
		h.Set("Cache-Control", "no-store")
		if r.TLS != nil {
			h.Set("Strict-Transport-Security", strict)
		}
		// A site elsewhere may point a name of its own at this machine.
		if !s.knownHost(r.Host) {
			s.refuse(w, r, refusal{http.StatusMisdirectedRequest, "Refused", "This server does not answer to that name; use 127.0.0.1."})
			return
		}
		if r.ContentLength > mostBody {
			io.CopyN(io.Discard, r.Body, mostDrained) // the answer is a refusal either way
			s.refuse(w, r, tooLarge)
			return
		}
		r.Body = http.MaxBytesReader(w, r.Body, mostBody)
		r, err := s.identify(r)
		if err != nil {
			s.refuse(w, r, err)
			return
		}
		if a, ok := w.(*answered); ok {
			a.school, a.person = s.School, personOf(r)
		}
		inner.ServeHTTP(w, r)
	}))
}

var tooLarge = refusal{http.StatusRequestEntityTooLarge, "Too large", "A rig file has at most 1 MiB. Nothing of this was kept."}

func (s *Server) knownHost(host string) bool {
	if h, _, err := net.SplitHostPort(host); err == nil {
		host = h
	}
	host = strings.ToLower(strings.TrimSuffix(strings.TrimPrefix(host, "["), "]"))
	switch host {
	case "127.0.0.1", "localhost", "::1":
		return true
	}
	if s.LAN != nil && (host == s.LAN.Name || slices.Contains(s.LAN.Addresses, host)) {
		return true
	}
	return s.Name != "" && host == strings.ToLower(s.Name)
}

// refusal is an error that a person is told.
type refusal struct {
	status      int
	title, text string
}

func (r refusal) Error() string { return r.text }

// refuse answers with an error. What the user cannot mend is logged and not
// shown.
func (s *Server) refuse(w http.ResponseWriter, r *http.Request, err error) {
	var told refusal
	var large *http.MaxBytesError
	ill, isIll := ailing(err)
	switch {
	case errors.As(err, &large):
		told = tooLarge
	case errors.As(err, &told):
	case isIll:
		s.Log.Error("the disk or the database failed", "path", loggedPath(r), "error", err)
		told = ill.told(r, s.School != nil)
	case errors.Is(err, fs.ErrNotExist):
		told = refusal{http.StatusNotFound, "Not there", "There is no such rig or version in this folder."}
	default:
		s.Log.Error("a request failed", "path", loggedPath(r), "error", err)
		told = refusal{http.StatusInternalServerError, "It failed", "The program could not do this. What went wrong stands in its log."}
	}
	if told == notSignedIn && r.Method == http.MethodGet && !wantsJSON(r) {
		http.Redirect(w, r, "/signin?to="+url.QueryEscape(r.URL.RequestURI()), http.StatusSeeOther)
		return
	}
	if wantsJSON(r) {
		writeJSON(w, told.status, map[string]string{"refused": told.text})
		return
	}
	page := &refusalPage{frame: frame{Title: told.title}, Text: told.text}
	if err := s.pages.write(w, told.status, "refusal", page); err != nil {
		s.Log.Error("a refusal could not be written", "error", err)
	}
}

type refusalPage struct {
	frame
	Text string
}

func wantsJSON(r *http.Request) bool { return r.Header.Get("Accept") == "application/json" }

// answered notes what was sent, for the log, and who gets it, for what stands on
// top of a page.
type answered struct {
	http.ResponseWriter
	status, bytes int
	school        *School
	person        *people.Person
	after         func(*http.Request) string // where the page of an answer stands
	request       *http.Request
	now           func() time.Time
}

func (a *answered) WriteHeader(status int) {
	if a.status == 0 {
		a.status = status
	}
	a.ResponseWriter.WriteHeader(status)
}

func (a *answered) Write(b []byte) (int, error) {
	if a.status == 0 {
		a.status = http.StatusOK
	}
	n, err := a.ResponseWriter.Write(b)
	a.bytes += n
	return n, err
}

// Unwrap lets http.ResponseController reach the connection.
func (a *answered) Unwrap() http.ResponseWriter { return a.ResponseWriter }

func (s *Server) logged(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		start := time.Now()
		a := &answered{ResponseWriter: w}
		next.ServeHTTP(a, r)
		level := slog.LevelInfo
		if a.status >= 500 {
			level = slog.LevelError
		}
		s.Log.Log(r.Context(), level, "request", "method", r.Method, "path", loggedPath(r), "status", a.status, "bytes", a.bytes, "took", time.Since(start))
	})
}

// mostLogged is how much of an address is written to the log, in bytes.
const mostLogged = 300

// loggedPath is what the log has of an address: never a one-time link, which lets
// in whoever reads it there, and no more than a line.
func loggedPath(r *http.Request) string {
	p := r.URL.Path
	if i := strings.Index(p, "welcome/"); i >= 0 {
		p = p[:i] + "welcome/…"
	}
	if len(p) > mostLogged {
		p = p[:mostLogged] + "…"
	}
	return p
}
