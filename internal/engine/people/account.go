package people

import (
	"errors"
	"time"
)

// Session is one sign-in on one device.
type Session struct {
	ID      string // names it in lists; not the secret
	Person  string
	Made    time.Time
	Seen    time.Time // to within some minutes
	Expires time.Time
	Device  string
	Address string
}

// Change is one line of the audit of rights: who changed what about whom.
type Change struct {
	N      int64
	At     time.Time
	By     string // a person's id; "" for the machine itself, at first start
	About  string
	What   string
	Detail string
}

// What a keeper of people refuses; errors.Is tells them apart.
var (
	ErrLastChief  = errors.New("nobody would be left who can sign in as chief instructor; make another one first")
	ErrLoginTaken = errors.New("somebody else signs in with that name")
	ErrInvitation = errors.New("the link was used, taken back or is too old; ask for a new one")
	ErrSession    = errors.New("not signed in")
)
