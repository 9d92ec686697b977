package app

import (
	"math"
	"time"

	"hangtrue/internal/engine/document"
	"hangtrue/internal/engine/lift"
	"hangtrue/internal/engine/lift/weighingfile"
	"hangtrue/internal/engine/rig"
)

// Weighed is what became of a weighing's file: problems, or a load.
type Weighed struct {
	Version  string // SHA-256 of the exact bytes
	Load     *lift.WeighedLoad
	Problems []document.Problem
}

// Weigh works out mass and CG from a weighing's file.
func Weigh(data []byte) Weighed {
	w := Weighed{Version: Version(data)}
	w.Load, w.Problems = weighingfile.Read(data)
	return w
}

// Exit returns the exit status: 3 where mass or height of the CG cannot be
// told.
func (w *Weighed) Exit() int {
	switch {
	case len(w.Problems) > 0:
		return ExitBadInput
	case math.IsNaN(w.Load.CG[2]):
		return ExitCannotTell
	}
	return ExitWithin
}

// WeighedDocument is a weighing as data.
type WeighedDocument struct {
	Format   string         `json:"format"`
	Weighing string         `json:"weighing_sha256"`
	Invented bool           `json:"invented"`
	Caution  string         `json:"caution"`
	Title    string         `json:"title"`
	Shown    WeightDocument `json:"shown"`
	Weight   WeightDocument `json:"weight"`
	CG       [3]*float64    `json:"cg_m"` // null where not known
	Band     [3]*float64    `json:"cg_give_or_take_m"`
	Height   string         `json:"height_from"` // tilted reading | entered | not known
	Across   bool           `json:"across_not_measured"`
	Tolerant bool           `json:"every_scale_has_a_tolerance"`
}

// WeightDocument is a mass with how it is known.
type WeightDocument struct {
	MassKg float64 `json:"mass_kg"`
	BandKg float64 `json:"give_or_take_kg"`
	Known  string  `json:"known"` // weighed | plate | estimated; empty where nobody said
	By     string  `json:"by"`
	On     string  `json:"on"` // 2026-05-04
}

func weightDocument(w lift.Weight) WeightDocument {
	d := WeightDocument{MassKg: w.Mass, BandKg: w.Band, Known: string(w.Known), By: w.By}
	if !w.On.IsZero() {
		d.On = w.On.Format(time.DateOnly)
	}
	return d
}

// Height says where the height of the CG comes from.
func (w *Weighed) Height() string {
	switch {
	case w.Load.ByTilt:
		return "tilted reading"
	case w.Load.Weighing.Height != nil:
		return "entered"
	}
	return "not known"
}

// Document is the weighing as data.
func (w *Weighed) Document() WeighedDocument {
	x := w.Load
	d := WeighedDocument{
		Format: "hangtrue.weighed/1", Weighing: w.Version, Invented: x.Weighing.Invented, Caution: rig.Caution, Title: x.Weighing.Title,
		Shown: weightDocument(x.Shown), Weight: weightDocument(x.Weight), Height: w.Height(), Across: x.Across, Tolerant: x.Tolerant,
	}
	for k := range x.CG {
		d.CG[k], d.Band[k] = finite(x.CG[k]), finite(x.Band[k])
	}
	return d
}
