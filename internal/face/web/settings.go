package web

import (
	"net/http"
	"slices"
	"strconv"
	"strings"

	"hangtrue/internal/face/app"
)

type settingsView struct {
	frame
	On                  string // the version that is changed
	Called, Zone        string
	Lapses              []choice
	Hours, DueDays      string
	Overnight, Blind    bool
	Fields              map[string]string
	Notice              string
	Default             bool // none were entered yet
	Version             string
	BackupDays          string
	Last                *backupView
	Clock               string // what is wrong with it
	Fingerprint, Origin string
}

func (s *Server) settingsPage(w http.ResponseWriter, r *http.Request) error {
	x, on, err := s.School.Settings()
	if err != nil {
		return err
	}
	v := &settingsView{On: on, Default: on == ""}
	if r.URL.Query().Has("saved") {
		v.Notice = "The settings are changed."
	}
	if x.Name == "" {
		x.Name = s.School.title()
	}
	v.fill(&x)
	return s.writeSettings(w, r, http.StatusOK, v)
}

func (v *settingsView) fill(x *app.Settings) {
	v.Called, v.Zone, v.Overnight, v.Blind = x.Name, x.Zone, x.LapseOvernight, x.BlindCounts
	v.DueDays, v.BackupDays = strconv.Itoa(x.DueDays), strconv.Itoa(x.BackupDays)
	if x.LapseHours > 0 {
		v.Hours = strconv.Itoa(x.LapseHours)
	}
	v.lapses(x.Lapses)
}

func (v *settingsView) lapses(has []app.LapseReason) {
	for _, x := range app.LapseReasons {
		v.Lapses = append(v.Lapses, choice{string(x), x.Words(), slices.Contains(has, x)})
	}
}

func (s *Server) writeSettings(w http.ResponseWriter, r *http.Request, status int, v *settingsView) error {
	v.frame = frame{Title: "Settings"}
	now, _, err := s.School.Settings()
	if err != nil {
		return err
	}
	if v.Last, err = s.lastBackup(r, &now); err != nil {
		return err
	}
	clock, err := s.School.Clock(r.Context())
	if err != nil {
		return err
	}
	v.Clock = capital(clock.Words(&now))
	v.Version, v.Origin, v.Fingerprint = app.ShortVersion(v.On), s.School.Origin, s.School.Fingerprint
	return s.pages.write(w, status, "settings", v)
}

func (s *Server) saveSettings(w http.ResponseWriter, r *http.Request) error {
	if err := parseForm(r); err != nil {
		return err
	}
	if r.PostFormValue("do") != "save" {
		return refusal{http.StatusBadRequest, "Not understood", "The page asked for something that it cannot do."}
	}
	v := &settingsView{
		On: r.PostFormValue("on"), Called: strings.TrimSpace(r.PostFormValue("name")), Zone: strings.TrimSpace(r.PostFormValue("zone")),
		Hours: strings.TrimSpace(r.PostFormValue("hours")), DueDays: strings.TrimSpace(r.PostFormValue("due_days")), BackupDays: strings.TrimSpace(r.PostFormValue("backup_days")),
		Overnight: r.PostFormValue("overnight") != "", Blind: r.PostFormValue("blind") != "", Fields: map[string]string{},
	}
	x := app.Settings{Name: v.Called, Zone: v.Zone, LapseOvernight: v.Overnight, BlindCounts: v.Blind, Lapses: []app.LapseReason{}}
	for _, text := range r.PostForm["lapse"] {
		x.Lapses = append(x.Lapses, app.LapseReason(text))
	}
	v.lapses(x.Lapses)
	number := func(field, text string, to *int) {
		n, err := strconv.Atoi(text)
		if err != nil {
			v.Fields[field] = "A whole number is needed here."
			return
		}
		*to = n
	}
	if v.Hours != "" {
		number("lapse_hours", v.Hours, &x.LapseHours)
	}
	number("due_days", v.DueDays, &x.DueDays)
	if v.BackupDays == "" {
		v.BackupDays = strconv.Itoa(app.DefaultSettings().BackupDays)
	}
	number("backup_days", v.BackupDays, &x.BackupDays)
	if len(v.Fields) > 0 {
		for field, text := range fieldsOf(x.Check()) {
			if v.Fields[field] == "" {
				v.Fields[field] = text // all of them at once
			}
		}
		return s.writeSettings(w, r, http.StatusUnprocessableEntity, v)
	}
	saved, err := s.School.SetSettings(personOf(r), v.On, x)
	if fields := fieldsOf(err); len(fields) > 0 {
		v.Fields = fields
		return s.writeSettings(w, r, http.StatusUnprocessableEntity, v)
	}
	if err != nil {
		return told(err)
	}
	if !saved {
		_, on, err := s.School.Settings()
		if err != nil {
			return err
		}
		v.On, v.Notice = on, "Not saved: somebody changed the settings since this page was opened. Save once more to put yours in their place."
		return s.writeSettings(w, r, http.StatusConflict, v)
	}
	s.School.rename(x.Name)
	http.Redirect(w, r, "/settings?saved", http.StatusSeeOther)
	return nil
}

// clockRight takes the word of a person that the clock is right now.
func (s *Server) clockRight(w http.ResponseWriter, r *http.Request) error {
	if err := parseForm(r); err != nil {
		return err
	}
	if err := s.School.ClockRight(r.Context(), personOf(r)); err != nil {
		return told(err)
	}
	http.Redirect(w, r, "/settings?saved", http.StatusSeeOther)
	return nil
}
