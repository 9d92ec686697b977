package outside

import (
	"fmt"
	"sync"

	"hangtrue/internal/engine/statics/hangs"
)

// statics are the hanging loads of package hangs.
func statics() []Check {
	var list []Check
	for _, p := range hangs.All() {
		solve := sync.OnceValues(p.Solve)
		for i, v := range p.Values {
			list = append(list, Check{
				ID: fmt.Sprintf("statics/%s/%d", p.ID, i+1), Topic: p.Topic, What: v.What,
				Source: p.Source + ": " + p.Formula, Flag: string(p.Flag), Unit: v.Unit,
				Want: v.Want, Tolerance: v.Tolerance, Why: v.Why,
				Got: func() (float64, error) {
					h, err := solve()
					if err != nil {
						return 0, err
					}
					return v.Of(h), nil
				},
			})
		}
	}
	return list
}
