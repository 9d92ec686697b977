package whatif_test

import (
	"bytes"
	"context"
	"os"
	"strings"
	"testing"

	"hangtrue/internal/data/demo"
	"hangtrue/internal/engine/quantity"
	"hangtrue/internal/engine/rig"
	"hangtrue/internal/engine/rig/fault"
	"hangtrue/internal/engine/rig/flight"
	"hangtrue/internal/engine/rig/rigfile"
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/png"
	"hangtrue/internal/paper/draw/svg"
	"hangtrue/internal/paper/picture"
	"hangtrue/internal/paper/sheet"
	"hangtrue/internal/paper/whatif"
)

func demoRig(t *testing.T, name string) *rig.Rig {
	t.Helper()
	for _, d := range demo.Rigs() {
		if d.Name == name {
			r, problems := rigfile.Read(d.Data)
			if r == nil {
				t.Fatal(problems)
			}
			return r
		}
	}
	t.Fatalf("no demo rig %s", name)
	return nil
}

var stamp = sheet.Stamp{Date: "2026-11-25 10:00", Version: strings.Repeat("ab", 32), File: "rig.yaml", Tool: "hangtrue test"}

// drawn is a picture as SVG; with OUT set it is also written there to be looked at.
func drawn(t *testing.T, name string, p *draw.Picture) string {
	t.Helper()
	text, err := svg.String(p)
	if err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	if dir := os.Getenv("OUT"); dir != "" {
		var b bytes.Buffer
		if err := png.Encode(&b, p, 90); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(dir+"/"+name+".png", b.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	return text
}

// Every page of both sheets carries the mark, the standing, the caution and the
// version; every fault of the table stands on some page.
func TestSheets_EveryPageSaysWhatItMust(t *testing.T) {
	list := map[string]int{"trailer-front-and-rear": 10, "footbridge-two-hooks": 3, "net-one-ring": 10, "pipes-under-spreader": 10}
	for name, links := range list {
		r := demoRig(t, name)
		plan, err := rig.Hang(r)
		if err != nil {
			t.Fatal(err)
		}
		table, err := fault.Work(context.Background(), r, fault.Options{Workers: 2, MaxLinks: links})
		if err != nil {
			t.Fatal(err)
		}
		var pitch []fault.AtPitch
		if len(r.Apexes()) > 1 {
			if pitch, err = fault.OverPitch(context.Background(), r, -0.1, 0.1, 10); err != nil {
				t.Fatal(err)
			}
		}
		study, err := flight.New(r, flight.Conditions{LoadFactor: 1.2})
		if err != nil {
			t.Fatal(err)
		}
		sweep, err := study.Sweep(context.Background(), flight.Span{Fastest: 80 * quantity.Knot, Steps: 8, Trail: 0.1})
		if err != nil {
			t.Fatal(err)
		}
		rotor := flight.Rotor{Speed: 34, Blades: 3}
		beats, err := flight.Beats(study.Rest().Modes, rotor)
		if err != nil {
			t.Fatal(err)
		}
		limit, err := flight.LimitLoads(r)
		if err != nil {
			t.Fatal(err)
		}
		all := ""
		for what, pages := range map[string][]*draw.Picture{
			"faults": whatif.Sheet(plan, table, pitch, stamp),
			"flight": whatif.FlightSheet(whatif.Study{Rest: plan, Sweep: sweep, Drags: study.Drags(), Rotor: &rotor, Beats: beats, Limit: limit}, stamp),
		} {
			if len(pages) == 0 {
				t.Fatalf("%s, %s: no page", name, what)
			}
			for i, p := range pages {
				text := drawn(t, what+"-"+name+"-"+string(rune('a'+i)), p)
				for _, want := range []string{"INVENTED", strings.ToUpper(plan.Status.String()), "Not a clearance", stamp.Version, "page "} {
					if !strings.Contains(text, want) {
						t.Errorf("%s, %s, page %d does not say %q", name, what, i+1, want)
					}
				}
				if p.Height != 297 || p.Bounds().Y+p.Bounds().H > 297.01 {
					t.Errorf("%s, %s, page %d runs off the sheet: %v", name, what, i+1, p.Bounds())
				}
				all += text
			}
		}
		groups, rows := table.Groups(), 0
		for i := range groups {
			rows += len(groups[i].Rows)
		}
		if rows != len(table.Rows) || rows == 0 {
			t.Errorf("%s: %d rows in groups, %d in the table", name, rows, len(table.Rows))
		}
		for _, want := range []string{"STUDY, not a plan", "instability", "no bound to fly to", "No published airspeed is entered", "shock"} {
			if !strings.Contains(all, want) {
				t.Errorf("%s: nothing says %q", name, want)
			}
		}
	}
}

// The plan and the fault stand beside each other at one scale, in any shape.
func TestBeside_AndCharts(t *testing.T) {
	r := demoRig(t, "crate-off-centre")
	plan, err := rig.Hang(r)
	if err != nil {
		t.Fatal(err)
	}
	table, err := fault.Work(context.Background(), r, fault.Options{MaxLinks: 4})
	if err != nil {
		t.Fatal(err)
	}
	f, ok := fault.Named(r, "leg-lost.FL")
	if !ok {
		t.Fatal("no fault leg-lost.FL")
	}
	a, err := f.Hung(r, false)
	if err != nil {
		t.Fatal(err)
	}
	n := 0
	for shape, size := range map[string][2]float64{"wide": {160, 100}, "tall": {80, 150}} {
		text := drawn(t, "beside-"+shape, whatif.Beside(plan, a, "leg FL lost", picture.Side, size[0], size[1]))
		if !strings.Contains(text, "as planned") || !strings.Contains(text, "leg FL lost") || strings.Count(text, "INVENTED<") != 1 {
			t.Errorf("%s: words are missing", shape)
		}
		text = drawn(t, "travel-"+shape, whatif.Travel(r, table, "FL", size[0], size[1]))
		if !strings.Contains(text, "link of leg FL") {
			t.Errorf("%s: the axis of the travel has no name", shape)
		}
		n++
	}
	if n != 2 || whatif.Travel(r, table, "nowhere", 100, 50) != nil {
		t.Errorf("%d shapes; a leg that is not there has a chart", n)
	}
}
