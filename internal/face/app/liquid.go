package app

import (
	"hangtrue/internal/engine/liquid"
	"hangtrue/internal/engine/quantity"
	"hangtrue/internal/engine/rig"
)

// FillDocument is a fill of liquid as data.
type FillDocument struct {
	Format     string        `json:"format"`
	Caution    string        `json:"caution"`
	Result     string        `json:"result"`
	Reason     string        `json:"reason"`
	Liquid     string        `json:"liquid"`
	Source     string        `json:"source"`
	Density15  float64       `json:"density_15_kg_per_m3"`
	At         float64       `json:"at_k"`
	Density    float64       `json:"density_kg_per_m3"`
	MassKg     float64       `json:"mass_kg"`
	BandKg     float64       `json:"give_or_take_kg"` // because the density is taken from a specification
	Volume     float64       `json:"volume_m3"`
	VolumeBand float64       `json:"volume_give_or_take_m3"` // likewise, of a fill entered by its mass
	Holds      *float64      `json:"holds_m3"`               // null where no tank is entered
	Hottest    *float64      `json:"hottest_k"`              // null where not entered
	Room       *float64      `json:"room_m3"`                // left at the hottest; below zero where it would overflow
	Fullest    *float64      `json:"fullest_m3"`             // largest fill at its temperature that still fits at the hottest
	CG         *[3]float64   `json:"cg_m"`                   // of the liquid in its tank's frame, level; null where no tank is entered
	PartFilled bool          `json:"part_filled"`
	Findings   []FindingItem `json:"findings"`
}

// FindingItem is a finding as data.
type FindingItem struct {
	Level string `json:"level"` // over | cannot-tell | note
	Code  string `json:"code"`
	About string `json:"about"`
	Text  string `json:"text"`
}

func findingItems(list []rig.Finding) []FindingItem {
	out := []FindingItem{}
	for _, f := range list {
		out = append(out, FindingItem{f.Level.String(), f.Code, f.About, f.Text})
	}
	return out
}

// Filled is a fill of liquid with what it means. Tank tells whether a tank was
// entered: without one there is no CG and no room for expansion.
type Filled struct {
	Fill     liquid.Fill
	Tank     bool
	Show     quantity.System
	Findings []rig.Finding
	Result   rig.Result
	Reason   string
}

// Fill makes a fill of an entry, or returns what is wrong with it. Without a
// tank (tank false) the entry's tank is ignored.
func Fill(e liquid.Entry, tank bool, show quantity.System) (*Filled, []*liquid.Problem) {
	if !tank {
		// Any tank that holds it will do: what follows from the tank is left out.
		e.Tank = liquid.Tank{Kind: liquid.Box, Size: [3]float64{1e3, 1e3, 1e3}, Capacity: 1e9}
	}
	f, problems := liquid.New(e)
	if len(problems) > 0 {
		return nil, problems
	}
	x := &Filled{Fill: f, Tank: tank, Show: show, Reason: "it stays within what the tank holds up to the hottest temperature entered"}
	level := rig.Note
	for _, n := range f.Findings(show) {
		l := [...]rig.Level{liquid.Note: rig.Note, liquid.Unknown: rig.Unknown, liquid.Exceeded: rig.Exceeded}[n.Level]
		if !tank && (n.Code == "liquid-moves" || n.Code == "room-for-expansion" || n.Code == "hottest-not-entered") {
			continue
		}
		if n.Code == "hottest-not-entered" {
			l = rig.Unknown // here room for expansion is what is asked
		}
		x.Findings = append(x.Findings, rig.Finding{Level: l, Code: n.Code, About: f.Liquid.Name, Text: n.Text})
		if l > level {
			level, x.Reason = l, n.Text
		}
	}
	if f := x.maybeOver(); f != nil {
		x.Findings = append(x.Findings, *f)
		if level < f.Level {
			level, x.Reason = f.Level, f.Text
		}
	}
	x.Result = [...]rig.Result{rig.Note: rig.Within, rig.Unknown: rig.CannotTell, rig.Exceeded: rig.Over}[level]
	if !tank && level < rig.Unknown {
		x.Result, x.Reason = rig.CannotTell, "no tank is entered, so nothing is said about room for expansion"
	}
	return x, nil
}

// VolumeBand is how far the volume of a fill entered by its mass may be off
// either way, m³, because its density is taken from a specification.
func (x *Filled) VolumeBand() float64 {
	if x.Fill.Band > 0 { // entered by its volume: the mass is uncertain
		return 0
	}
	return x.Fill.Volume * x.Fill.Liquid.Band / x.Fill.Density
}

// maybeOver is the finding that a fill entered by its mass overflows where its
// density is the lowest of its specification, and does not at the middle.
func (x *Filled) maybeOver() *rig.Finding {
	room, ok := x.Fill.Room()
	band := x.VolumeBand()
	if !x.Tank || !ok || x.Fill.Tank.Collapsible || room < 0 || room >= band {
		return nil
	}
	return &rig.Finding{Level: rig.Unknown, Code: "may-be-over-full", About: x.Fill.Liquid.Name, Text: "its density is not entered: at the lowest of its specification it takes " + x.Show.Volume(band) + " more, and may be over-full"}
}

// Exit returns the exit status that the fill stands for; without a tank nothing
// is judged, and 0 says that the numbers are there.
func (x *Filled) Exit() int {
	if !x.Tank {
		return ExitWithin
	}
	return exitOf(x.Result)
}

// exitOf returns the exit status of a result.
func exitOf(r rig.Result) int {
	switch r {
	case rig.Within:
		return ExitWithin
	case rig.CannotTell:
		return ExitCannotTell
	}
	return ExitOver
}

// Document is the fill as data.
func (x *Filled) Document() FillDocument {
	f := x.Fill
	d := FillDocument{
		Format: "hangtrue.fill/1", Caution: rig.Caution, Result: x.Result.String(), Reason: x.Reason,
		Liquid: f.Liquid.Name, Source: f.Liquid.Source, Density15: f.Liquid.Density15, At: f.At, Density: f.Density,
		MassKg: f.Mass, BandKg: f.Band, Volume: f.Volume, VolumeBand: x.VolumeBand(), Hottest: f.Hottest, Findings: findingItems(x.Findings),
	}
	if !x.Tank {
		return d
	}
	holds, cg := f.Tank.Holds(), f.CG([3]float64{0, 0, 1})
	d.Holds, d.CG, d.PartFilled = &holds, &cg, f.Part()
	if room, ok := f.Room(); ok {
		d.Room = &room
	}
	if most, ok := f.Fullest(); ok {
		d.Fullest = &most
	}
	return d
}
