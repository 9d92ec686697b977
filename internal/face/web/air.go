package web

import (
	"errors"
	"fmt"
	"net/http"

	"hangtrue/internal/engine/air"
	"hangtrue/internal/engine/lift"
	"hangtrue/internal/engine/quantity"
	"hangtrue/internal/face/app"
)

// airPage works out the air at a place, and the wash of an aircraft there.
func (s *Server) airPage(w http.ResponseWriter, r *http.Request) error {
	form := r.URL.Query()
	p := &askedView{
		frame: frame{Title: "Air"}, Address: "/air", Links: weighPages("/air"), Asked: len(form) > 0,
		Intro: "Pressure altitude, density altitude and density of the air at a place, and the wash of an aircraft that hovers in it.",
		Units: "620 m, 2000 ft, 1013 hPa, 29.92 inHg, 12 degC, 54 degF, 60 %",
	}
	names, err := s.aircraftNames()
	if err != nil {
		return err
	}
	sections := []formSection{
		{Key: "air", Title: "The place and its air", Help: "Humidity or dew point; without either the air is taken as dry.", Field: []formField{
			{Key: "elevation", Label: "Elevation", Example: "620 m"},
			{Key: "qnh", Label: "QNH", Example: "1013 hPa"},
			{Key: "altitude", Label: "or pressure altitude", Example: "2000 ft"},
			{Key: "temperature", Label: "Temperature", Example: "12 degC"},
			{Key: "humidity", Label: "Humidity", Example: "60 %"},
			{Key: "dew-point", Label: "or dew point", Example: "5 degC"},
		}},
		{Key: "wash", Title: "Rotor wash there", Field: []formField{
			{Key: "aircraft", Label: "Aircraft", Choices: names}, {Key: "gross", Label: "Gross mass, with its load", Example: "2300 kg"}, {Key: "hook", Label: "Hook beneath the rotor disc", Example: "3 m"},
		}},
	}
	a := askingOf(form)
	asked := a.air()
	washes, err := s.washOf(a)
	if err != nil {
		return err
	}
	var x *app.Air
	if len(a.problems) == 0 {
		if x, err = app.LookAtAir(asked); err == nil && washes != nil {
			err = x.AddWash(washes.aircraft, washes.gross, washes.hook)
		}
		if err != nil {
			x = nil
			if wrong := (*air.Problem)(nil); errors.As(err, &wrong) {
				a.refuse("air."+wrong.Key, wrong.Text, wrong.Hint)
			} else {
				a.refuse("wash.aircraft", err.Error(), "")
			}
		}
	}
	p.fill(sections, a.t, a.problems)
	if x != nil && p.Asked {
		if err := p.air(x, a.show(), washes); err != nil {
			return err
		}
	}
	return s.answerAsked(w, r, p)
}

func (a *asking) air() app.AirAsked {
	q := app.AirAsked{
		Elevation: a.si("air.elevation", quantity.Length), QNH: a.si("air.qnh", quantity.Pressure), PressureAltitude: a.si("air.altitude", quantity.Length),
		Humidity: a.si("air.humidity", quantity.Percent), DewPoint: a.si("air.dew-point", quantity.Temperature),
	}
	if t := a.si("air.temperature", quantity.Temperature); t != nil {
		q.Temperature = *t
	} else if a.text("air.temperature") == "" {
		a.need("air.temperature")
	}
	switch {
	case a.text("air.altitude") != "" && a.text("air.elevation")+a.text("air.qnh") != "":
		a.refuse("air.altitude", "a pressure altitude is entered, and an elevation or QNH too", "leave out one of the two")
	case a.text("air.altitude") != "":
	case a.text("air.elevation") == "":
		a.need("air.elevation")
	case a.text("air.qnh") == "":
		a.need("air.qnh")
	}
	switch {
	case a.text("air.humidity") != "" && a.text("air.dew-point") != "":
		a.refuse("air.dew-point", "humidity and dew point are both entered", "leave out one of the two")
	case q.Humidity != nil && (*q.Humidity < 0 || *q.Humidity > 1):
		a.refuse("air.humidity", a.text("air.humidity")+" cannot be", "from 0 % to 100 %")
	}
	return q
}

type washAsk struct {
	aircraft    *lift.Aircraft
	title       string
	invented    bool
	gross, hook float64
	hooked      bool
}

// washOf reads what the wash is asked with; nil where it is not asked for.
func (s *Server) washOf(a *asking) (*washAsk, error) {
	name := a.text("wash.aircraft")
	gross, hook := a.si("wash.gross", quantity.Mass), a.si("wash.hook", quantity.Length)
	if name == "" {
		if a.text("wash.gross")+a.text("wash.hook") != "" {
			a.need("wash.aircraft")
		}
		return nil, nil
	}
	if a.text("wash.gross") == "" {
		a.need("wash.gross")
	}
	data, err := s.aircraftData(name)
	if err != nil {
		a.refuse("wash.aircraft", "there is no aircraft named "+name, "")
		return nil, nil
	}
	read := app.ReadAircraft(data)
	if read.Aircraft == nil {
		a.refuse("wash.aircraft", "the text of this aircraft has errors", "open it among the aircraft")
		return nil, nil
	}
	if gross == nil {
		return nil, nil
	}
	a.positive("wash.gross", *gross)
	spec := read.Aircraft.Spec()
	x := &washAsk{aircraft: read.Aircraft, title: unmarked(spec.Title, spec.Invented), invented: spec.Invented, gross: *gross}
	if hook != nil {
		x.hook, x.hooked = *hook, true
		if *hook < 0 {
			a.refuse("wash.hook", a.text("wash.hook")+" cannot be", "how far the hook hangs beneath the disc")
		}
	}
	return x, nil
}

// air words the air and the wash.
func (p *askedView) air(x *app.Air, show quantity.System, wash *washAsk) error {
	p.Answered, p.Kind = true, "plain"
	p.Words = "Density altitude " + lift.Altitude(show, x.DensityAltitude)
	humid := "dry air"
	if x.Humidity > 0 {
		humid = "humidity " + show.Percent(x.Humidity)
	}
	p.Numbers = []numberView{
		{"Pressure altitude", lift.Altitude(show, x.PressureAltitude), ""},
		{"Density altitude", lift.Altitude(show, x.DensityAltitude), humid},
		{"Temperature", show.Temperature(x.State.Temperature), "standard there: " + show.Temperature(x.Standard)},
		{"Pressure", show.Pressure(x.State.Pressure), ""},
		{"Density", fmt.Sprintf("%.4f kg/m3", x.State.Density), fmt.Sprintf("%.4f of that of the standard atmosphere at sea level", x.State.Sigma())},
	}
	if x.Humidity > 0 && !x.Stated {
		p.Notes = append(p.Notes, "The formula for humid air is stated for 600 to 1100 hPa and 15 to 27 degC; it is used here outside of that.")
	}
	if x.Wash == nil {
		return nil
	}
	p.Invented = wash.invented
	t := askedTable{
		Title: "Rotor wash of " + wash.title + " at " + show.Mass(wash.gross), Head: "From the axis of the nearest rotor", Value: "Highest mean wind near the ground",
		Note: fmt.Sprintf("Disc loading %.0f N/m2, %s through the disc, %s in the full wake. ", x.Wash.Wash.Loading, windWords(show, x.Wash.Wash.Induced), windWords(show, x.Wash.Wash.Far)) + capital(air.RingLimits) + ".",
	}
	if wash.hooked {
		p.Numbers = append(p.Numbers, numberView{"Wash at the hook", windWords(show, x.Wash.AtHook), show.Length(wash.hook) + " beneath the disc, on its axis; a mean, out of ground effect"})
	}
	for _, r := range x.Wash.Rings {
		t.Rows = append(t.Rows, numberView{What: show.Length(r.Distance), Value: windWords(show, r.Speed)})
	}
	p.Tables = append(p.Tables, t)
	var err error
	p.Plot, err = washPlot(show, x.Wash.Wash)
	return err
}
