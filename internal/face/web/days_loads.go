package web

import (
	"fmt"
	"math"
	"regexp"
	"strings"

	"hangtrue/internal/engine/lift"
	"hangtrue/internal/engine/quantity"
)

// waitingLoads writes the loads of the folder's rigs as a sortie plan takes them,
// each in a line: weight, how it is known, and what its rigging allows. Where it
// goes and which hook it hangs on is for the plan to say.
func (s *Server) waitingLoads() (string, error) {
	names, err := s.Keeper.Names()
	if err != nil {
		return "", err
	}
	var b strings.Builder
	for _, name := range names {
		data, err := s.Keeper.Current(name)
		if err != nil {
			s.Log.Warn("a rig cannot be read", "name", name, "error", err)
			continue
		}
		solved := s.solver.solve(data)
		if solved.Answer == nil {
			continue
		}
		weight, _ := lift.WeightOf(solved.Rig)
		known := string(weight.Known)
		if known == "" {
			known = "not-entered"
		}
		fmt.Fprintf(&b, "- {id: %s, mass: %s, known: %s", loadID(name), wholeMass(solved.Rig.Show(), weight.Mass, math.Ceil), known)
		if weight.Band > 0 {
			fmt.Fprintf(&b, ", give-or-take: %s", wholeMass(solved.Rig.Show(), weight.Band, math.Ceil))
		}
		b.WriteString(", to: PLACE, hook: HOOK")
		var rigging []string
		for _, l := range lift.RiggingOf(solved.Answer) {
			one := "{what: " + yamlScalar(l.What)
			if l.Rated != nil {
				one += ", rated: " + wholeMass(solved.Rig.Show(), *l.Rated/quantity.StandardGravity, math.Floor)
			}
			rigging = append(rigging, one+"}")
		}
		if len(rigging) > 0 {
			b.WriteString(", rigging: [" + strings.Join(rigging, ", ") + "]")
		}
		b.WriteString("}\n")
	}
	return b.String(), nil
}

var notOfID = regexp.MustCompile(`[^A-Za-z0-9_-]+`)

// loadID makes an id of a rig's name.
func loadID(name string) string {
	id := strings.Trim(notOfID.ReplaceAllString(name, "-"), "-")
	if id == "" || !(id[0] >= 'A' && id[0] <= 'Z' || id[0] >= 'a' && id[0] <= 'z') {
		id = "load-" + id
	}
	return strings.TrimSuffix(id, "-")
}

// wholeMass writes a mass in whole units, rounded to the careful side.
func wholeMass(show quantity.System, kg float64, round func(float64) float64) string {
	unit := "kg"
	if show == quantity.US {
		unit = "lb"
	}
	// A hair of rounding in the conversion is no unit more.
	in := quantity.In(kg, unit)
	if near := math.Round(in); math.Abs(in-near) < 1e-6 {
		in = near
	}
	return fmt.Sprintf("%.0f %s", round(in), unit)
}
