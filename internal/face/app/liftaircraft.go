package app

import (
	"fmt"

	"hangtrue/internal/data/aircraft"
	"hangtrue/internal/engine/document"
	"hangtrue/internal/engine/lift"
	"hangtrue/internal/engine/lift/aircraftfile"
	"hangtrue/internal/engine/rig"
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/lifting"
)

// Aircraft is what became of an aircraft file: problems, or an aircraft with
// what may be typing slips in its hover tables.
type Aircraft struct {
	Data     []byte
	Version  string // SHA-256 of the exact bytes
	Aircraft *lift.Aircraft
	Slips    []aircraftfile.Slip
	Problems []document.Problem
}

// ReadAircraft reads an aircraft file.
func ReadAircraft(data []byte) Aircraft {
	a := Aircraft{Data: data, Version: Version(data)}
	if a.Aircraft, a.Problems = aircraftfile.Read(data); a.Aircraft != nil {
		a.Slips = aircraftfile.Slips(data)
	}
	return a
}

// ShippedAircraft lists the names of the invented aircraft that are built in.
func ShippedAircraft() []string {
	var names []string
	for _, f := range aircraft.Files() {
		names = append(names, f.Name)
	}
	return names
}

// Shipped returns the file of an invented aircraft; ok is false where there is
// none of this name. The name is no file's: twin.yaml is a user's own, also where
// it began as a copy of the shipped twin.
func Shipped(name string) (data []byte, ok bool) {
	for _, f := range aircraft.Files() {
		if f.Name == name {
			return f.Data, true
		}
	}
	return nil, false
}

// Picture draws the aircraft's hover tables with the figures entered and the
// possible slips marked. It fails where no table is entered.
func (a *Aircraft) Picture() (*draw.Picture, error) {
	s := a.Aircraft.Spec()
	var tables []lifting.HoverTable
	for _, t := range []struct {
		key, title string
		table      *lift.Table
	}{{"oge", "Hover out of ground effect", s.OGE}, {"ige", "Hover in ground effect", s.IGE}} {
		if t.table == nil {
			continue
		}
		x := lifting.HoverTable{Title: t.title, Table: t.table}
		for _, slip := range a.Slips {
			if slip.Table == t.key && slip.Row >= 0 {
				x.Slips = append(x.Slips, lifting.Slip{Row: slip.Row, Column: slip.Slip.Column, Line: slip.Line})
			}
		}
		tables = append(tables, x)
	}
	if len(tables) == 0 {
		return nil, fmt.Errorf("no hover table is entered, so there is nothing to draw")
	}
	return lifting.Hover(s, a.Version, tables), nil
}

// HoverDocument is an aircraft file as checked, as data.
type HoverDocument struct {
	Format      string     `json:"format"`
	Aircraft    string     `json:"aircraft_sha256"`
	Title       string     `json:"title"`
	Invented    bool       `json:"invented"`
	Caution     string     `json:"caution"`
	Source      string     `json:"source"`
	OperatingKg float64    `json:"operating_kg"` // empty, crew and kit, without fuel
	FuelKg      float64    `json:"fuel_capacity_kg"`
	BurnKgS     float64    `json:"burn_kg_per_s"`
	ReserveKg   *float64   `json:"reserve_kg"`
	GrossKg     *float64   `json:"gross_limit_kg"`
	ExternalKg  *float64   `json:"external_gross_limit_kg"`
	Hooks       []HookItem `json:"hooks"`
	Slips       []SlipItem `json:"possible_slips"`
	Missing     []string   `json:"not_entered"`
}

// HookItem is a hook of an aircraft.
type HookItem struct {
	ID       string   `json:"id"`
	RatedN   *float64 `json:"rated_n"`
	SectionM *float64 `json:"section_m"`
	InsideM  *float64 `json:"inside_m"`
}

// SlipItem is a figure that may be a typing slip.
type SlipItem struct {
	Table  string `json:"table"`
	Line   int    `json:"line"`
	Row    int    `json:"row"` // from 0; -1 for the table as a whole
	Column int    `json:"column"`
	Code   string `json:"code"`
	Text   string `json:"text"`
}

// Document is the aircraft as data.
func (a *Aircraft) Document() HoverDocument {
	s := a.Aircraft.Spec()
	d := HoverDocument{
		Format: "hangtrue.hover/1", Aircraft: a.Version, Title: s.Title, Invented: s.Invented, Caution: rig.Caution, Source: s.Source.String(),
		OperatingKg: a.Aircraft.Operating(), FuelKg: s.Fuel.Capacity, BurnKgS: s.Fuel.Burn, ReserveKg: s.Fuel.Reserve,
		GrossKg: s.Gross, ExternalKg: s.External, Hooks: []HookItem{}, Slips: []SlipItem{}, Missing: a.Missing(),
	}
	for _, h := range s.Hooks {
		d.Hooks = append(d.Hooks, HookItem{h.ID, h.Rated, h.Section, h.Inside})
	}
	for _, x := range a.Slips {
		d.Slips = append(d.Slips, SlipItem{x.Table, x.Line, x.Row, x.Slip.Column, x.Code, x.Slip.Text})
	}
	return d
}

// Missing lists what is not entered and would be asked for.
func (a *Aircraft) Missing() []string {
	s := a.Aircraft.Spec()
	out := []string{}
	lacks := func(missing bool, what string) {
		if missing {
			out = append(out, what)
		}
	}
	lacks(s.OGE == nil, "hover table out of ground effect")
	lacks(s.IGE == nil, "hover table in ground effect")
	lacks(s.External == nil, "gross weight limit with an external load")
	lacks(s.Gross == nil, "gross weight limit without one")
	lacks(s.Fuel.Reserve == nil, "fuel reserve")
	lacks(s.Balance == nil, "limits of the aircraft's CG")
	lacks(s.Rotors == nil, "rotors, for the wash")
	lacks(len(s.Spacers) == 0, "spacer rules")
	lacks(len(s.Airspeeds) == 0, "limits of airspeed with an external load")
	for _, h := range s.Hooks {
		lacks(h.Rated == nil, "rating of hook "+h.ID)
		lacks(h.Section == nil, "section of hook "+h.ID)
		lacks(h.Inside == nil, "opening of hook "+h.ID)
	}
	return out
}
