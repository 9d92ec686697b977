package picture_test

import (
	"os"
	"testing"

	"hangtrue/internal/face/app"
	"hangtrue/internal/paper/sheet"
)

func TestScratch(t *testing.T) {
	data, err := os.ReadFile(os.Getenv("RIG"))
	if err != nil {
		t.Skip(err)
	}
	s := app.Solve(data)
	for _, p := range s.Problems {
		t.Log(p.Format("rig"))
	}
	out := os.Getenv("OUT")
	p, err := s.Picture(app.Drawing{})
	if err != nil {
		t.Fatal(err)
	}
	b, err := app.Encode(p, "png", 110)
	if err != nil {
		t.Fatal(err)
	}
	os.WriteFile(out+".png", b, 0o644)
	p, _ = s.Picture(app.Drawing{View: "three-quarter", Ground: true})
	b, _ = app.Encode(p, "png", 80)
	os.WriteFile(out+"-ground.png", b, 0o644)
	b, err = s.Sheet(sheet.Stamp{Date: "2026-11-25", File: "x.yaml", Tool: "hangtrue dev"})
	if err != nil {
		t.Fatal(err)
	}
	os.WriteFile(out+".pdf", b, 0o644)
}
