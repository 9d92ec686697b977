package app

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"slices"
	"time"
	_ "time/tzdata" // time zones by name, also where the system has none

	"hangtrue/internal/engine/calendar"
	"hangtrue/internal/engine/people"
)

// SettingsShelf is the shelf on which the school's settings lie, with every
// version, and SettingsName their name there.
const (
	SettingsShelf = "settings"
	SettingsName  = "school"
)

// Settings are what a school decides for itself, format hangtrue.school/1.
type Settings struct {
	Format string `json:"format"`
	Name   string `json:"name"` // of the school; "" only while none was entered
	// Zone is the time zone that says which day it is, by its name in the IANA
	// list; "" for the machine's own.
	Zone string `json:"zone"`
	// Lapses are the events after which a signature no longer counts.
	Lapses []LapseReason `json:"lapses"`
	// LapseHours ends a signature so long after it was made; 0 for no limit.
	LapseHours int `json:"lapse_hours"`
	// LapseOvernight ends it with the day.
	LapseOvernight bool `json:"lapse_overnight"`
	// BlindCounts has links counted without the planned figure in view.
	BlindCounts bool `json:"blind_counts"`
	// DueDays is how far ahead the overview looks.
	DueDays int `json:"due_days"`
	// BackupDays is after how many days without a backup the overview warns; 7
	// where it is not said.
	BackupDays int `json:"backup_days"`
}

const backupDays = 7

// LapseReason is an event that ends a signature.
type LapseReason string

// The reasons that a school may list.
const (
	Moved           LapseReason = "moved"
	HighWind        LapseReason = "high-wind-or-icing"
	AbortedHookUp   LapseReason = "aborted-hook-up"
	SetDown         LapseReason = "set-down-and-re-lift"
	AircraftChanged LapseReason = "change-of-aircraft"
	PartChanged     LapseReason = "change-of-sling-part"
	SomethingElse   LapseReason = "something-else"
)

// LapseReasons lists them in the order in which they are shown.
var LapseReasons = []LapseReason{Moved, HighWind, AbortedHookUp, SetDown, AircraftChanged, PartChanged, SomethingElse}

var lapseWords = map[LapseReason]string{
	Moved: "the load was moved", HighWind: "high wind or icing", AbortedHookUp: "an aborted hook-up",
	SetDown: "set down and lifted again", AircraftChanged: "another aircraft", PartChanged: "a sling part was changed", SomethingElse: "something else",
}

// Words says the reason to people.
func (r LapseReason) Words() string { return lapseWords[r] }

// DefaultSettings are those of a school that has entered none: every event ends
// a signature, and so does a night (common practice, no source).
func DefaultSettings() Settings {
	return Settings{
		Format: settingsFormat, Lapses: slices.Clone(LapseReasons), LapseOvernight: true, DueDays: 30, BackupDays: backupDays,
	}
}

const settingsFormat = "hangtrue.school/1"

// ReadSettings reads settings and refuses what is wrong in them.
func ReadSettings(data []byte) (Settings, error) {
	s := Settings{BackupDays: backupDays}
	d := json.NewDecoder(bytes.NewReader(data))
	d.DisallowUnknownFields()
	if err := d.Decode(&s); err != nil {
		return s, fmt.Errorf("app: the school's settings: %w", err)
	}
	return s, s.check()
}

// Check says all that is wrong with settings as they are entered.
func (s *Settings) Check() error {
	x := *s
	x.Format = settingsFormat
	return x.check()
}

func (s *Settings) check() error {
	if s.Format != settingsFormat {
		return fmt.Errorf("app: the settings are of format %.40q; this program reads %s", s.Format, settingsFormat)
	}
	var errs []error
	if _, err := checkedText("name", "the school's name", s.Name, 1, mostName); err != nil {
		errs = append(errs, err)
	}
	if _, err := time.LoadLocation(s.Zone); err != nil || s.Zone == "Local" {
		errs = append(errs, &Wrong{"zone", fmt.Sprintf("%q is no time zone; write it as Europe/Zurich, or leave it empty", s.Zone)})
	}
	for i, r := range s.Lapses {
		if r.Words() == "" || slices.Contains(s.Lapses[:i], r) {
			errs = append(errs, &Wrong{"lapses", fmt.Sprintf("%q is no event that ends a signature, or stands twice", string(r))})
		}
	}
	if s.LapseHours < 0 || s.LapseHours > 24*365 {
		errs = append(errs, &Wrong{"lapse_hours", "a signature lasts 1 to 8760 hours; 0 for no limit"})
	}
	if s.DueDays < 1 || s.DueDays > 730 {
		errs = append(errs, &Wrong{"due_days", "the overview looks 1 to 730 days ahead"})
	}
	if s.BackupDays < 1 || s.BackupDays > 365 {
		errs = append(errs, &Wrong{"backup_days", "the overview warns after 1 to 365 days without a backup"})
	}
	return errors.Join(errs...)
}

// Today is the day at the school.
func (s *Settings) Today(now time.Time) calendar.Day { return calendar.Of(now.In(s.location())) }

func (s *Settings) location() *time.Location {
	if s.Zone == "" {
		return time.Local
	}
	z, err := time.LoadLocation(s.Zone)
	if err != nil {
		return time.Local // check has refused it
	}
	return z
}

// Settings returns the school's settings and their version, "" for the default.
func (s *School) Settings() (Settings, string, error) {
	k, err := s.Shelves.Shelf(SettingsShelf)
	if err != nil {
		return Settings{}, "", err
	}
	data, err := k.Current(SettingsName)
	if errors.Is(err, fs.ErrNotExist) {
		return DefaultSettings(), "", nil
	}
	if err != nil {
		return Settings{}, "", err
	}
	x, err := ReadSettings(data)
	return x, Version(data), err
}

// SetSettings changes the settings, if those in force are still the version
// named by on; otherwise saved is false.
func (s *School) SetSettings(by *people.Person, on string, x Settings) (saved bool, err error) {
	x.Format = settingsFormat
	if err := errors.Join(need(by, people.Settings), x.check()); err != nil {
		return false, err
	}
	data, err := json.MarshalIndent(x, "", "\t")
	if err != nil {
		return false, err
	}
	k, err := s.Shelves.Shelf(SettingsShelf)
	if err != nil {
		return false, err
	}
	_, saved, err = k.Save(SettingsName, on, append(data, '\n'))
	return saved, err
}
