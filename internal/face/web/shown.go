package web

import (
	"net/http"
	"slices"
	"sync"
	"time"
)

// afterwards says for actions that answer with a page where that page stands. What
// a form changed is shown there by a second request of the browser, so that
// reloading the page does not send the form again: a person is not added twice. ""
// is for an answer that may be sent again, as a list that is only looked through.
var afterwards = map[string]func(*http.Request) string{
	"/people":                             ownPath,
	"/people/{id}":                        ownPath,
	"/classes/{class}":                    ownPath,
	"/classes/{class}/students/{student}": ownPath,
	"/classes/{class}/rotation":           ownPath,
	"/lanes/{lane}":                       ownPath,
	"/tagged":                             ownPath,
	"/versions/{version}":                 ownPath,
	"/versions/{version}/put-back":        ownPath,
	"/runs/{run}":                         ownPath,
	"/classes/{class}/roster": func(r *http.Request) string {
		if r.PostFormValue("do") == "take" {
			return classURL(r.PathValue("class"))
		}
		return ""
	},
}

func ownPath(r *http.Request) string { return r.URL.EscapedPath() }

// standsAt says that the page of an answer is another one than the form's.
func standsAt(w http.ResponseWriter, path string) {
	if a, ok := w.(*answered); ok {
		a.after = func(*http.Request) string { return path }
	}
}

// shown holds finished pages until the browser that is sent on to them asks. They
// are in memory only, for the session that they were made for and for one time: a
// one-time link on one of them is never in an address, a log or a cache.
type shown struct {
	mu  sync.Mutex
	all []shownPage // oldest first
}

type shownPage struct {
	session, path string
	text          []byte
	until         time.Time
}

const (
	shownFor       = time.Minute // a browser asks at once
	mostShownPages = 64
)

// hold keeps a page in place of one held before for the same session and path.
func (h *shown) hold(now time.Time, session, path string, text []byte) {
	h.mu.Lock()
	defer h.mu.Unlock()
	h.all = slices.DeleteFunc(h.all, func(p shownPage) bool {
		return now.After(p.until) || p.session == session && p.path == path
	})
	if len(h.all) >= mostShownPages {
		h.all = slices.Delete(h.all, 0, 1)
	}
	h.all = append(h.all, shownPage{session, path, text, now.Add(shownFor)})
}

// take gives a held page out, once.
func (h *shown) take(now time.Time, session, path string) ([]byte, bool) {
	h.mu.Lock()
	defer h.mu.Unlock()
	i := slices.IndexFunc(h.all, func(p shownPage) bool { return p.session == session && p.path == path })
	if i < 0 {
		return nil, false
	}
	p := h.all[i]
	h.all = slices.Delete(h.all, i, i+1)
	return p.text, !now.After(p.until)
}

// writeShown answers with the page that was held for this request, if there is one.
func (s *Server) writeShown(r *http.Request, w http.ResponseWriter) bool {
	session := visitorOf(r).session.ID
	if session == "" || r.Method != http.MethodGet || r.URL.RawQuery != "" {
		return false
	}
	text, ok := s.pages.shown.take(s.Now(), session, r.URL.EscapedPath())
	if ok {
		w.Header().Set("Content-Type", "text/html; charset=utf-8")
		w.Write(text)
	}
	return ok
}

// sendOn holds a page and sends the browser on to it, where it is the answer to
// something that must not be sent twice.
func (a *answered) sendOn(p *pages, text []byte) bool {
	if a.after == nil || wantsJSON(a.request) {
		return false
	}
	path, session := a.after(a.request), visitorOf(a.request).session.ID
	if path == "" || session == "" {
		return false
	}
	p.shown.hold(a.now(), session, path, text)
	http.Redirect(a, a.request, path, http.StatusSeeOther)
	return true
}
