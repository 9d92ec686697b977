package closeup

import (
	"image"
	"image/draw"
	stdpng "image/png"
	"os"
	"strings"
	"testing"

	"hangtrue/internal/paper/draw/png"
)

func TestScratch(t *testing.T) {
	out := os.Getenv("OUT")
	if out == "" {
		t.Skip()
	}
	want := strings.Fields(os.Getenv("FIG"))
	dpi := 110.0
	if os.Getenv("DPI") != "" {
		dpi = 203.2
	}
	var tiles []image.Image
	for _, f := range Figures() {
		ok := len(want) == 0
		for _, w := range want {
			ok = ok || w == f.ID
		}
		if !ok {
			continue
		}
		add := func(params map[string]string) {
			p, err := Draw(f.ID, params, Options{Staff: os.Getenv("STAFF") != ""})
			if err != nil {
				t.Fatal(err)
			}
			img, err := png.Render(p, dpi)
			if err != nil {
				t.Fatal(err)
			}
			tiles = append(tiles, img)
		}
		for _, v := range f.Views {
			for i, a := range v.Attributes {
				for j, st := range a.States {
					if i > 0 && j == 0 {
						continue
					}
					add(map[string]string{a.ID: st})
				}
			}
		}
	}
	cols := 5
	w := tiles[0].Bounds().Dx()
	rows := (len(tiles) + cols - 1) / cols
	img := image.NewRGBA(image.Rect(0, 0, cols*(w+4), rows*(w+4)))
	for i, x := range tiles {
		r := image.Rect(0, 0, w, w).Add(image.Pt(i%cols*(w+4), i/cols*(w+4)))
		draw.Draw(img, r, x, image.Point{}, draw.Src)
	}
	f, _ := os.Create(out)
	defer f.Close()
	stdpng.Encode(f, img)
}
