package solution

import "hangtrue/internal/engine/rig"

// Undecided makes the document of a rig that cannot be hung yet, because
// counts are still to be found: no positions and no tensions, the result
// cannot-tell and the reason given.
func Undecided(r *rig.Rig, reason string) Solution {
	status := rig.NoProcedure
	if r.Procedure() != nil {
		// A procedure is followed only with counts that are there to compare.
		status = rig.OutsideProcedure
	}
	return Solution{
		Format: Format,
		Apexes: []Apex{}, Bodies: []Body{}, Nodes: []Node{}, Legs: []Leg{}, Modes: []Mode{},
		Findings: []Finding{{Level: rig.Unknown.String(), About: "rig", Text: reason, Code: "counts-open"}},
		Result:   rig.CannotTell.String(), Reason: reason,
		Title: r.Title(), Invented: r.Invented(),
		Status: status.String(), Draft: status.Draft(), Caution: rig.Caution,
		WeightN: r.Weight(), Sets: []Set{}, Contacts: []Contact{}, Checks: []Check{}, NotEntered: []string{},
	}
}
