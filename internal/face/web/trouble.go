package web

import (
	"errors"
	"net/http"
	"strings"
	"syscall"
)

// troubling is an error of whoever keeps things, about the disk or the database.
type troubling interface {
	error
	// Trouble is its kind: full, read-only, damaged, held, failing or away.
	Trouble() string
}

// ailment says to people what is wrong and who mends it how.
type ailment struct {
	status            int
	title, what, mend string
	again             bool // it can be sent again once it is mended
}

var ailments = map[string]ailment{
	"full":      {http.StatusInsufficientStorage, "The disk is full", "The disk of the school’s machine is full.", "Whoever looks after the machine makes room on it.", true},
	"read-only": {http.StatusServiceUnavailable, "The disk can only be read", "The school’s machine may read its disk and not write on it.", "Whoever looks after the machine lets the program write again.", true},
	"damaged":   {http.StatusServiceUnavailable, "The database is damaged", "The school’s database is damaged, and what may be wrong is not shown.", "Whoever looks after the machine ends the server, keeps a copy of the file, and restores the last backup.", false},
	"held":      {http.StatusServiceUnavailable, "The database is held", "Another program holds the school’s database.", "Whoever looks after the machine ends that program.", true},
	"failing":   {http.StatusServiceUnavailable, "The disk fails", "The disk of the school’s machine reports an error, or is full.", "Whoever looks after the machine looks at its disk, and makes a backup to another one.", true},
	"away":      {http.StatusServiceUnavailable, "The database does not answer", "The school’s database server does not answer.", "Whoever looks after the machine starts it again.", true},
}

// ailing finds what is wrong beneath an error; ok is false for errors of another
// sort.
func ailing(err error) (a ailment, ok bool) {
	var t troubling
	switch {
	case errors.As(err, &t):
		a, ok = ailments[t.Trouble()]
	case errors.Is(err, syscall.ENOSPC): // a file of our own, as while a backup is made
		a, ok = ailments["full"], true
	}
	return a, ok
}

// told is what the one who asked is told. What a form sent is lost unless the
// person keeps it; a script that sent something has it still.
func (a ailment) told(r *http.Request, school bool) refusal {
	text := a.what
	sent := r.Method != http.MethodGet && r.Method != http.MethodHead
	switch {
	case sent && wantsJSON(r):
		text += " What was sent is NOT kept there."
	case sent:
		text += " What you just sent is NOT kept."
	}
	text += " " + a.mend
	if sent && a.again && !wantsJSON(r) {
		text += " Then go back one page and send it again; what was kept before is still there."
	}
	if !school {
		text = strings.NewReplacer("the school’s machine", "this machine", "The school’s machine", "This machine").Replace(text)
	}
	return refusal{a.status, a.title, text}
}
