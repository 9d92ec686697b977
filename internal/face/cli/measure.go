package cli

import (
	"fmt"
	"strings"

	"hangtrue/internal/engine/quantity"
)

// flagged reads a quantity typed after a flag.
func flagged(flag, text string, kinds ...quantity.Kind) (quantity.Quantity, error) {
	q, err := quantity.Parse(text, kinds...)
	if err != nil {
		return q, fmt.Errorf("%s: %w", flag, err)
	}
	return q, nil
}

// flaggedOr is flagged for a flag that may be left out: nil then.
func flaggedOr(flag, text string, kinds ...quantity.Kind) (*quantity.Quantity, error) {
	if text == "" {
		return nil, nil
	}
	q, err := flagged(flag, text, kinds...)
	return &q, err
}

// valueOf is the SI value, nil where there is none.
func valueOf(q *quantity.Quantity) *float64 {
	if q == nil {
		return nil
	}
	return &q.Value
}

// systemOf tells the units of the answer: as asked, or those mostly typed.
func systemOf(asked string, typed ...string) (quantity.System, error) {
	switch asked {
	case "metric":
		return quantity.Metric, nil
	case "us":
		return quantity.US, nil
	case "":
		var units []string
		for _, t := range typed {
			for part := range strings.SplitSeq(t, ",") {
				if _, unit, ok := strings.Cut(strings.TrimSpace(part), " "); ok {
					units = append(units, unit)
				}
			}
		}
		return quantity.Count(units), nil
	}
	return quantity.Metric, fmt.Errorf("--show %s: metric or us", asked)
}
