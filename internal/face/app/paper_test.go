package app_test

import (
	"bytes"
	"strings"
	"testing"

	"hangtrue/internal/data/demo"
	"hangtrue/internal/face/app"
	"hangtrue/internal/paper/sheet"
)

// openCounts is a rig whose only count is still to be found.
const openCounts = `format: hangtrue.rig/1
title: Open
bodies:
  - {id: box, shape: {box: [1 m, 1 m, 1 m]}, mass: 100 kg, points: {top: [0 m, 0 m, 1 m]}}
legs:
  - {id: A, to: box.top, rope: {length: 3 m, stretch: 3 % at 20 kN}, chain: {links: 40, pitch: 28 mm, stretch: 0.3 % at 20 kN}, count: find}
`

func TestPicture_Refusals(t *testing.T) {
	good := app.Solve(demo.Rigs()[0].Data)
	open := app.Solve([]byte(openCounts))
	if len(open.Open) != 1 {
		t.Fatalf("open counts: %v, problems %v", open.Open, open.Problems)
	}
	bad := app.Solve([]byte("format: hangtrue.rig/1\n"))
	for _, c := range []struct {
		name string
		s    *app.Solved
		d    app.Drawing
		want string // in the error; "" for a picture
	}{
		{"the board", &good, app.Drawing{}, ""},
		{"a view", &good, app.Drawing{View: "three-quarter", Ground: true}, ""},
		{"no such view", &good, app.Drawing{View: "below"}, "the views are side, front, top and three-quarter"},
		{"counts open, hung", &open, app.Drawing{View: "side"}, "only the ground view"},
		{"counts open, on the ground", &open, app.Drawing{View: "side", Ground: true}, ""},
		{"counts open, board on the ground", &open, app.Drawing{Ground: true}, ""},
		{"bad input", &bad, app.Drawing{Ground: true}, "has errors"},
	} {
		p, err := c.s.Picture(c.d)
		switch {
		case c.want == "" && (err != nil || p.Check() != nil):
			t.Errorf("%s: %v", c.name, err)
		case c.want != "" && (err == nil || !strings.Contains(err.Error(), c.want)):
			t.Errorf("%s: error %v, want one that says %q", c.name, err, c.want)
		}
	}
	if _, err := open.Sheet(sheet.Stamp{}); err == nil {
		t.Error("a sheet without an answer")
	}
}

func TestEncode(t *testing.T) {
	s := app.Solve(demo.Rigs()[0].Data)
	p, err := s.Picture(app.Drawing{View: "side"})
	if err != nil {
		t.Fatal(err)
	}
	begins := map[string]string{"svg": "<", "pdf": "%PDF-", "png": "\x89PNG"}
	if len(app.Formats) != len(begins) {
		t.Errorf("formats %v", app.Formats)
	}
	for _, format := range app.Formats {
		out, err := app.Encode(p, format, 30)
		if err != nil || !bytes.HasPrefix(out, []byte(begins[format])) {
			t.Errorf("%s begins with %.5q, error %v", format, out, err)
		}
	}
	if _, err := app.Encode(p, "tiff", 0); err == nil || !strings.Contains(err.Error(), "svg, pdf and png") {
		t.Errorf("as tiff: %v", err)
	}
}

func TestSheet_NamesItsVersion(t *testing.T) {
	s := app.Solve(demo.Rigs()[0].Data)
	a, err := s.Sheet(sheet.Stamp{Date: "2026-11-25", File: "x.yaml", Tool: "test", Version: "not this one"})
	if err != nil || !bytes.HasPrefix(a, []byte("%PDF-")) {
		t.Fatalf("%.5q, %v", a, err)
	}
	b, err := s.Sheet(sheet.Stamp{Date: "2026-11-25", File: "x.yaml", Tool: "test", Version: "nor this"})
	if err != nil || !bytes.Equal(a, b) {
		t.Error("the sheet takes its version from the stamp instead of from the rig's bytes")
	}
}
