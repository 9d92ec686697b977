package liquid_test

import (
	"math"
	"slices"
	"testing"

	"hangtrue/internal/engine/liquid"
	"hangtrue/internal/engine/quantity"
)

func of(x float64) *float64 { return &x }

func filled(t *testing.T, e liquid.Entry) liquid.Fill {
	t.Helper()
	f, problems := liquid.New(e)
	if len(problems) > 0 {
		t.Fatal(problems[0])
	}
	return f
}

// water fills a share of a tank with water at 20 degC.
func water(t *testing.T, tank liquid.Tank, share float64) liquid.Fill {
	return filled(t, liquid.Entry{Liquid: named(t, "fresh water"), Tank: tank, Volume: of(share * tank.Holds()), At: degC(20)})
}

func lean(axis int, angle float64) [3]float64 {
	up := [3]float64{0, 0, math.Cos(angle)}
	up[axis] = math.Sin(angle)
	return up
}

func near(a, b [3]float64, tolerance float64) bool {
	return math.Abs(a[0]-b[0]) <= tolerance && math.Abs(a[1]-b[1]) <= tolerance && math.Abs(a[2]-b[2]) <= tolerance
}

// TestCG_ClosedForms compares with formulas of a textbook's kind, each worked
// out for the case in its own way.
func TestCG_ClosedForms(t *testing.T) {
	boxed := liquid.Tank{Kind: liquid.Box, Size: [3]float64{2, 1, 1}}
	lying := liquid.Tank{Kind: liquid.Drum, Length: 1.6, Diameter: 1.2, Axis: 0}
	across := liquid.Tank{Kind: liquid.Drum, Length: 1.6, Diameter: 1.2, Axis: 1}
	upright := liquid.Tank{Kind: liquid.Drum, Length: 1.6, Diameter: 1.2, Axis: 2}
	const r, l = 0.6, 1.6
	tan := math.Tan(10 * quantity.Degree)
	// A free surface that leaves out neither floor nor lid moves the CG by
	// I·tan/V across and I·tan²/2V up, I the surface's second moment.
	wedge := func(i, v float64) (across, up float64) { return i * tan / v, i * tan * tan / (2 * v) }
	boxX, boxZ := wedge(1*8/12.0, 1)
	upX, upZ := wedge(math.Pi*r*r*r*r/4, math.Pi*r*r*l/2)
	// Half a lying drum's free surface is l by 2r.
	lieX, _ := wedge(2*r*l*l*l/12, math.Pi*r*r*l/2)
	f := math.Asin(0.5) // level half a radius above the axis
	area := r * r * (math.Pi/2 + f + math.Sin(f)*math.Cos(f))
	tests := []struct {
		name  string
		tank  liquid.Tank
		share float64
		up    [3]float64
		want  [3]float64
		tol   float64
		why   string
	}{
		{"half a box", boxed, 0.5, lean(0, 0), [3]float64{0, 0, 0.25}, 1e-12, "rounding"},
		{"half a box tilted", boxed, 0.5, lean(0, 10*quantity.Degree), [3]float64{-boxX, 0, 0.25 + boxZ}, 1e-12, "rounding"},
		{"half a lying drum", lying, 0.5, lean(0, 0), [3]float64{0, 0, r - 4*r/(3*math.Pi)}, 1e-12, "rounding"},
		{"half a drum across", across, 0.5, lean(0, 0), [3]float64{0, 0, r - 4*r/(3*math.Pi)}, 1e-12, "rounding"},
		{"a lying drum rolled about its axis", lying, 0.5, lean(1, 0.3), [3]float64{0, -4 * r / (3 * math.Pi) * math.Sin(0.3), r - 4*r/(3*math.Pi)*math.Cos(0.3)}, 1e-12, "rounding"},
		{"a lying drum above half", lying, area / (math.Pi * r * r), lean(0, 0), [3]float64{0, 0, r - 2.0/3*r*r*r*math.Pow(math.Cos(f), 3)/area}, 1e-12, "rounding"},
		{"an upright drum", upright, 0.25, lean(0, 0), [3]float64{0, 0, 0.2}, 1e-12, "rounding"},
		{"an upright drum tilted", upright, 0.5, lean(0, 10*quantity.Degree), [3]float64{-upX, 0, l/4 + upZ}, 1e-12, "rounding"},
		{"an upright drum on its head", upright, 0.25, [3]float64{0, 0, -1}, [3]float64{0, 0, l - 0.2}, 1e-12, "rounding"},
		{"a full drum tilted", lying, 1, lean(0, 0.5), [3]float64{0, 0, r}, 0, "exact"},
		// The surface of a tilted lying drum is no rectangle; to the first order in the slope it is.
		{"half a lying drum barely tilted", lying, 0.5, lean(0, 1e-3), [3]float64{-lieX * math.Tan(1e-3) / tan, 0, r - 4*r/(3*math.Pi)}, 2e-6, "second order in a slope of 1e-3"},
		{"one corner of a box", boxed, 1e-4, [3]float64{1, 1, 1}, [3]float64{-1 + math.Cbrt(12e-4)/4, -0.5 + math.Cbrt(12e-4)/4, math.Cbrt(12e-4) / 4}, 1e-9, "level found to 1e-16 of the box, over a small volume"},
	}
	for _, tt := range tests {
		if got := water(t, tt.tank, tt.share).CG(tt.up); !near(got, tt.want, tt.tol) {
			t.Errorf("%s: CG at %v m, want %v ± %g (%s)", tt.name, got, tt.want, tt.tol, tt.why)
		}
	}
}

// TestCG_GridOfCells compares with a count of small cells, the slowest and
// plainest route.
func TestCG_GridOfCells(t *testing.T) {
	const cells = 50
	ups := [][3]float64{{0.3, -0.2, 0.9}, {-0.7, 0.1, 0.5}, {0.9, 0.3, -0.2}, {0.97, 0.053, 0.031}, {0.061, 0.2, 1}}
	tanks := []liquid.Tank{
		{Kind: liquid.Box, Size: [3]float64{1.2, 0.8, 1}},
		{Kind: liquid.Drum, Length: 1.3, Diameter: 1, Axis: 0},
		{Kind: liquid.Drum, Length: 0.7, Diameter: 1, Axis: 1},
		{Kind: liquid.Drum, Length: 1.3, Diameter: 1, Axis: 2},
		{Kind: liquid.Drum, Length: 1.3, Diameter: 1, Axis: 0, Capacity: 0.8},
	}
	compared := 0
	for _, tank := range tanks {
		shrink := math.Cbrt(tank.Holds() / tank.Outline())
		size := tank.Size
		if tank.Kind == liquid.Drum {
			size = [3]float64{tank.Diameter, tank.Diameter, tank.Diameter}
			size[tank.Axis] = tank.Length
		}
		middle := tank.Middle()
		for _, up := range ups {
			type cell struct {
				at     [3]float64
				height float64
			}
			var inside []cell
			for i := range cells {
				for j := range cells {
					for k := range cells {
						var p [3]float64
						across := 0.0
						for a, n := range [3]int{i, j, k} {
							p[a] = size[a] * shrink * ((float64(n)+0.5)/cells - 0.5)
							if a != tank.Axis {
								across += p[a] * p[a]
							}
						}
						if tank.Kind == liquid.Drum && across > tank.Diameter*tank.Diameter*shrink*shrink/4 {
							continue
						}
						inside = append(inside, cell{p, p[0]*up[0] + p[1]*up[1] + p[2]*up[2]})
					}
				}
			}
			slices.SortFunc(inside, func(a, b cell) int {
				if a.height < b.height {
					return -1
				}
				return 1
			})
			for _, share := range []float64{0.04, 0.35, 0.8} {
				var want [3]float64
				n := int(share * float64(len(inside)))
				for _, c := range inside[:n] {
					for a := range want {
						want[a] += c.at[a] / float64(n)
					}
				}
				for a := range want {
					want[a] += middle[a]
				}
				// A cell is 1/50 of the tank; the centre of thousands of them is good to a quarter of one.
				if got := water(t, tank, share).CG(up); !near(got, want, 0.005) {
					t.Errorf("%+v filled to %g, up %v: CG at %v m, cells give %v", tank, share, up, got, want)
				}
				compared++
			}
		}
	}
	if compared != 75 {
		t.Errorf("compared %d cases, want 75", compared)
	}
}

func TestCG_DoesNotJumpBetweenItsWaysOfComputing(t *testing.T) {
	for _, axis := range []int{0, 2} {
		f := water(t, liquid.Tank{Kind: liquid.Drum, Length: 1.5, Diameter: 1, Axis: axis}, 0.3)
		last := f.CG(lean(0, 0))
		for _, angle := range []float64{1e-13, 1e-11, 0.99e-7, 1.01e-7, 1e-6, 1e-5} {
			got := f.CG(lean(0, angle))
			// A drum 1.5 m long filled to 30 % moves its CG about half a metre for each radian.
			if !near(got, last, 1.2*angle+1e-9) {
				t.Errorf("axis %d: at %g rad the CG is %v, at less tilt %v", axis, angle, got, last)
			}
		}
	}
}

func TestNew_RefusesWhatCannotBe(t *testing.T) {
	drum := liquid.Tank{Kind: liquid.Drum, Length: 1, Diameter: 1, Capacity: 0.7}
	fuel := named(t, "jet fuel")
	tests := []struct {
		name string
		e    liquid.Entry
		want []string
	}{
		{"above the drum", liquid.Entry{Liquid: fuel, Tank: drum, Volume: of(0.71), At: degC(15)}, []string{"volume"}},
		{"mass above the drum", liquid.Entry{Liquid: fuel, Tank: drum, Mass: of(600), At: degC(15)}, []string{"mass"}},
		{"too cold", liquid.Entry{Liquid: fuel, Tank: drum, Volume: of(0.5), At: degC(-60)}, []string{"at"}},
		{"neither volume nor mass", liquid.Entry{Liquid: fuel, Tank: drum, At: degC(15)}, []string{"volume"}},
		{"both", liquid.Entry{Liquid: fuel, Tank: drum, Volume: of(0.5), Mass: of(1), At: degC(15)}, []string{"volume"}},
		{"hottest below", liquid.Entry{Liquid: fuel, Tank: drum, Volume: of(0.5), At: degC(15), Hottest: of(degC(10))}, []string{"hottest"}},
		{"hottest beyond, and no form", liquid.Entry{Liquid: fuel, Volume: of(0.5), At: degC(15), Hottest: of(degC(200))}, []string{"shape", "hottest"}},
		{"capacity above the outline", liquid.Entry{Liquid: fuel, Tank: liquid.Tank{Kind: liquid.Drum, Length: 1, Diameter: 1, Capacity: 0.8}, Volume: of(0.5), At: degC(15)}, []string{"capacity"}},
		{"bounds the wrong way round", liquid.Entry{Liquid: fuel, Tank: liquid.Tank{Kind: liquid.Drum, Length: 1, Diameter: 1, Collapsible: true, Least: 0.6, Most: 0.5}, Volume: of(0.5), At: degC(15)}, []string{"fill-bounds"}},
	}
	for _, tt := range tests {
		_, problems := liquid.New(tt.e)
		var keys []string
		for _, p := range problems {
			keys = append(keys, p.Key)
		}
		if !slices.Equal(keys, tt.want) {
			t.Errorf("%s: problems with %v, want %v", tt.name, keys, tt.want)
		}
	}
}

func TestFindings(t *testing.T) {
	drum := liquid.Tank{Kind: liquid.Drum, Length: 1, Diameter: 1, Capacity: 0.7}
	fabric := liquid.Tank{Kind: liquid.Drum, Length: 1.57, Diameter: 1.35, Collapsible: true}
	bounded := fabric
	bounded.Least, bounded.Most = 1.7, 1.9
	fuel, err := liquid.OfDensity("jet fuel", 800)
	if err != nil {
		t.Fatal(err)
	}
	odd, err := liquid.OfDensity("jet fuel", 845)
	if err != nil {
		t.Fatal(err)
	}
	tests := []struct {
		name string
		e    liquid.Entry
		want []string
	}{
		{"room left", liquid.Entry{Liquid: fuel, Tank: drum, Volume: of(0.6), At: degC(15), Hottest: of(degC(35))}, []string{"room-for-expansion", "liquid-moves"}},
		// 20 K more make jet fuel about 1.9 % larger.
		{"over-full when hot", liquid.Entry{Liquid: fuel, Tank: drum, Volume: of(0.69), At: degC(15), Hottest: of(degC(35))}, []string{"over-full", "liquid-moves"}},
		{"brim-full", liquid.Entry{Liquid: fuel, Tank: drum, Volume: of(0.7), At: degC(15)}, []string{"hottest-not-entered"}},
		{"hot", liquid.Entry{Liquid: fuel, Tank: drum, Volume: of(0.6), At: degC(15), Hottest: of(degC(50))}, []string{"room-for-expansion", "liquid-moves", "above-flash-point"}},
		{"by name only", liquid.Entry{Liquid: named(t, "diesel"), Tank: drum, Volume: of(0.7), At: degC(15)}, []string{"hottest-not-entered", "density-from-specification"}},
		{"out of specification", liquid.Entry{Liquid: odd, Tank: drum, Volume: of(0.7), At: degC(15)}, []string{"hottest-not-entered", "density-outside-specification"}},
		{"fabric, bounds missing", liquid.Entry{Liquid: fuel, Tank: fabric, Volume: of(1.8), At: degC(15)}, []string{"fill-bounds-missing"}},
		{"fabric, empty", liquid.Entry{Liquid: fuel, Tank: fabric, Volume: of(0), At: degC(15)}, nil},
		{"fabric within", liquid.Entry{Liquid: fuel, Tank: bounded, Volume: of(1.8), At: degC(15)}, []string{"fabric-shape"}},
		{"fabric slack", liquid.Entry{Liquid: fuel, Tank: bounded, Volume: of(1), At: degC(15)}, []string{"under-filled"}},
		{"fabric tight", liquid.Entry{Liquid: fuel, Tank: bounded, Volume: of(2), At: degC(15)}, []string{"over-filled"}},
		{"fabric tight when hot", liquid.Entry{Liquid: fuel, Tank: bounded, Volume: of(1.89), At: degC(15), Hottest: of(degC(37))}, []string{"fabric-shape", "over-full"}},
	}
	for _, tt := range tests {
		f := filled(t, tt.e)
		var codes []string
		for _, x := range f.Findings(quantity.Metric) {
			codes = append(codes, x.Code)
			if x.Text == "" {
				t.Errorf("%s: %s says nothing", tt.name, x.Code)
			}
		}
		if !slices.Equal(codes, tt.want) {
			t.Errorf("%s: findings %v, want %v", tt.name, codes, tt.want)
		}
	}
}

func TestFullest_JustFitsWhenHot(t *testing.T) {
	drum := liquid.Tank{Kind: liquid.Drum, Length: 1, Diameter: 1, Capacity: 0.7}
	entry := liquid.Entry{Liquid: named(t, "heating oil"), Tank: drum, Volume: of(0.5), At: degC(8), Hottest: of(degC(40))}
	most, ok := filled(t, entry).Fullest()
	if !ok {
		t.Fatal("no answer")
	}
	entry.Volume = &most
	if room, ok := filled(t, entry).Room(); !ok || math.Abs(room) > 1e-12 {
		t.Errorf("filled to %g m3, room %g m3 (%v), want none", most, room, ok)
	}
}
