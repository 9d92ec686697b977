package web

import (
	"errors"
	"net"
	"net/http"
	"strconv"

	"hangtrue/internal/engine/people"
	"hangtrue/internal/face/app"
)

type signInView struct {
	frame
	To, Login string
	Wrong     string
}

func (s *Server) signInPage(w http.ResponseWriter, r *http.Request) error {
	to := back(r.URL.Query().Get("to"))
	if personOf(r) != nil {
		http.Redirect(w, r, to, http.StatusSeeOther)
		return nil
	}
	return s.pages.write(w, http.StatusOK, "signin", &signInView{frame: frame{Title: "Sign in", Script: "inspect-out.js"}, To: to})
}

func (s *Server) signIn(w http.ResponseWriter, r *http.Request) error {
	if err := parseForm(r); err != nil {
		return err
	}
	to, login := back(r.PostFormValue("to")), r.PostFormValue("login")
	secret, expires, err := s.School.People.SignIn(r.Context(), login, r.PostFormValue("passphrase"), r.UserAgent(), addressOf(r))
	var many *app.TooManyGuesses
	switch {
	case errors.As(err, &many):
		w.Header().Set("Retry-After", strconv.Itoa(int(many.Wait.Seconds())+1))
		return s.pages.write(w, http.StatusTooManyRequests, "signin", &signInView{frame{Title: "Sign in", Script: "inspect-out.js"}, to, login, capital(err.Error()) + "."})
	case errors.Is(err, app.ErrSignIn):
		return s.pages.write(w, http.StatusUnauthorized, "signin", &signInView{frame{Title: "Sign in", Script: "inspect-out.js"}, to, login, capital(err.Error()) + "."})
	case err != nil:
		return err
	}
	s.endSession(r)
	http.SetCookie(w, sessionCookie(r, secret, expires))
	http.Redirect(w, r, to, http.StatusSeeOther)
	return nil
}

// endSession ends the session that a request comes with, where there is one: the
// one that begins takes its place on the device.
func (s *Server) endSession(r *http.Request) {
	c, err := r.Cookie(cookieName(r))
	if err != nil || c.Value == "" {
		return
	}
	if err := s.School.People.SignOut(r.Context(), c.Value); err != nil && !errors.Is(err, people.ErrSession) {
		s.Log.Warn("the session before this one could not be ended", "error", err) // it ends by itself
	}
}

func (s *Server) signOut(w http.ResponseWriter, r *http.Request) error {
	if c, err := r.Cookie(cookieName(r)); err == nil && c.Value != "" {
		if err := s.School.People.SignOut(r.Context(), c.Value); err != nil && !errors.Is(err, people.ErrSession) {
			return err
		}
	}
	http.SetCookie(w, sessionCookie(r, "", s.Now().AddDate(-1, 0, 0)))
	// What the tablet keeps of the school goes with the session; the page that
	// is shown next may keep what was not sent yet.
	http.Redirect(w, r, "/signin", http.StatusSeeOther)
	return nil
}

// addressOf is the address that a request comes from, for counting guesses.
func addressOf(r *http.Request) string {
	host, _, err := net.SplitHostPort(r.RemoteAddr)
	if err != nil {
		return r.RemoteAddr
	}
	return host
}

type welcomeView struct {
	frame
	Name, Login string
	Fields      map[string]string // what is wrong, by field
	Gone        bool
}

func (s *Server) welcomePage(w http.ResponseWriter, r *http.Request) error {
	p, err := s.School.People.Invited(r.Context(), r.PathValue("secret"))
	if errors.Is(err, people.ErrInvitation) {
		return s.pages.write(w, http.StatusGone, "welcome", &welcomeView{frame: frame{Title: "This link no longer works"}, Gone: true})
	}
	if err != nil {
		return err
	}
	return s.pages.write(w, http.StatusOK, "welcome", &welcomeView{frame: frame{Title: "Welcome", Script: "inspect-out.js"}, Name: p.Shown(), Login: p.Login})
}

func (s *Server) welcome(w http.ResponseWriter, r *http.Request) error {
	if err := parseForm(r); err != nil {
		return err
	}
	link, login, passphrase := r.PathValue("secret"), r.PostFormValue("login"), r.PostFormValue("passphrase")
	p, err := s.School.People.Invited(r.Context(), link)
	if err == nil && passphrase != r.PostFormValue("again") {
		err = &app.Wrong{Field: "again", Text: "the two passphrases differ"}
	}
	if err == nil {
		_, err = s.School.People.Accept(r.Context(), link, login, passphrase)
	}
	fields := fieldsOf(err)
	if errors.Is(err, people.ErrLoginTaken) {
		fields = map[string]string{"login": capital(people.ErrLoginTaken.Error()) + "."}
	}
	switch {
	case errors.Is(err, people.ErrInvitation):
		return s.pages.write(w, http.StatusGone, "welcome", &welcomeView{frame: frame{Title: "This link no longer works"}, Gone: true})
	case len(fields) > 0:
		return s.pages.write(w, http.StatusUnprocessableEntity, "welcome", &welcomeView{frame: frame{Title: "Welcome", Script: "inspect-out.js"}, Name: p.Shown(), Login: login, Fields: fields})
	case err != nil:
		return err
	}
	secret, expires, err := s.School.People.SignIn(r.Context(), login, passphrase, r.UserAgent(), addressOf(r))
	if err != nil {
		return err
	}
	s.endSession(r)
	http.SetCookie(w, sessionCookie(r, secret, expires))
	http.Redirect(w, r, "/", http.StatusSeeOther)
	return nil
}

// fieldsOf sorts what is wrong in a form by its fields; nothing where the error
// is not about a form.
func fieldsOf(err error) map[string]string {
	out := map[string]string{}
	eachError(err, func(err error) {
		var wrong *app.Wrong
		if errors.As(err, &wrong) {
			out[wrong.Field] = capital(wrong.Text) + "."
		}
	})
	return out
}

// eachError does something with each of the errors that one joins.
func eachError(err error, do func(error)) {
	if many, ok := err.(interface{ Unwrap() []error }); ok {
		for _, e := range many.Unwrap() {
			eachError(e, do)
		}
	} else if err != nil {
		do(err)
	}
}
