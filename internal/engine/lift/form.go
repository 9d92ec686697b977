package lift

import "math"

// Form is the arithmetic of the load calculation that US land agencies use for
// helicopters, for one end of a flight: layout and order of its lines from
// memory, not looked up. All in kg.
type Form struct {
	Chart         float64 // gross weight from the hover chart
	Reduction     float64 // fixed, for a load that cannot be jettisoned
	Adjusted      float64 // chart less reduction
	GrossLimit    float64 // of the flight manual
	Selected      float64 // the lower of the two
	Operating     float64 // equipped, crew and fuel
	Allowable     float64 // selected less operating
	Actual        float64 // what is to be carried
	WithinEntered bool    // actual no more than allowable
}

// LoadForm fills the form.
func LoadForm(chart, reduction, grossLimit, operating, actual float64) Form {
	f := Form{Chart: chart, Reduction: reduction, Adjusted: chart - reduction, GrossLimit: grossLimit, Operating: operating, Actual: actual}
	f.Selected = math.Min(f.Adjusted, f.GrossLimit)
	f.Allowable = f.Selected - operating
	f.WithinEntered = actual <= f.Allowable*(1+1e-12)
	return f
}

// Worse returns the form of the end that allows less: it governs.
func Worse(departure, destination Form) Form {
	if destination.Allowable < departure.Allowable {
		return destination
	}
	return departure
}
