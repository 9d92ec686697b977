package app

import (
	"bytes"
	"context"
	"encoding/csv"
	"fmt"
	"strconv"

	"hangtrue/internal/engine/quantity"
	"hangtrue/internal/engine/rig"
	"hangtrue/internal/engine/rig/spread"
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/sheet"
	"hangtrue/internal/paper/study"
)

// SpreadDocument is a spread as data.
type SpreadDocument struct {
	Format     string             `json:"format"`
	Rig        string             `json:"rig_sha256"`
	Invented   bool               `json:"invented"`
	Status     string             `json:"status"`
	Caution    string             `json:"caution"`
	Words      string             `json:"words"`
	Seed       uint64             `json:"seed,string"`
	Asked      int                `json:"asked"`
	Cases      int                `json:"cases"`
	Stopped    bool               `json:"stopped"`
	Over       int                `json:"over"`
	Fallen     int                `json:"fallen"`
	Unsettled  int                `json:"unsettled"`
	Slack      int                `json:"slack"`
	Tolerances map[string]float64 `json:"tolerances"`
	LegsRated  bool               `json:"legs_rated"` // where not, highest_leg_use is of any limit
	LegUse     SpreadOf           `json:"highest_leg_use"`
	PitchDeg   SpreadOf           `json:"pitch_deg"`
	RollDeg    SpreadOf           `json:"roll_deg"`
	Effects    []SpreadEffect     `json:"effects"`
}

// SpreadOf is the distribution of one result.
type SpreadOf struct {
	Planned float64    `json:"as_entered"`
	Least   float64    `json:"least"`
	Mean    float64    `json:"mean"`
	Most    float64    `json:"most"`
	At      [5]float64 `json:"at_1_5_50_95_99_of_100"`
	Bins    []int      `json:"bins"`
}

// SpreadEffect is how much an input matters, as total effects.
type SpreadEffect struct {
	Input string  `json:"input"`
	Use   float64 `json:"highest_leg_use"`
	Pitch float64 `json:"pitch"`
	Roll  float64 `json:"roll"`
}

// Spread is a rig's spread with the rig.
type Spread struct {
	Rig     *rig.Rig
	Version string
	Spread  *spread.Spread
}

// RunSpread solves the spread of a solved rig.
func RunSpread(ctx context.Context, s *Solved, o spread.Options) (*Spread, error) {
	out, err := spread.Run(ctx, s.Rig, o)
	if err != nil {
		return nil, err
	}
	return &Spread{s.Rig, s.Version, out}, nil
}

// Document is the spread as data.
func (s *Spread) Document() SpreadDocument {
	x := s.Spread
	d := SpreadDocument{
		Format: "hangtrue.spread/1", Rig: s.Version, Invented: s.Rig.Invented(), Status: s.Rig.Status().String(), Caution: rig.Caution,
		Words: x.Words(), Seed: x.Seed, Asked: x.Asked, Cases: x.Cases, Stopped: x.Stopped, Over: x.Over, Fallen: x.Fallen,
		Unsettled: x.Unsettled, Slack: x.Slack,
		Tolerances: map[string]float64{
			"mass_share": x.Tolerances.Mass, "cg_share_of_size": x.Tolerances.CG, "leg_length_m": x.Tolerances.Length,
			"stretch_share": x.Tolerances.Stretch, "point_m": x.Tolerances.Point, "count_links": float64(x.Tolerances.Count),
		},
		LegsRated: x.LegsRated,
		LegUse:    spreadOf(x.Use, 1), PitchDeg: spreadOf(x.Pitch, quantity.Degree), RollDeg: spreadOf(x.Roll, quantity.Degree),
		Effects: []SpreadEffect{},
	}
	if x.Tolerances.Length < 0 {
		// the rig's own leg tolerance, which differs from leg to leg
		delete(d.Tolerances, "leg_length_m")
	}
	for _, e := range x.Effects {
		d.Effects = append(d.Effects, SpreadEffect{e.Name, e.Use, e.Pitch, e.Roll})
	}
	return d
}

func spreadOf(x spread.Distribution, unit float64) SpreadOf {
	o := SpreadOf{Planned: x.Planned / unit, Least: x.Least / unit, Mean: x.Mean / unit, Most: x.Most / unit, Bins: append([]int{}, x.Bins...)}
	for i, v := range x.At {
		o.At[i] = v / unit
	}
	return o
}

// Picture draws the spread.
func (s *Spread) Picture() *draw.Picture { return study.Spread(s.Rig, s.Spread, 160, 200) }

// BarePicture draws the distributions alone, for a page that says the rest. Size
// in mm.
func (s *Spread) BarePicture(width, height float64) *draw.Picture {
	return study.BareSpread(s.Rig, s.Spread, width, height)
}

// Sheet is the printed sheet of the spread of a solved rig, as PDF.
func (s *Spread) Sheet(of *Solved, stamp sheet.Stamp) ([]byte, error) {
	stamp.Version = s.Version
	return Encode(sheet.Spread(of.Standing(), s.Spread, stamp), "pdf", 0)
}

// CSV writes the distributions, a line for each bin.
func (s *Spread) CSV() ([]byte, error) {
	var out bytes.Buffer
	w := csv.NewWriter(&out)
	rows := [][]string{{"result", "from", "to", "cases"}}
	d := s.Document()
	share := "highest share of a leg's rating"
	if !d.LegsRated {
		share = s.Spread.UseWords()
	}
	for _, part := range []struct {
		name string
		of   SpreadOf
	}{{share, d.LegUse}, {"pitch deg", d.PitchDeg}, {"roll deg", d.RollDeg}} {
		step := (part.of.Most - part.of.Least) / float64(max(1, len(part.of.Bins)))
		for i, n := range part.of.Bins {
			from := part.of.Least + step*float64(i)
			rows = append(rows, []string{part.name, fmt.Sprintf("%.5g", from), fmt.Sprintf("%.5g", from+step), strconv.Itoa(n)})
		}
	}
	if err := w.WriteAll(rows); err != nil {
		return nil, err
	}
	return out.Bytes(), nil
}
