package spelling_test

import (
	"testing"

	"hangtrue/internal/engine/spelling"
)

func TestCapital(t *testing.T) {
	for text, want := range map[string]string{"": "", "a leg": "A leg", "élingue": "Élingue", "4 legs": "4 legs", "A": "A"} {
		if got := spelling.Capital(text); got != want {
			t.Errorf("%q begins as %q, want %q", text, got, want)
		}
	}
}

func TestShort(t *testing.T) {
	for _, c := range []struct {
		text string
		most int
		want string
	}{
		{"", 3, ""},
		{"leg", 3, "leg"},
		{"legs", 3, "le…"},
		{"a leg", 3, "a…"}, // no space before the ellipsis
		{"élingue", 4, "éli…"},
		{"legs", 1, "…"},
		{"legs", 0, "…"},
	} {
		if got := spelling.Short(c.text, c.most); got != c.want {
			t.Errorf("%q in %d letters is %q, want %q", c.text, c.most, got, c.want)
		}
	}
}

func TestJoined(t *testing.T) {
	for _, c := range []struct {
		parts []string
		want  string
	}{
		{nil, ""},
		{[]string{"", ""}, ""},
		{[]string{"", "a", "", "b"}, "a, b"},
	} {
		if got := spelling.Joined(", ", c.parts...); got != c.want {
			t.Errorf("%q joined is %q, want %q", c.parts, got, c.want)
		}
	}
}
