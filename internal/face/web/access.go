package web

import (
	"context"
	"errors"
	"net/http"
	"net/url"
	"sync/atomic"
	"time"

	"hangtrue/internal/engine/people"
	"hangtrue/internal/face/app"
)

// access says who may use a page or an action. On a folder of one's own there
// are no people and everybody may do all; on a school's server it holds.
type access struct {
	open   bool         // also for who is not signed in
	right  people.Right // what is needed; "" for whoever is signed in
	school bool         // only there is on a school's server
}

var (
	// everybody may who may see rigs: a page that changes nothing that is kept.
	everybody = access{right: people.SeeRigs}
	// changers may what is kept of rigs and the documents beside them.
	changers = access{right: people.ChangeRigs}
	// anyone may without signing in.
	anyone = access{open: true}
	// schoolAnyone and schoolSignedIn are for pages that only a school has.
	schoolAnyone   = access{open: true, school: true}
	schoolSignedIn = access{school: true}
)

// schoolFor is for pages that only a school has and that need a right.
func schoolFor(x people.Right) access { return access{right: x, school: true} }

// School is what a school's server has beyond rigs.
type School struct {
	*app.School
	Name        string // of the school, as it was at the start
	Origin      string // scheme, name and port under which tablets reach it; "" for this machine alone
	Fingerprint string // of the school's certificate authority; "" without one

	renamed atomic.Pointer[string] // its name since then; nil while it was not changed
}

// title is the school's name now.
func (s *School) title() string {
	if name := s.renamed.Load(); name != nil {
		return *name
	}
	return s.Name
}

func (s *School) rename(name string) { s.renamed.Store(&name) }

// visitor is who asks: nobody, or a person with a session.
type visitor struct {
	person  *people.Person
	session people.Session
}

type visitorKey struct{}

// visitorOf returns who asks. The person is nil on a folder of one's own.
func visitorOf(r *http.Request) visitor {
	v, _ := r.Context().Value(visitorKey{}).(visitor)
	return v
}

// personOf is who is signed in; nil for nobody.
func personOf(r *http.Request) *people.Person { return visitorOf(r).person }

// may reports whether who asks has a right. On a folder of one's own everybody
// has all.
func (s *Server) may(r *http.Request, x people.Right) bool {
	if s.School == nil {
		return true
	}
	p := personOf(r)
	return p != nil && p.May(x)
}

// identify puts who asks into the request.
func (s *Server) identify(r *http.Request) (*http.Request, error) {
	if s.School == nil {
		return r, nil
	}
	c, err := r.Cookie(cookieName(r))
	if err != nil || c.Value == "" {
		return r, nil
	}
	session, person, err := s.School.People.Session(r.Context(), c.Value)
	if errors.Is(err, people.ErrSession) {
		return r, nil
	}
	if err != nil {
		return r, err
	}
	return r.WithContext(context.WithValue(r.Context(), visitorKey{}, visitor{&person, session})), nil
}

// admit refuses those who may not use a page.
func (s *Server) admit(r *http.Request, a access) error {
	switch {
	case s.School == nil && a.school:
		return refusal{http.StatusNotFound, "Nothing here", "This page belongs to a school's server; this one serves a folder of rigs."}
	case s.School == nil || a.open:
		return nil
	case personOf(r) == nil:
		return notSignedIn
	case a.right != "" && !s.may(r, a.right):
		return refusal{http.StatusForbidden, "Not for you", capital((&app.NotAllowed{Right: a.right}).Error()) + "."}
	}
	return nil
}

var notSignedIn = refusal{http.StatusUnauthorized, "Sign in", "Sign in first. What you typed is still on the page before this one."}

// cookieName is the session's cookie. Over TLS its name makes browsers hold it
// to this very host, this path and TLS.
func cookieName(r *http.Request) string {
	if r.TLS != nil {
		return "__Host-hangtrue"
	}
	return "hangtrue"
}

func sessionCookie(r *http.Request, secret string, expires time.Time) *http.Cookie {
	c := &http.Cookie{
		Name: cookieName(r), Value: secret, Path: "/", HttpOnly: true, Secure: r.TLS != nil, SameSite: http.SameSiteLaxMode, Expires: expires,
	}
	if secret == "" {
		c.MaxAge = -1
	}
	return c
}

// back is where a form says to go on to: a page of this server, else the first.
func back(to string) string {
	u, err := url.Parse(to)
	if err != nil || u.Scheme != "" || u.Host != "" || u.Opaque != "" || len(to) == 0 || to[0] != '/' || len(to) > 1 && (to[1] == '/' || to[1] == '\\') {
		return "/"
	}
	return u.RequestURI()
}
