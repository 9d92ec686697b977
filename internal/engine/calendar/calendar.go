// Package calendar counts in whole days, for what falls due on a day: an
// inspection, a qualification, a planned sortie. Today is always an argument.
package calendar

import (
	"fmt"
	"time"
)

// Day is a day of the Gregorian calendar as ISO 8601 writes it, 2026-05-31, so
// that days compare as text. The empty Day is none.
type Day string

const form = "2006-01-02"

// Parse reads a day; the empty text is refused.
func Parse(text string) (Day, error) {
	t, err := time.Parse(form, text)
	if err != nil || t.Year() < 1900 {
		return "", fmt.Errorf("calendar: %q is no day; a day is written 2026-05-31", text)
	}
	return Day(text), nil
}

// Of is the day that a clock shows, in the time's own zone.
func Of(t time.Time) Day { return Day(t.Format(form)) }

// Start is the day's beginning in UTC; the zero time for no day.
func (d Day) Start() time.Time {
	t, err := time.Parse(form, string(d))
	if err != nil {
		return time.Time{}
	}
	return t
}

// Plus is the day so many days later. No day stays none.
func (d Day) Plus(days int) Day {
	if d == "" {
		return ""
	}
	return Of(d.Start().AddDate(0, 0, days))
}

// PlusMonths is the same day of the month so many months later, or the month's
// last day where it has no such day: 31 January and one month is 28 or 29
// February.
func (d Day) PlusMonths(months int) Day {
	if d == "" {
		return ""
	}
	t := d.Start()
	first := time.Date(t.Year(), t.Month(), 1, 0, 0, 0, 0, time.UTC).AddDate(0, months, 0)
	last := first.AddDate(0, 1, -1).Day()
	return Of(first.AddDate(0, 0, min(t.Day(), last)-1))
}

// Until counts the days from d to another day, negative where it is past.
func (d Day) Until(other Day) int {
	return int(other.Start().Sub(d.Start()).Hours() / 24)
}

// Earliest is the first of some days; none where there is none.
func Earliest(days ...Day) Day {
	var first Day
	for _, d := range days {
		if d != "" && (first == "" || d < first) {
			first = d
		}
	}
	return first
}
