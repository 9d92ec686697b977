package web

import (
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"hangtrue/internal/face/app"
)

const register = `format: hangtrue.procedures/1
title: Test register
publications:
  # the school's own
  - title: Handbook
    edition: "2"
    paragraphs: [{number: "4.2", covers: {weight: [1000 kg, 2000 kg]}}]
`

const follows = crate + `procedure: {publication: Handbook, edition: "2", paragraph: "4.2", covers: {weight: [1000 kg, 2000 kg]}}
`

func TestProcedures_ANewEditionMarksRigsForReview(t *testing.T) {
	s, dir := serving(t, map[string]string{"crate": follows, "bare": bare})
	keepRegister(t, dir, register)
	page := ask(t, s, "GET", "/procedures", nil).Body.String()
	wellMade(t, page)
	for _, want := range []string{"No rig cites an edition that", "Cites Handbook, edition 2, paragraph 4.2", "Cites no procedure", "Cited by <a href=\"/rig/crate\"", "Before its papers may print as final", "Bare &lt;b&gt;"} {
		if !strings.Contains(page, want) {
			t.Errorf("page does not say %q", want)
		}
	}
	solved := s.solver.solve([]byte(follows))
	if got := s.procedureNotice("crate", solved); got != "" {
		t.Errorf("a current edition is noticed: %s", got)
	}
	form := formOf(t, page)
	form.Set("new.title", "Handbook")
	c, _ := pressed(t, s, "/procedures", "edition", form)
	if !strings.Contains(c.Parts["procedures-new"], "Enter the edition, or the change") || c.Text != register {
		t.Errorf("an edition without its number: %s", c.Parts["procedures-new"])
	}
	form.Set("new.edition", "3")
	form.Set("new.from", "2026-13-01")
	if c, _ = pressed(t, s, "/procedures", "edition", form); !strings.Contains(c.Parts["procedures-new"], "It would not be right") || !strings.Contains(c.Parts["procedures-new"], `value="2026-13-01"`) {
		t.Errorf("a day that is none: %s", c.Parts["procedures-new"])
	}
	form.Set("new.from", "2026-12-01")
	c, _ = pressed(t, s, "/procedures", "edition", form)
	want := strings.Replace(register, "  - title: Handbook", "  - superseded: yes\n    title: Handbook", 1) + "  - {title: Handbook, edition: \"3\", from: 2026-12-01}\n"
	if c.Text != want {
		t.Fatalf("got\n%s\nwant\n%s", c.Text, want)
	}
	if !strings.Contains(c.Parts["procedures-review"], "<b>For review</b>") {
		t.Errorf("crate is not for review: %s", c.Parts["procedures-review"])
	}
	form.Set("text", c.Text)
	form.Del("new.title")
	if _, code := pressed(t, s, "/procedures", "save", form); code != http.StatusOK {
		t.Errorf("status %d", code)
	}
	if file, err := os.ReadFile(filepath.Join(dir, "procedures", "register.yaml")); err != nil || string(file) != want {
		t.Errorf("%q, %v", file, err)
	}
	if got := s.procedureNotice("crate", solved); !strings.HasPrefix(got, "For review: ") {
		t.Errorf("the superseded edition is not noticed: %q", got)
	}
	// Once more, from the entry in one line.
	form.Set("new.title", "handbook")
	form.Set("new.edition", "4")
	if c, _ = pressed(t, s, "/procedures", "edition", form); !strings.Contains(c.Text, `- {superseded: yes, title: Handbook, edition: "3"`) || !strings.Contains(c.Text, `{title: Handbook, edition: "4"`) {
		t.Errorf("got\n%s", c.Text)
	}
}

func TestProcedures_Empty(t *testing.T) {
	s, _ := serving(t, map[string]string{"crate": follows})
	page := ask(t, s, "GET", "/procedures", nil).Body.String()
	wellMade(t, page)
	if !strings.Contains(page, "Cites what the register does not have") || !strings.Contains(page, "None is entered yet") {
		t.Error("an empty register does not say so")
	}
	form := formOf(t, page)
	form.Set("new.title", "A: book")
	form.Set("new.change", "7")
	c, _ := pressed(t, s, "/procedures", "edition", form)
	if !strings.HasSuffix(c.Text, "publications:\n  - {title: \"A: book\", change: \"7\"}\n") {
		t.Errorf("got\n%s", c.Text)
	}
	form.Set("text", "format: hangtrue.procedures/1\npublications: 3\n")
	if c, _ = pressed(t, s, "/procedures", "read", form); !strings.Contains(c.Parts["text-problems"], `data-line="2"`) {
		t.Errorf("problems: %s", c.Parts["text-problems"])
	}
}

// keepRegister puts a register where the school's is kept.
func keepRegister(t testing.TB, dir, text string) {
	t.Helper()
	if err := os.MkdirAll(filepath.Join(dir, app.Procedures), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(dir, app.RegisterName), []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
}
