package whatif_test

import (
	"bytes"
	"context"
	"os"
	"strings"
	"testing"

	"hangtrue/internal/engine/quantity"
	"hangtrue/internal/engine/rig/flight"
	"hangtrue/internal/paper/draw/png"
	"hangtrue/internal/paper/draw/svg"
	"hangtrue/internal/paper/whatif"
)

func TestFlight_SaysThatItIsAStudy(t *testing.T) {
	for _, name := range []string{"crate-off-centre", "drums-four-small", "cabin-long-line", "net-one-ring"} {
		r := demoRig(t, name)
		s, err := flight.New(r, flight.Conditions{})
		if err != nil {
			t.Fatal(err)
		}
		sweep, err := s.Sweep(context.Background(), flight.Span{Fastest: 80 * quantity.Knot, Steps: 8, Trail: 0.1})
		if err != nil {
			t.Fatal(err)
		}
		for _, chosen := range [][]int{nil, {0, 4, 99}, {99}} {
			p := whatif.Flight(r, sweep, chosen)
			drawn, err := svg.String(p)
			if err != nil {
				t.Fatal(err)
			}
			for _, want := range []string{"STUDY OF FLIGHT", "INVENTED", "instability", "airspeed, kt", "Not a clearance", "1.225"} {
				if !strings.Contains(drawn, want) {
					t.Errorf("%s, %v: nothing says %q", name, chosen, want)
				}
			}
		}
		if dir := os.Getenv("OUT"); dir != "" {
			var b bytes.Buffer
			if err := png.Encode(&b, whatif.Flight(r, sweep, nil), 110); err != nil {
				t.Fatal(err)
			}
			os.WriteFile(dir+"/flight-"+name+".png", b.Bytes(), 0o644)
		}
	}
}
