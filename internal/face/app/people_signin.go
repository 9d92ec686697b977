package app

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"time"

	"hangtrue/internal/engine/people"
)

// TooManyGuesses is what somebody is told who has tried too often.
type TooManyGuesses struct{ Wait time.Duration }

func (e *TooManyGuesses) Error() string {
	return fmt.Sprintf("too many tries; try again in %s", words(e.Wait))
}

func words(d time.Duration) string {
	switch s := int(d.Seconds()) + 1; {
	case s < 60:
		return fmt.Sprintf("%d s", s)
	default:
		return fmt.Sprintf("%d min", (s+59)/60)
	}
}

// ErrSignIn is all that is said of a wrong name or passphrase: not which.
var ErrSignIn = errors.New("the name or the passphrase is wrong")

// pause is how long nobody may try again after so many wrong guesses. From one
// address at one name three are free, then the pause doubles from one second
// to a quarter of an hour. An address alone, which a classroom may share, has
// twenty free. A name alone has twenty free and then at most a minute, so that
// nobody can lock somebody else out for long.
func pause(subject string, wrong int) time.Duration {
	free, most := 20, 15*time.Minute
	switch {
	case strings.HasPrefix(subject, "both "):
		free = 3
	case strings.HasPrefix(subject, "name "):
		most = time.Minute
	}
	if wrong < free {
		return 0
	}
	return min(time.Second<<min(wrong-free, 20), most)
}

// subjects are what guesses are counted for. Of the name only a hash is kept:
// people type passphrases into the wrong field.
func subjects(login, address string) (name, from, both string) {
	h := secretHash(login)[:32]
	return "name " + h, "address " + address, "both " + h + " " + address
}

// try checks a passphrase, counted and throttled.
func (p *People) try(ctx context.Context, login, passphrase, address string) (person, encoded string, err error) {
	name, from, both := subjects(login, address)
	wait, err := p.keeper.Guess(ctx, []string{name, from, both}, pause)
	if err != nil {
		return "", "", err
	}
	if wait > 0 {
		return "", "", &TooManyGuesses{wait}
	}
	person, encoded, found, err := p.keeper.Passphrase(ctx, login)
	if err != nil {
		return "", "", err
	}
	if !found {
		encoded = nobody // the answer for nobody takes as long
	}
	right, err := p.verify(ctx, encoded, passphrase)
	if err != nil {
		return "", "", err
	}
	if !right || !found {
		return "", "", ErrSignIn
	}
	return person, encoded, p.keeper.GuessedRight(ctx, []string{name, both}, []string{from})
}

// SignIn starts a session and returns its secret, for a cookie. device is what
// the browser says it is; address is where it asks from.
func (p *People) SignIn(ctx context.Context, login, passphrase, device, address string) (secret string, expires time.Time, err error) {
	login, err = checkedLogin(login)
	if err != nil || len(passphrase) > 4*mostPassphrase {
		return "", time.Time{}, ErrSignIn
	}
	person, encoded, err := p.try(ctx, login, passphrase, address)
	if err != nil {
		return "", time.Time{}, err
	}
	if weaker(encoded) {
		again, err := p.encode(ctx, passphrase)
		if err == nil {
			err = p.keeper.SetPassphrase(ctx, person, again, false)
		}
		if err != nil {
			return "", time.Time{}, err
		}
	}
	secret, expires = newSecret(p.random), p.now().Add(p.SessionLength)
	err = p.keeper.StartSession(ctx, secretHash(secret), people.Session{
		Person: person, Expires: expires, Device: shortened(device, 200), Address: shortened(address, 64),
	})
	return secret, expires, err
}

func shortened(text string, most int) string {
	text = strings.ToValidUTF8(strings.ReplaceAll(text, "\x00", ""), "")
	if r := []rune(text); len(r) > most {
		return string(r[:most])
	}
	return text
}

// Session returns who is signed in with a secret; people.ErrSession for nobody.
func (p *People) Session(ctx context.Context, secret string) (people.Session, people.Person, error) {
	return p.keeper.Session(ctx, secretHash(secret))
}

// Sessions lists where a person is signed in: themselves, or whoever manages
// people.
func (p *People) Sessions(ctx context.Context, by *people.Person, person string) ([]people.Session, error) {
	if by == nil || by.ID != person {
		if err := need(by, people.ManagePeople); err != nil {
			return nil, err
		}
	}
	return p.keeper.Sessions(ctx, person)
}

// SignOut ends the session with this secret.
func (p *People) SignOut(ctx context.Context, secret string) error {
	return p.keeper.EndSession(ctx, secretHash(secret))
}

// SignOutEverywhere ends all sessions of a person.
func (p *People) SignOutEverywhere(ctx context.Context, by *people.Person, person string) error {
	if by == nil || by.ID != person {
		if err := need(by, people.ManagePeople); err != nil {
			return err
		}
	}
	return p.keeper.EndSessions(ctx, person, by.ID)
}

// ChangePassphrase changes one's own passphrase; all one's sessions end.
func (p *People) ChangePassphrase(ctx context.Context, by *people.Person, old, renewed, address string) error {
	if by == nil {
		return people.ErrSession
	}
	if _, _, err := p.try(ctx, by.Login, old, address); err != nil {
		return err
	}
	if err := checkPassphrase(renewed, by.Login, by.Name); err != nil {
		return err
	}
	encoded, err := p.encode(ctx, renewed)
	if err != nil {
		return err
	}
	return p.keeper.SetPassphrase(ctx, by.ID, encoded, true)
}
