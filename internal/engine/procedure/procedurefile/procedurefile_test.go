package procedurefile_test

import (
	"strings"
	"testing"

	"hangtrue/internal/engine/procedure"
	"hangtrue/internal/engine/procedure/procedurefile"
	"hangtrue/internal/engine/rig"
	"hangtrue/internal/engine/rig/rigfile"
)

const register = `format: hangtrue.procedures/1
publications:
  - title: Handbook
    edition: "3"
    change: "1"
    paragraphs:
      - {number: "4.2", covers: {weight: [50 kg, 200 kg], set: two legs, airspeed: up to 60 kt, aircraft: [single, twin]}}
  - {title: Handbook, edition: "2", superseded: yes}
  - {title: Old book, edition: "1", superseded: yes}
  - {title: Thin book, edition: "1"}
authorities:
  - {rig: allowed, version: V, name: M. Haller, reference: letter 17, test-lift: {on: 2026-05-04, by: M. Haller, result: hung level}}
  - {rig: half, version: V, name: M. Haller}
  - {rig: changed, version: OLD, name: M. Haller, reference: letter 17, test-lift: {on: 2026-05-04, by: M. Haller, result: hung level}}
`

func rigOf(t *testing.T, procedure string) *rig.Rig {
	t.Helper()
	text := "format: hangtrue.rig/1\nbodies: [{id: b, mass: 100 kg, cg: [0 m, 0 m, 0 m], points: {p: [0 m, 0 m, 1 m]}}]\nlegs: [{id: P, to: b.p, length: 3 m, stretch: 1 % at 20 kN}]\n" + procedure
	r, problems := rigfile.Read([]byte(text))
	if r == nil {
		t.Fatal(problems)
	}
	return r
}

func read(t *testing.T) *procedure.Register {
	t.Helper()
	g, problems := procedurefile.Read([]byte(register))
	if g == nil {
		t.Fatal(problems[0].Format("register"))
	}
	return g
}

func TestCite_MarksOldEditionsForReview(t *testing.T) {
	g := read(t)
	for _, tt := range []struct {
		cites string
		want  procedure.Standing
		why   string
	}{
		{"", procedure.NotCited, "no procedure is entered"},
		{`procedure: {publication: Handbook, edition: "3", change: "1", paragraph: "4.2"}`, procedure.Current, "paragraph 4.2"},
		{`procedure: {publication: handbook, edition: "3", change: "1", paragraph: "4.2", covers: {weight: [50 kg, 200 kg], aircraft: twin}}`, procedure.Current, ""},
		{`procedure: {publication: Handbook, edition: "2", paragraph: "4.2"}`, procedure.ForReview, "superseded by edition 3, change 1"},
		{`procedure: {publication: Handbook, edition: "3", paragraph: "4.2"}`, procedure.ForReview, "has edition 3, change 1 as current"},
		{`procedure: {publication: Handbook, edition: "1", paragraph: "4.2"}`, procedure.ForReview, "cites edition 1 and the register has edition 3"},
		{`procedure: {publication: Old book, edition: "1"}`, procedure.ForReview, "no current one is entered"},
		{`procedure: {publication: Old book, edition: "7"}`, procedure.NotInTheBook, "does not have edition 7"},
		{`procedure: {publication: Handbok, edition: "3"}`, procedure.NotInTheBook, `no publication "Handbok"`},
		{`procedure: {publication: Handbook, paragraph: "4.2"}`, procedure.NotChecked, "which edition"},
		{`procedure: {publication: Handbook, edition: "3", change: "1"}`, procedure.NotChecked, "which paragraph"},
		{`procedure: {publication: Handbook, edition: "3", change: "1", paragraph: "9"}`, procedure.NotInTheBook, "no paragraph 9"},
		{`procedure: {publication: Thin book, edition: "1", paragraph: "9"}`, procedure.NotChecked, "lists no paragraphs"},
		{`procedure: {publication: Handbook, edition: "3", change: "1", paragraph: "4.2", covers: {weight: [50 kg, 300 kg], airspeed: up to 80 kt, aircraft: tandem}}`, procedure.ForReview, "do not agree on the weights, the airspeed, the aircraft tandem"},
	} {
		c := g.Cite("r", "V", rigOf(t, tt.cites))
		if c.Standing != tt.want || !strings.Contains(c.Why, tt.why) {
			t.Errorf("%s\nis %s, %s; want %s, %s", tt.cites, c.Standing, c.Why, tt.want, tt.why)
		}
	}
}

func TestCite_DraftNeedsAnAuthorityForThisVersion(t *testing.T) {
	g := read(t)
	for _, tt := range []struct {
		rig     string
		missing int
		final   bool
	}{{"nobody", 3, false}, {"allowed", 0, true}, {"half", 2, false}, {"changed", 1, false}} {
		c := g.Cite(tt.rig, "V", rigOf(t, ""))
		if !c.Draft.Is || len(c.Draft.Missing) != tt.missing || c.Final() != tt.final {
			t.Errorf("%s: missing %v, final %v", tt.rig, c.Draft.Missing, c.Final())
		}
	}
	if c := g.Cite("allowed", "V", rigOf(t, "invented: yes")); c.Final() {
		t.Error("invented data prints as final")
	}
	covered := rigOf(t, `procedure: {publication: Handbook, edition: "3", change: "1", paragraph: "4.2", covers: {weight: [50 kg, 200 kg]}}`)
	if c := g.Cite("nobody", "V", covered); c.Draft.Is || !c.Final() {
		t.Errorf("a covered rig is a draft: %+v", c.Draft)
	}
	old := rigOf(t, `procedure: {publication: Handbook, edition: "2", paragraph: "4.2", covers: {weight: [50 kg, 200 kg]}}`)
	if c := g.Cite("nobody", "V", old); c.Final() {
		t.Error("a rig for review prints as final")
	}
}

func TestRead_NamesWhatIsWrong(t *testing.T) {
	for _, tt := range []struct {
		name, from, to, text string
		line                 int
	}{
		{"two current", `edition: "2", superseded: yes`, `edition: "2"`, `two entries of "Handbook" are current`, 8},
		{"twice", `{title: Handbook, edition: "2", superseded: yes}`, `{title: Handbook, edition: "3", change: "1", superseded: yes}`, "entered twice", 8},
		{"no such day", "on: 2026-05-04, by: M. Haller, result: hung level}}\n  - {rig: half", "on: 2026-02-31, by: M. Haller, result: hung level}}\n  - {rig: half", "", 12},
		{"weight without unit", "weight: [50 kg, 200 kg]", "weight: [50, 200 kg]", "needs a unit", 7},
	} {
		text := strings.Replace(register, tt.from, tt.to, 1)
		if text == register {
			t.Fatalf("%s: nothing was replaced", tt.name)
		}
		_, problems := procedurefile.Read([]byte(text))
		if len(problems) == 0 || !strings.Contains(problems[0].String(), tt.text) || problems[0].Line != tt.line {
			t.Errorf("%s: %+v, want line %d and %q", tt.name, problems, tt.line, tt.text)
		}
	}
}
