package app

import (
	"fmt"

	"hangtrue/internal/engine/air"
	"hangtrue/internal/engine/lift"
	"hangtrue/internal/engine/quantity"
	"hangtrue/internal/engine/rig"
	"hangtrue/internal/engine/spelling"
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/lifting"
)

// AirAsked is air at a place.
type AirAsked struct {
	Elevation        *float64 // m, with QNH
	QNH              *float64 // Pa
	PressureAltitude *float64 // m, instead of both
	Temperature      float64  // K
	Humidity         *float64 // from 0 to 1; nil: dry
	DewPoint         *float64 // K, instead
}

// Air is the state of the air at a place, with the wash of an aircraft that
// hovers in it.
type Air struct {
	Asked            AirAsked
	PressureAltitude float64 // m
	Humidity         float64
	State            air.State
	DensityAltitude  float64  // m
	Standard         float64  // K, standard temperature at the pressure altitude
	Stated           bool     // pressure and temperature lie where the moist-air formula is stated
	Wash             *RigWash // nil: none was asked for
}

// RigWash is the wash of an aircraft that hovers with a load.
type RigWash struct {
	Aircraft *lift.Aircraft
	Gross    float64 // kg
	Hook     float64 // m beneath the disc
	Wash     air.Wash
	AtHook   float64 // m/s
	Rings    []Ring
}

// Ring is the highest mean wind near the ground at a distance.
type Ring struct{ Distance, Speed float64 }

// LookAtAir computes the air. The error is an [*air.Problem].
func LookAtAir(q AirAsked) (*Air, error) {
	x := &Air{Asked: q}
	var err error
	switch {
	case q.PressureAltitude != nil:
		x.PressureAltitude = *q.PressureAltitude
	case q.Elevation != nil && q.QNH != nil:
		if x.PressureAltitude, err = air.PressureAltitude(*q.Elevation, *q.QNH); err != nil {
			return nil, err
		}
	default:
		return nil, &air.Problem{Key: "qnh", Text: "an elevation without a QNH gives no pressure altitude", Hint: "give both, or a pressure altitude"}
	}
	switch {
	case q.DewPoint != nil:
		if x.Humidity, err = air.HumidityFromDewPoint(q.Temperature, *q.DewPoint); err != nil {
			return nil, err
		}
	case q.Humidity != nil:
		x.Humidity = *q.Humidity
	}
	if x.State, err = air.At(x.PressureAltitude, q.Temperature, x.Humidity); err != nil {
		return nil, err
	}
	x.DensityAltitude = x.State.DensityAltitude()
	if s, err := air.Standard(x.PressureAltitude); err == nil {
		x.Standard = s.Temperature
	}
	_, x.Stated = air.MoistDensity(x.State.Pressure, q.Temperature, x.Humidity)
	return x, nil
}

// ringRadii are the distances at which the ring is told, in rotor radii.
var ringRadii = []float64{1, 1.5, 2, 3, 4, 6, 8, 12}

// AddWash computes the wash of an aircraft that hovers in this air at a gross
// mass, kg, its hook so far beneath the disc, m. It fails where the aircraft has
// no rotors entered.
func (x *Air) AddWash(a *lift.Aircraft, gross, hook float64) error {
	w, err := a.Wash(gross, x.State.Density)
	if err != nil {
		return err
	}
	out := &RigWash{Aircraft: a, Gross: gross, Hook: hook, Wash: w, AtHook: w.Beneath(hook)}
	for _, n := range ringRadii {
		d := n * w.Rotors.Diameter / 2
		speed, err := w.Ring(d)
		if err != nil {
			return err
		}
		out.Rings = append(out.Rings, Ring{d, speed})
	}
	x.Wash = out
	return nil
}

// AirDocument is the air at a place as data.
type AirDocument struct {
	Format           string        `json:"format"`
	Caution          string        `json:"caution"`
	PressureAltitude float64       `json:"pressure_altitude_m"`
	DensityAltitude  float64       `json:"density_altitude_m"`
	Temperature      float64       `json:"temperature_k"`
	Standard         float64       `json:"standard_temperature_k"`
	Pressure         float64       `json:"pressure_pa"`
	Density          float64       `json:"density_kg_per_m3"`
	Sigma            float64       `json:"density_ratio"`
	Humidity         float64       `json:"humidity"`
	Dry              bool          `json:"dry"` // no humidity was given
	Wash             *WashDocument `json:"wash"`
}

// WashDocument is the wash of an aircraft as data.
type WashDocument struct {
	Aircraft string     `json:"aircraft"`
	Invented bool       `json:"invented"`
	GrossKg  float64    `json:"gross_kg"`
	Loading  float64    `json:"disc_loading_pa"`
	Induced  float64    `json:"induced_m_per_s"`
	Far      float64    `json:"far_wake_m_per_s"`
	HookM    float64    `json:"hook_beneath_disc_m"`
	AtHook   float64    `json:"at_hook_m_per_s"`
	Ring     []RingItem `json:"ring"`
	Limits   string     `json:"method_and_limits"`
}

// RingItem is a distance on the ground from the axis of the nearest rotor, and
// the wind there.
type RingItem struct {
	DistanceM float64 `json:"distance_m"`
	SpeedMS   float64 `json:"m_per_s"`
}

// Document is the air as data.
func (x *Air) Document() AirDocument {
	d := AirDocument{
		Format: "hangtrue.air/1", Caution: rig.Caution, PressureAltitude: x.PressureAltitude, DensityAltitude: x.DensityAltitude,
		Temperature: x.State.Temperature, Standard: x.Standard, Pressure: x.State.Pressure, Density: x.State.Density, Sigma: x.State.Sigma(),
		Humidity: x.Humidity, Dry: x.Asked.Humidity == nil && x.Asked.DewPoint == nil,
	}
	if w := x.Wash; w != nil {
		d.Wash = &WashDocument{
			Aircraft: w.Aircraft.Spec().Title, Invented: w.Aircraft.Spec().Invented, GrossKg: w.Gross, Loading: w.Wash.Loading,
			Induced: w.Wash.Induced, Far: w.Wash.Far, HookM: w.Hook, AtHook: w.AtHook, Ring: []RingItem{}, Limits: air.RingLimits,
		}
		for _, r := range w.Rings {
			d.Wash.Ring = append(d.Wash.Ring, RingItem{r.Distance, r.Speed})
		}
	}
	return d
}

// Picture is a sheet: the wash of the aircraft, where there is one, else the air.
func (x *Air) Picture(show quantity.System) *draw.Picture {
	if w := x.Wash; w != nil {
		return lifting.Wash(lifting.WashSheet{
			Aircraft: w.Aircraft.Spec().Title, Invented: w.Aircraft.Spec().Invented, Show: show, Gross: w.Gross, Hook: w.Hook, Wash: w.Wash,
		})
	}
	s := lifting.FiguresSheet{Title: "The air at a place", Groups: []lifting.FigureGroup{{Title: "As entered", Rows: x.Asked.figures(show)}, {Title: "Computed", Rows: x.Figures(show)}}}
	if note := x.Note(); note != "" {
		s.Notes = append(s.Notes, spelling.Capital(note)+".")
	}
	return lifting.Figures(s)
}

// Figures are what the air comes to.
func (x *Air) Figures(show quantity.System) []lifting.Figure {
	humidity := "dry, none was given"
	if x.Asked.Humidity != nil || x.Asked.DewPoint != nil {
		humidity = show.Percent(x.Humidity)
	}
	return []lifting.Figure{
		{What: "pressure altitude", Value: AltitudeWords(x.PressureAltitude)},
		{What: "density altitude", Value: AltitudeWords(x.DensityAltitude)},
		{What: "density", Value: fmt.Sprintf("%.4f kg/m3", x.State.Density), Note: show.Percent(x.State.Sigma()) + " of that at sea level in the standard atmosphere"},
		{What: "pressure there", Value: show.Pressure(x.State.Pressure)},
		{What: "temperature", Value: show.Temperature(x.State.Temperature), Note: "standard at this pressure altitude is " + show.Temperature(x.Standard)},
		{What: "humidity", Value: humidity},
	}
}

// Note is what is to be said of the figures; "" for nothing.
func (x *Air) Note() string {
	if x.Stated || x.Humidity == 0 {
		return ""
	}
	return "the formula for moist air, CIPM-2007, is stated for 600 to 1100 hPa and 15 to 27 degC; here it is used outside that"
}

func (q *AirAsked) figures(show quantity.System) (rows []lifting.Figure) {
	add := func(what string, v *float64, words func(float64) string) {
		if v != nil {
			rows = append(rows, lifting.Figure{What: what, Value: words(*v)})
		}
	}
	add("elevation", q.Elevation, AltitudeWords)
	add("QNH", q.QNH, show.Pressure)
	add("pressure altitude", q.PressureAltitude, AltitudeWords)
	add("temperature", &q.Temperature, show.Temperature)
	add("relative humidity", q.Humidity, show.Percent)
	add("dew point", q.DewPoint, show.Temperature)
	return rows
}

// AltitudeWords writes an altitude in feet, with the metres beside it.
func AltitudeWords(m float64) string {
	return fmt.Sprintf("%.0f ft (%.0f m)", m/quantity.Foot, m)
}
