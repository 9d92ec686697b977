package app

import (
	"fmt"

	"hangtrue/internal/engine/lift"
	"hangtrue/internal/engine/lift/aircraftfile"
	"hangtrue/internal/engine/rig/flight"
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/sheet"
	"hangtrue/internal/paper/whatif"
)

// Picture draws the study.
func (f *Flight) Picture() *draw.Picture { return whatif.Flight(f.Rig, f.Sweep, nil) }

// Sheet is the printed study of flight, as PDF.
func (f *Flight) Sheet(stamp sheet.Stamp) ([]byte, error) {
	stamp.Version = f.Version
	return paginated(whatif.FlightSheet(whatif.Study{
		Rest: f.Plan, Sweep: f.Sweep, Drags: f.Drags, Rotor: f.Rotor, RotorOf: f.RotorOf, Beats: f.Beats, Limit: f.Limit,
		Published: f.Published(), Stopped: f.Stopped,
	}, stamp))
}

// Rotor reads what of an aircraft file matters to a load that bounces. It fails
// where the file has errors, and where the rotors' speed or number of blades is
// not entered.
func Rotor(data []byte) (rotor *flight.Rotor, title string, err error) {
	a, problems := aircraftfile.Read(data)
	if a == nil {
		return nil, "", fmt.Errorf("the aircraft file has errors, first in line %d: %s", problems[0].Line, problems[0].Text)
	}
	spec := a.Spec()
	if rotor, err = rotorOf(&spec); err != nil {
		return nil, "", err
	}
	return rotor, spec.Title, nil
}

func rotorOf(s *lift.Spec) (*flight.Rotor, error) {
	if s.Rotors == nil || s.Rotors.Rate == nil || s.Rotors.Blades == 0 {
		return nil, fmt.Errorf("%s has no rotor speed or no number of blades entered", s.Title)
	}
	return &flight.Rotor{Speed: *s.Rotors.Rate, Blades: s.Rotors.Blades}, nil
}
