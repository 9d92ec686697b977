package app

import (
	"cmp"
	"context"
	"crypto/rand"
	"crypto/sha256"
	"encoding/base32"
	"encoding/base64"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"hangtrue/internal/engine/calendar"
	"hangtrue/internal/engine/people"
)

// PeopleKeeper keeps a school's people. A person or qualification that is not
// there is an error of fs.ErrNotExist; what it refuses is one of the errors of
// package people. hash and encoded are what is kept of a secret.
type PeopleKeeper interface {
	AddPerson(ctx context.Context, p people.Person, by string) error
	Person(ctx context.Context, id string) (people.Person, error)
	People(ctx context.Context) ([]people.Person, error)
	SetRoles(ctx context.Context, id string, roles []people.Role, by string) error
	SetName(ctx context.Context, id, name, contact, by string) error
	Leave(ctx context.Context, id, by string) error
	Return(ctx context.Context, id, by string) error
	RemoveName(ctx context.Context, id, by string) error
	AddQualification(ctx context.Context, person string, q people.Qualification, by string) error
	EndQualification(ctx context.Context, id string, on calendar.Day, by string) error
	RightsChanges(ctx context.Context, about string, most int) ([]people.Change, error)

	Invite(ctx context.Context, hash, person string, expires time.Time, by string) error
	Invited(ctx context.Context, hash string) (people.Person, error)
	Accept(ctx context.Context, hash, login, encoded string) (person string, err error)
	Passphrase(ctx context.Context, login string) (person, encoded string, found bool, err error)
	SetPassphrase(ctx context.Context, person, encoded string, renewed bool) error

	StartSession(ctx context.Context, hash string, x people.Session) error
	Session(ctx context.Context, hash string) (people.Session, people.Person, error)
	Sessions(ctx context.Context, person string) ([]people.Session, error)
	EndSession(ctx context.Context, hash string) error
	EndSessions(ctx context.Context, person, by string) error

	Guess(ctx context.Context, subjects []string, pause func(subject string, wrong int) time.Duration) (time.Duration, error)
	GuessedRight(ctx context.Context, forget, undo []string) error
}

// NotAllowed is what somebody without a right is told.
type NotAllowed struct{ Right people.Right }

func (e *NotAllowed) Error() string {
	var who []string
	for _, r := range people.Roles {
		if r.May(e.Right) {
			who = append(who, r.Words())
		}
	}
	return fmt.Sprintf("you may not %s; that is for: %s", e.Right, strings.Join(who, ", "))
}

// need refuses a person who has not the right.
func need(by *people.Person, x people.Right) error {
	if by == nil || !by.May(x) {
		return &NotAllowed{x}
	}
	return nil
}

// Wrong is something in what a person entered. Field names it.
type Wrong struct{ Field, Text string }

func (e *Wrong) Error() string { return e.Text }

// People are the use cases about a school's people.
type People struct {
	keeper  PeopleKeeper
	now     func() time.Time
	random  io.Reader
	hashing chan struct{} // bounds the memory that passphrases take at once

	// SessionLength is how long a sign-in lasts, InvitationLength how long a
	// link counts.
	SessionLength, InvitationLength time.Duration
}

// NewPeople makes the use cases over a keeper and the clock.
func NewPeople(k PeopleKeeper, now func() time.Time) *People {
	return &People{
		keeper: k, now: now, random: rand.Reader, hashing: make(chan struct{}, 2),
		SessionLength: 14 * time.Hour, InvitationLength: 7 * 24 * time.Hour,
	}
}

// NewID makes a random id of 26 letters and digits, 128 bits.
func NewID(random io.Reader) string {
	var b [16]byte
	if _, err := io.ReadFull(random, b[:]); err != nil {
		panic("app: no random bytes: " + err.Error()) // nothing may be given out then
	}
	return strings.ToLower(base32.StdEncoding.WithPadding(base32.NoPadding).EncodeToString(b[:]))
}

// newSecret makes a secret of 256 bits, for a link or a cookie.
func newSecret(random io.Reader) string {
	var b [32]byte
	if _, err := io.ReadFull(random, b[:]); err != nil {
		panic("app: no random bytes: " + err.Error())
	}
	return base64.RawURLEncoding.EncodeToString(b[:])
}

// secretHash is what is kept of a secret. A secret of 256 random bits needs no
// slow hash.
func secretHash(secret string) string {
	sum := sha256.Sum256([]byte(secret))
	return hex.EncodeToString(sum[:])
}

// FirstStart makes the chief instructor's one-time link where nobody can sign
// in yet; link is "" where somebody can. Links given out before no longer
// count. There is no default passphrase.
func (p *People) FirstStart(ctx context.Context) (link string, err error) {
	all, err := p.keeper.People(ctx)
	if err != nil {
		return "", err
	}
	chief := ""
	for _, x := range all {
		if x.HasPassphrase && x.Login != "" {
			return "", nil
		}
		if x.Is(people.Chief) && x.Gone.IsZero() {
			chief = x.ID
		}
	}
	if chief == "" {
		chief = NewID(p.random)
		if err := p.keeper.AddPerson(ctx, people.Person{ID: chief, Name: "Chief instructor", Roles: []people.Role{people.Chief}}, ""); err != nil {
			return "", err
		}
	}
	return p.invite(ctx, chief, "")
}

// ChiefLink makes a one-time link for a chief instructor who is locked out, for
// whoever has the database itself in hand: nobody is asked for a right. login is
// the sign-in name; "" does where there is one chief instructor only.
func (p *People) ChiefLink(ctx context.Context, login string) (name, link string, err error) {
	all, err := p.keeper.People(ctx)
	if err != nil {
		return "", "", err
	}
	var chiefs []people.Person
	var logins []string
	for _, x := range all {
		if !x.Is(people.Chief) || !x.Gone.IsZero() {
			continue
		}
		logins = append(logins, cmp.Or(x.Login, "(no sign-in name yet)"))
		if login == "" || x.Login == login {
			chiefs = append(chiefs, x)
		}
	}
	switch {
	case len(logins) == 0:
		return "", "", errors.New("there is no chief instructor yet; the first start of the server makes one and prints a link")
	case len(chiefs) == 0:
		return "", "", fmt.Errorf("no chief instructor signs in as %.60q; there are: %s", login, strings.Join(logins, ", "))
	case len(chiefs) > 1:
		return "", "", fmt.Errorf("there are %d chief instructors; say which with --login: %s", len(chiefs), strings.Join(logins, ", "))
	}
	link, err = p.invite(ctx, chiefs[0].ID, "")
	return chiefs[0].Name, link, err
}

func (p *People) invite(ctx context.Context, person, by string) (string, error) {
	secret := newSecret(p.random)
	return secret, p.keeper.Invite(ctx, secretHash(secret), person, p.now().Add(p.InvitationLength), by)
}

const (
	mostName = 120
	mostText = 1000
)

// name checks a name as it was typed.
func checkedText(field, what, text string, least, most int) (string, error) {
	text = strings.TrimSpace(text)
	n := utf8.RuneCountInString(text)
	switch {
	case !utf8.ValidString(text) || strings.ContainsFunc(text, func(r rune) bool { return unicode.IsControl(r) && r != '\n' }):
		return "", &Wrong{field, what + " has signs that cannot be printed"}
	case n < least && least == 1:
		return "", &Wrong{field, what + " is not entered"}
	case n < least || n > most:
		return "", &Wrong{field, fmt.Sprintf("%s has %d letters; it takes %d to %d", what, n, least, most)}
	}
	return text, nil
}

func checkedRoles(roles []people.Role) error {
	if len(roles) == 0 {
		return &Wrong{"roles", "no role is chosen"}
	}
	seen := map[people.Role]bool{}
	for _, r := range roles {
		if !r.Known() || seen[r] {
			return &Wrong{"roles", fmt.Sprintf("%q is no role, or stands twice", r)}
		}
		seen[r] = true
	}
	return nil
}

// Add adds a person and makes their one-time link.
func (p *People) Add(ctx context.Context, by *people.Person, name, contact string, roles []people.Role) (id, link string, err error) {
	if err := need(by, people.ManagePeople); err != nil {
		return "", "", err
	}
	name, e1 := checkedText("name", "the name", name, 1, mostName)
	contact, e2 := checkedText("contact", "the contact", contact, 0, mostName)
	if err := errors.Join(e1, e2, checkedRoles(roles)); err != nil {
		return "", "", err
	}
	id = NewID(p.random)
	if err := p.keeper.AddPerson(ctx, people.Person{ID: id, Name: name, Contact: contact, Roles: roles}, by.ID); err != nil {
		return "", "", err
	}
	link, err = p.invite(ctx, id, by.ID)
	return id, link, err
}

// Invite makes a new one-time link for a person, also for one who forgot the
// passphrase. The old passphrase counts until the link is used.
func (p *People) Invite(ctx context.Context, by *people.Person, person string) (link string, err error) {
	if err := need(by, people.ManagePeople); err != nil {
		return "", err
	}
	return p.invite(ctx, person, by.ID)
}

// Invited returns whom a link is for.
func (p *People) Invited(ctx context.Context, link string) (people.Person, error) {
	return p.keeper.Invited(ctx, secretHash(link))
}

// Accept uses a link up: from now on its person signs in with this name and
// this passphrase.
func (p *People) Accept(ctx context.Context, link, login, passphrase string) (person string, err error) {
	who, err := p.keeper.Invited(ctx, secretHash(link))
	if err != nil {
		return "", err
	}
	login, err = checkedLogin(login)
	if err != nil {
		return "", err
	}
	if err := checkPassphrase(passphrase, login, who.Name); err != nil {
		return "", err
	}
	encoded, err := p.encode(ctx, passphrase)
	if err != nil {
		return "", err
	}
	return p.keeper.Accept(ctx, secretHash(link), login, encoded)
}

// One returns a person. Everybody may see themselves.
func (p *People) One(ctx context.Context, by *people.Person, id string) (people.Person, error) {
	if by == nil || by.ID != id {
		if err := need(by, people.SeePeople); err != nil {
			return people.Person{}, err
		}
	}
	return p.keeper.Person(ctx, id)
}

// All lists everybody by name.
func (p *People) All(ctx context.Context, by *people.Person) ([]people.Person, error) {
	if err := need(by, people.SeePeople); err != nil {
		return nil, err
	}
	return p.keeper.People(ctx)
}

// Lapsing lists what will have lapsed on a planned day, soonest first.
func (p *People) Lapsing(ctx context.Context, by *people.Person, today, planned calendar.Day) ([]people.Lapsed, error) {
	all, err := p.All(ctx, by)
	if err != nil {
		return nil, err
	}
	return people.Lapsing(all, today, planned), nil
}

// SetRoles gives a person these roles.
func (p *People) SetRoles(ctx context.Context, by *people.Person, id string, roles []people.Role) error {
	if err := errors.Join(need(by, people.ManagePeople), checkedRoles(roles)); err != nil {
		return err
	}
	return p.keeper.SetRoles(ctx, id, roles, by.ID)
}

// SetName changes a person's name and contact.
func (p *People) SetName(ctx context.Context, by *people.Person, id, name, contact string) error {
	name, e1 := checkedText("name", "the name", name, 1, mostName)
	contact, e2 := checkedText("contact", "the contact", contact, 0, mostName)
	if err := errors.Join(need(by, people.ManagePeople), e1, e2); err != nil {
		return err
	}
	return p.keeper.SetName(ctx, id, name, contact, by.ID)
}

// Leave notes that a person has left; Return takes them back.
func (p *People) Leave(ctx context.Context, by *people.Person, id string) error {
	if err := need(by, people.ManagePeople); err != nil {
		return err
	}
	return p.keeper.Leave(ctx, id, by.ID)
}

// Return takes a person back who had left.
func (p *People) Return(ctx context.Context, by *people.Person, id string) error {
	if err := need(by, people.ManagePeople); err != nil {
		return err
	}
	return p.keeper.Return(ctx, id, by.ID)
}

// RemoveName takes a person's name and sign-in away for good. Results stay
// without it; signed records keep the names in them.
func (p *People) RemoveName(ctx context.Context, by *people.Person, id string) error {
	if err := need(by, people.ManagePeople); err != nil {
		return err
	}
	return p.keeper.RemoveName(ctx, id, by.ID)
}

// AddQualification appoints a person.
func (p *People) AddQualification(ctx context.Context, by *people.Person, person string, q people.Qualification) (id string, err error) {
	if err := need(by, people.ManagePeople); err != nil {
		return "", err
	}
	known := false
	for _, k := range people.QualificationKinds {
		known = known || k == q.Kind
	}
	var e1, e2, e3 error
	q.Scope, e1 = checkedText("scope", "the scope", q.Scope, 0, mostText)
	q.Authority, e2 = checkedText("authority", "who appointed", q.Authority, 1, mostName)
	if !known {
		e3 = &Wrong{"kind", fmt.Sprintf("%q is no kind of qualification", q.Kind)}
	}
	from, expires, last := checkDay("from", q.From, true), checkDay("expires", q.Expires, false), checkDay("last", q.Last, false)
	if from == nil && expires == nil && q.Expires != "" && q.Expires < q.From {
		expires = &Wrong{"expires", "it expires before its first day"}
	}
	var recency error
	if q.Recency < 0 || q.Recency > 120 {
		recency = &Wrong{"recency", "recency is a number of months up to 120, or 0 for none"}
	}
	if err := errors.Join(e1, e2, e3, from, expires, last, recency); err != nil {
		return "", err
	}
	q.ID, q.Ended = NewID(p.random), ""
	return q.ID, p.keeper.AddQualification(ctx, person, q, by.ID)
}

func checkDay(field string, d calendar.Day, needed bool) error {
	if d == "" && !needed {
		return nil
	}
	if _, err := calendar.Parse(string(d)); err != nil {
		return &Wrong{field, "a day is written 2026-05-31"}
	}
	return nil
}

// EndQualification takes a qualification away from a day on.
func (p *People) EndQualification(ctx context.Context, by *people.Person, id string, on calendar.Day) error {
	if err := errors.Join(need(by, people.ManagePeople), checkDay("on", on, true)); err != nil {
		return err
	}
	return p.keeper.EndQualification(ctx, id, on, by.ID)
}

// RightsChanges is the audit of rights, newest first; about one person, or
// everybody for "".
func (p *People) RightsChanges(ctx context.Context, by *people.Person, about string, most int) ([]people.Change, error) {
	if err := need(by, people.ManagePeople); err != nil {
		return nil, err
	}
	return p.keeper.RightsChanges(ctx, about, most)
}
