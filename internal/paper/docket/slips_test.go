package docket

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/look"
)

func TestSlips(t *testing.T) {
	var list []Slip
	for i := range 11 {
		list = append(list, Slip{School: "Kestmoor Lift School", Name: fmt.Sprintf("Ada Fell %d", i), Group: "1", URL: "https://kestmoor.local:8443/welcome/" + strings.Repeat("aB3-_", 9)[:42] + string(rune('a'+i)), Until: "2026-12-02 10:00", Trust: "http://kestmoor.local:8080/"})
	}
	long := strings.Repeat("A very long name of somebody ", 9)
	list = append(list, Slip{School: long, Name: long, Group: long, URL: list[0].URL, Until: "2026-12-02 10:00", Trust: "http://" + strings.Repeat("kestmoor", 9) + ".local:8080/"})
	pages, err := Slips(list)
	if err != nil || len(pages) != 2 {
		t.Fatalf("%d pages, %v", len(pages), err)
	}
	text, n := said(pages...), 0
	for _, page := range pages {
		for _, i := range page.Items {
			g, ok := i.(*draw.Group)
			if !ok {
				continue
			}
			if b := g.Bounds(); b.X+b.W > slipWidth+0.2 || b.Y+b.H > slipHeight+0.2 {
				t.Errorf("slip %d reaches %+v", n, b)
			}
			if n%5 == 0 { // as a telephone sees it
				p := draw.New(slipWidth, slipHeight, "Slip", "")
				p.Rect(p.Frame(), draw.Stroke{}, look.Paper)
				p.Items = append(p.Items, g.Items...)
				if got := read(t, p); !slices.Equal(got, []string{list[n].URL}) {
					t.Errorf("slip %d: read %q", n, got)
				}
			}
			n++
		}
	}
	if n != len(list) || strings.Count(text, "Works once") != n || !strings.Contains(text, "Ada Fell 3") || !strings.Contains(text, "2026-12-02 10:00") {
		t.Errorf("%d slips: %.600s", n, text)
	}
	if _, err := Slips([]Slip{{URL: strings.Repeat("x", 4000)}}); err == nil {
		t.Error("a link too long for a code was taken")
	}
}
