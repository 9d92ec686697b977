package picture_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"hangtrue/internal/face/app"
	"hangtrue/internal/paper/picture"
	"hangtrue/internal/paper/sheet"
)

func TestScratch(t *testing.T) {
	out := os.Getenv("OUT")
	if out == "" {
		t.Skip()
	}
	var files []string
	for _, g := range strings.Split(os.Getenv("RIGS"), ":") {
		m, _ := filepath.Glob(g)
		files = append(files, m...)
	}
	kinds := os.Getenv("KINDS")
	for _, file := range files {
		data, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		name := strings.TrimSuffix(filepath.Base(file), ".yaml")
		s := app.Solve(data)
		for _, p := range s.Problems {
			t.Log(name, p.Format("rig"))
		}
		if s.Rig == nil {
			t.Error(name)
			continue
		}
		save := func(ext string, b []byte, err error) {
			if err != nil {
				t.Error(name, err)
			}
			os.WriteFile(filepath.Join(out, name+ext), b, 0o644)
		}
		if strings.Contains(kinds, "b") && s.Answer != nil {
			p, err := s.Picture(app.Drawing{})
			if err != nil {
				t.Error(err)
				continue
			}
			b, err := app.Encode(p, "png", 130)
			save("-board.png", b, err)
		}
		if strings.Contains(kinds, "g") {
			p, _ := s.Picture(app.Drawing{Ground: true})
			b, err := app.Encode(p, "png", 130)
			save("-ground.png", b, err)
		}
		if strings.Contains(kinds, "v") && s.Answer != nil {
			for _, v := range []string{"side", "front", "top", "three-quarter"} {
				p, _ := s.Picture(app.Drawing{View: v})
				b, err := app.Encode(p, "png", 100)
				save("-"+v+".png", b, err)
			}
		}
		if strings.Contains(kinds, "t") && s.Answer != nil {
			p := picture.Of(s.Rig, s.Answer, picture.Options{View: picture.Side, Small: true, Width: 40, Height: 40, Bare: true})
			b, err := app.Encode(p, "png", 200)
			save("-small.png", b, err)
			p = picture.Of(s.Rig, s.Answer, picture.Options{View: picture.ThreeQuarter, Small: true, Width: 40, Height: 40, Bare: true})
			b, err = app.Encode(p, "png", 200)
			save("-small3.png", b, err)
		}
		if strings.Contains(kinds, "s") && s.Answer != nil {
			b, err := s.Sheet(sheet.Stamp{Date: "2026-11-25", File: name + ".yaml", Tool: "hangtrue dev"})
			save("-sheet.pdf", b, err)
		}
	}
}
