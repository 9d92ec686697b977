package outside

import (
	"context"
	"fmt"
	"math"
	"sync"

	"hangtrue/internal/engine/rig/spread"
)

// spreads are the total effects by which a spread says which input matters most,
// on functions whose effects are known.
func spreads() []Check {
	var list []Check
	add := func(id, topic, source string, tolerance float64, why string, want []float64, f func(x []float64) float64) {
		effects := sync.OnceValues(func() ([]float64, error) {
			return spread.TotalEffects(context.Background(), len(want), 20000, 1, f)
		})
		for i, w := range want {
			list = append(list, Check{
				ID: fmt.Sprintf("spread/%s/x%d", id, i+1), Topic: topic, What: fmt.Sprintf("total effect of x%d", i+1), Source: source, Flag: Derived,
				Want: w, Tolerance: tolerance, Why: why,
				Got: func() (float64, error) {
					got, err := effects()
					if err != nil {
						return 0, err
					}
					return got[i], nil
				},
			})
		}
	}
	const why = "20,000 points of the sequence give about three digits"
	add("ishigami", "f = sin x1 + 7 sin² x2 + 0.1 x3⁴ sin x1, each x even over ±π",
		"T. Ishigami and T. Homma, An importance quantification technique in uncertainty analysis for computer models, ISUMA 1990; from D = a²/8 + bπ⁴/5 + b²π⁸/18 + 1/2, D1 = (1 + bπ⁴/5)²/2, D2 = a²/8, D13 = b²π⁸(1/18 − 1/50)",
		0.003, why, []float64{0.5576, 0.4424, 0.2437}, func(x []float64) float64 {
			at := func(i int) float64 { return math.Pi * (2*x[i] - 1) }
			s := math.Sin(at(1))
			return math.Sin(at(0)) + 7*s*s + 0.1*math.Pow(at(2), 4)*math.Sin(at(0))
		})
	add("linear", "f = 3 x1 − 2 x2 + x3, each x even over 0 to 1", "closed form: c²/Σc² for a sum of independent inputs with factors c",
		0.001, why, []float64{9.0 / 14, 4.0 / 14, 1.0 / 14}, func(x []float64) float64 { return 3*x[0] - 2*x[1] + x[2] })
	return list
}
