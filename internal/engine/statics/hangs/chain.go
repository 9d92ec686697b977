package hangs

import "fmt"

// chainTable is the capacity table of alloy steel chain slings, grade 80, lb.
// Each cell is the load at which the pull on a leg reaches the rating of one
// leg, rounded to 100 lb.
func chainTable() []Problem {
	var list []Problem
	for _, row := range []struct {
		size, name string
		one        float64
		two, three [3]float64 // at 60, 45, 30 degrees from the horizontal
	}{
		{"3/8", "3-8", 7100, [3]float64{12300, 10000, 7100}, [3]float64{18400, 15100, 10600}},
		{"1/2", "1-2", 12000, [3]float64{20800, 17000, 12000}, [3]float64{31200, 25500, 18000}},
		{"5/8", "5-8", 18100, [3]float64{31300, 25600, 18100}, [3]float64{47000, 38400, 27100}},
		{"3/4", "3-4", 28300, [3]float64{49000, 40000, 28300}, [3]float64{73500, 60000, 42400}},
		{"1", "1", 47700, [3]float64{82600, 67400, 47700}, [3]float64{123900, 101200, 71500}},
		{"1-1/4", "1-1-4", 72300, [3]float64{125200, 102200, 72300}, [3]float64{187800, 153400, 108400}},
	} {
		for _, set := range []struct {
			legs  int
			cells [3]float64
		}{{2, row.two}, {3, row.three}} {
			for i, angle := range []float64{60, 45, 30} {
				cell := set.cells[i]
				tolerance, why := 51.0, "the table is rounded to 100 lb, and the stretch of stiff lines"
				if row.size == "3/8" {
					tolerance, why = 0.005*cell, "0.5 %: the 3/8 in row of the table is rounded from other figures than its own single leg"
				}
				if row.size == "1" && set.legs == 2 && angle == 45 {
					tolerance, why = 59, "the table gives 67,400 for 67,458: rounded down, unlike its other cells"
				}
				list = append(list, Problem{
					ID:      fmt.Sprintf("osha-chain-%s-%d-legs-%g", row.name, set.legs, angle),
					Topic:   fmt.Sprintf("grade 80 chain %s in, %d legs at %g° from the horizontal", row.size, set.legs, angle),
					Formula: "capacity = n · rating of one leg · sin H", Flag: Seen,
					Source: "OSHA, Guidance on Safe Sling Use, grade 80 alloy steel chain; as arithmetic only: the marking of the sling governs " +
						"(76 FR 33590, 77 FR 23117)",
					Model: cone(set.legs, angle, cell),
					Values: []Value{{"load at the rating of a leg", "lb", cell, tolerance, why, func(h *Hung) float64 {
						most := 0.0
						for _, l := range h.Lines {
							most = max(most, l.Tension)
						}
						return cell * row.one / most
					}}},
				})
			}
		}
	}
	return list
}
