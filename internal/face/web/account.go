package web

import (
	"errors"
	"net/http"

	"hangtrue/internal/engine/people"
	"hangtrue/internal/face/app"
)

type accountView struct {
	frame
	Name, Login    string
	Roles          []string
	Qualifications []qualificationView
	Sessions       []sessionView
	Notice         string
	Fields         map[string]string
}

type sessionView struct {
	Device, Address, Since, Seen string
	Here                         bool
}

type qualificationView struct {
	ID, Kind, Scope, Authority, From, Last string
	Counts                                 bool
	Ended                                  bool
}

func (s *Server) accountPage(w http.ResponseWriter, r *http.Request) error {
	return s.account(w, r, http.StatusOK, "", nil)
}

func (s *Server) account(w http.ResponseWriter, r *http.Request, status int, notice string, fields map[string]string) error {
	me := personOf(r)
	sessions, err := s.School.People.Sessions(r.Context(), me, me.ID)
	if err != nil {
		return err
	}
	v := &accountView{frame: frame{Title: "You"}, Name: me.Shown(), Login: me.Login, Notice: notice, Fields: fields}
	for _, x := range me.Roles {
		v.Roles = append(v.Roles, x.Words())
	}
	v.Qualifications = s.qualifications(me)
	own := visitorOf(r).session.ID
	for _, x := range sessions {
		v.Sessions = append(v.Sessions, sessionView{
			Device: deviceWords(x.Device), Address: x.Address, Since: s.when(x.Made), Seen: s.when(x.Seen), Here: x.ID == own,
		})
	}
	return s.pages.write(w, status, "account", v)
}

func (s *Server) changeAccount(w http.ResponseWriter, r *http.Request) error {
	if err := parseForm(r); err != nil {
		return err
	}
	me := personOf(r)
	switch r.PostFormValue("do") {
	case "everywhere":
		if err := s.School.People.SignOutEverywhere(r.Context(), me, me.ID); err != nil {
			return err
		}
		return s.signOut(w, r)
	case "passphrase":
		renewed := r.PostFormValue("renewed")
		if renewed != r.PostFormValue("again") {
			return s.account(w, r, http.StatusUnprocessableEntity, "", map[string]string{"again": "The two passphrases differ."})
		}
		err := s.School.People.ChangePassphrase(r.Context(), me, r.PostFormValue("old"), renewed, addressOf(r))
		var many *app.TooManyGuesses
		switch {
		case errors.Is(err, app.ErrSignIn):
			return s.account(w, r, http.StatusUnprocessableEntity, "", map[string]string{"old": "That is not the passphrase you signed in with."})
		case errors.As(err, &many):
			return s.account(w, r, http.StatusTooManyRequests, capital(err.Error())+".", nil)
		}
		if fields := fieldsOf(err); len(fields) > 0 {
			return s.account(w, r, http.StatusUnprocessableEntity, "", map[string]string{"renewed": fields["passphrase"]})
		}
		if err != nil && !errors.Is(err, people.ErrSession) {
			return err
		}
		return s.signOut(w, r) // every session has ended, this one too
	}
	return refusal{http.StatusBadRequest, "Not understood", "The page asked for something that it cannot do."}
}
