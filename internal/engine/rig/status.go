package rig

import (
	"fmt"

	"hangtrue/internal/engine/quantity"
	"hangtrue/internal/engine/spelling"
)

// Status says how the rig stands to an approved rigging procedure.
type Status uint8

// The statuses.
const (
	NoProcedure Status = iota
	OutsideProcedure
	FollowsProcedure
)

// String returns the status as it is shown above every number.
func (s Status) String() string {
	return [...]string{"no approved procedure entered", "outside what its procedure covers", "follows an approved procedure"}[s]
}

// OfPlan says the same of the plan of a load that is not as its plan has it:
// one with faults planted on it for training.
func (s Status) OfPlan() string {
	return [...]string{"its plan has no approved procedure entered", "its plan is outside what its procedure covers", "its plan follows an approved procedure"}[s]
}

// Draft says what a rig without a covering procedure still needs before any
// flight; "" for one that follows a procedure.
func (s Status) Draft() string {
	if s == FollowsProcedure {
		return ""
	}
	return "draft: a static test lift clear of people, then a hover check by the operator, under a named authority, before any flight"
}

// Caution stands on every page and sheet that carries a result.
const Caution = "Not a clearance to lift. A planning and training aid: the approved rigging procedure, the operator's flight manual and local rules govern, and a qualified inspector signs."

// Words names the procedure in its book; "" for none.
func (p *Procedure) Words() string {
	if p == nil {
		return ""
	}
	return spelling.Joined(", ", p.Publication, p.Edition, p.Change, p.Paragraph)
}

// status compares the rig with its procedure and notes where it leaves it.
func (r *Rig) status(findings *[]Finding) Status {
	p := r.spec.Procedure
	if p == nil {
		return NoProcedure
	}
	s := FollowsProcedure
	outside := func(format string, args ...any) {
		s = OutsideProcedure
		*findings = append(*findings, Finding{Note, "outside-procedure", "procedure", fmt.Sprintf(format, args...)})
	}
	if p.Weight == nil {
		outside("the weights that the procedure covers are not entered, so it cannot be shown to cover this load: add covers: {weight: [lowest, highest]}")
	}
	if w := r.Weight(); p.Weight != nil && (w < p.Weight[0]*(1-1e-9) || w > p.Weight[1]*(1+1e-9)) {
		show := func(n float64) string { return r.Show().Mass(n / quantity.StandardGravity) }
		outside("the load weighs %s and the procedure covers %s to %s", show(w), show(p.Weight[0]), show(p.Weight[1]))
	}
	for _, id := range sortedKeys(p.Counts) {
		if l, _ := r.Leg(id); l.Count != nil && *l.Count != p.Counts[id] {
			outside("leg %s is at count %d and the procedure gives %d", id, *l.Count, p.Counts[id])
		}
	}
	return s
}

// Status returns how the rig stands to its approved procedure.
func (r *Rig) Status() Status {
	var notes []Finding
	return r.status(&notes)
}
