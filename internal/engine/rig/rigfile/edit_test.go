package rigfile

import (
	"strings"
	"testing"
)

const head = "format: hangtrue.rig/1\ntitle: Kiste\nbodies:\n  - id: crate\n    mass: 900 kg\n    points: {F: [1 m, 0 m, 1 m], R: [-1 m, 0 m, 1 m]}\nlegs:\n"

const chainOf = "rope: {length: 3 m, stretch: 5 % at 20 kN}, chain: {links: 60, pitch: 30 mm, stretch: 0.5 % at 20 kN}"

func TestSetCount(t *testing.T) {
	rear := "  - {id: R, to: crate.R, " + chainOf + ", count: 7}\n"
	for _, c := range []struct {
		name, legs, leg string
		n               int
		want            string // legs afterwards
		wrong           string // or part of the error
	}{
		{
			name: "flow", legs: "  - {id: F, to: crate.F, " + chainOf + ", count: 10, seat: 1}\n" + rear, leg: "F", n: 9,
			want: "  - {id: F, to: crate.F, " + chainOf + ", count: 9, seat: 1}\n" + rear,
		},
		{
			name: "last in the braces, without a space", legs: "  - {id: F, to: crate.F, " + chainOf + ", count: 10}\n" + rear, leg: "F", n: 100,
			want: "  - {id: F, to: crate.F, " + chainOf + ", count: 100}\n" + rear,
		},
		{
			name: "block with a comment", legs: "  - id: F\n    count:   10    # measured, count: 10\n    to: crate.F\n" + rear, leg: "F", n: 11,
			want: "  - id: F\n    count:   11    # measured, count: 10\n    to: crate.F\n" + rear,
		},
		{
			name: "characters of two and four bytes before it", legs: "  - {id: F, to: \"crate.F\", hitch: {kind: direct, source: 'größer 🪝'}, count: 10}\n", leg: "F", n: 4,
			want: "  - {id: F, to: \"crate.F\", hitch: {kind: direct, source: 'größer 🪝'}, count: 4}\n",
		},
		{name: "on a line after its key", legs: "  - id: F\n    count:\n      10\n", leg: "F", n: 4, want: "  - id: F\n    count:\n      4\n"},
		{name: "left open", legs: "  - {id: F, count: find}\n", leg: "F", n: 4, want: "  - {id: F, count: 4}\n"},
		{name: "left open, in quotes", legs: "  - {id: F, count: 'find', seat: 2}\n", leg: "F", n: 4, want: "  - {id: F, count: 4, seat: 2}\n"},
		{name: "an error elsewhere stays", legs: "  - {id: F, count: 3, lenght: 3}\n", leg: "F", n: 4, want: "  - {id: F, count: 4, lenght: 3}\n"},
		{name: "windows line ends", legs: "  - id: F\r\n    count: 10\r\n    to: crate.F\r\n", leg: "F", n: 8, want: "  - id: F\r\n    count: 8\r\n    to: crate.F\r\n"},
		{name: "the other leg stays", legs: "  - {id: F, count: 7}\n" + rear, leg: "R", n: 8, want: "  - {id: F, count: 7}\n" + strings.Replace(rear, "count: 7", "count: 8", 1)},
		{name: "no such leg", legs: rear, leg: "F", n: 8, wrong: `no leg "F"`},
		{name: "a plain leg", legs: "  - {id: F, length: 3 m}\n", leg: "F", n: 8, wrong: "no count"},
		{name: "below the chain", legs: rear, leg: "R", n: 0, wrong: "lowest is 1"},
		{name: "no YAML", legs: "  - {id: F, count: 3\n", leg: "F", n: 4, wrong: "line "},
	} {
		t.Run(c.name, func(t *testing.T) {
			for _, mark := range []string{"", byteOrderMark} {
				got, err := SetCount([]byte(mark+head+c.legs), c.leg, c.n)
				if c.wrong != "" {
					if err == nil || !strings.Contains(err.Error(), c.wrong) {
						t.Errorf("got %q and error %v, want an error with %q", got, err, c.wrong)
					}
					continue
				}
				if err != nil {
					t.Fatal(err)
				}
				if want := mark + head + c.want; string(got) != want {
					t.Errorf("got\n%s\nwant\n%s", got, want)
				}
				if n := Counts(got)[c.leg]; n != c.n {
					t.Errorf("Counts gives %d, want %d", n, c.n)
				}
			}
		})
	}
}

func FuzzSetCount(f *testing.F) {
	f.Add("  - {id: F, count: 10}\n", 4)
	f.Add("  - id: F\n    count: 'find' # x\n", 40)
	f.Add("- {count: 1,id: F}", 4)
	f.Fuzz(func(t *testing.T, legs string, n int) {
		before := []byte(head + legs)
		after, err := SetCount(before, "F", n)
		if err != nil {
			return
		}
		was, is := Counts(before), Counts(after)
		if is["F"] != n {
			t.Fatalf("count is %d, want %d", is["F"], n)
		}
		delete(was, "F")
		for id, c := range was {
			if is[id] != c {
				t.Errorf("leg %s went from %d to %d", id, c, is[id])
			}
		}
	})
}
