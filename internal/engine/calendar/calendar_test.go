package calendar

import (
	"testing"
	"time"
)

func TestParse(t *testing.T) {
	if d, err := Parse("2024-02-29"); err != nil || d != "2024-02-29" {
		t.Errorf("got %s, %v", d, err)
	}
	for _, bad := range []string{"", "2023-02-29", "31.05.2026", "2026-5-1", "0001-01-01", "2026-05-31T00:00:00Z"} {
		if d, err := Parse(bad); err == nil {
			t.Errorf("%q was taken as %s", bad, d)
		}
	}
}

func TestPlus(t *testing.T) {
	for _, c := range []struct {
		from         Day
		months, days int
		want         Day
	}{
		{"2026-01-31", 1, 0, "2026-02-28"},
		{"2024-01-31", 1, 0, "2024-02-29"},
		{"2024-02-29", 12, 0, "2025-02-28"},
		{"2026-11-30", 3, 0, "2027-02-28"},
		{"2026-05-31", -1, 0, "2026-04-30"},
		{"2026-12-31", 0, 1, "2027-01-01"},
		{"", 3, 3, ""},
	} {
		if got := c.from.PlusMonths(c.months).Plus(c.days); got != c.want {
			t.Errorf("%s and %d months %d days: got %s, want %s", c.from, c.months, c.days, got, c.want)
		}
	}
	if got := Day("2026-03-01").Until("2026-02-27"); got != -2 {
		t.Errorf("got %d days", got)
	}
	if got := Earliest("", "2026-03-01", "2025-01-01", ""); got != "2025-01-01" {
		t.Errorf("got %s", got)
	}
	if got := Of(time.Date(2026, 5, 31, 23, 30, 0, 0, time.FixedZone("", 7200))); got != "2026-05-31" {
		t.Errorf("got %s", got)
	}
}
