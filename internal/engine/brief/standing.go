package brief

import (
	"fmt"
	"slices"
	"strings"

	"hangtrue/internal/engine/rig"
)

// standing says how the load stands to its procedure under this aircraft, and
// what keeps the papers from being final.
func (b *Brief) standing(in *Input) {
	e := &in.Entered
	b.covers(in)
	b.covered = b.Status == rig.FollowsProcedure && in.Review == ""
	if in.Review != "" {
		b.Why = append(b.Why, "the procedure is to be reviewed first: "+in.Review)
	}
	if !b.covered {
		var lacks []string
		for _, x := range []struct {
			words string
			there bool
		}{
			{"a named authority", e.Authority.Name != ""},
			{"the authority's reference", e.Authority.Reference != ""},
			{"the version of the rig that the authority allows", e.Authority.Rig != ""},
			{"the record of a static test lift, with its day and who made it", e.TestLift.Complete()},
		} {
			if !x.there {
				lacks = append(lacks, x.words)
			}
		}
		switch {
		case len(lacks) > 0:
			b.Why = append(b.Why, "no approved procedure in force covers this load, and these are not entered: "+strings.Join(lacks, "; "))
		case !e.Authority.Holds(in.Version):
			b.Why = append(b.Why, fmt.Sprintf("the authority allows version %.8s of the rig, and this is %.8s", e.Authority.Rig, in.Version))
		default:
			b.Authority = e.Authority.Name + ", " + e.Authority.Reference
			b.Why = nil
		}
	}
	// No authority makes these papers final: the load has to be changed.
	if in.Rig.Result == rig.Over || in.Rig.Result == rig.DoesNotStand {
		b.Why = append(b.Why, "the rig: "+in.Rig.Result.Words()+": "+in.Rig.Reason)
	}
	if in.Lift != nil && in.Lift.Result == rig.Over {
		b.Why = append(b.Why, "the aircraft: "+in.Lift.Result.Words()+": "+in.Lift.Reason)
	}
	b.Why = append(b.Why, b.spacers(in)...)
	if b.Invented {
		b.Why = append(b.Why, "INVENTED data is never final")
	}
}

// covers holds the procedure against the aircraft, which the rig alone does not
// know.
func (b *Brief) covers(in *Input) {
	p := in.Rig.Rig.Procedure()
	for _, f := range in.Rig.Findings {
		if f.Code == "outside-procedure" {
			b.Outside = append(b.Outside, f.Text)
		}
	}
	if p == nil || len(p.Aircraft) == 0 {
		return
	}
	outside := func(format string, args ...any) {
		b.Status = rig.OutsideProcedure
		b.Outside = append(b.Outside, fmt.Sprintf(format, args...))
	}
	covered := strings.Join(p.Aircraft, ", ")
	switch {
	case in.Aircraft == nil:
		outside("no aircraft is entered, and the procedure covers %s", covered)
	case !slices.ContainsFunc(p.Aircraft, func(name string) bool {
		return sameName(name, in.Aircraft.Spec().Title) || sameName(name, in.Entered.Aircraft)
	}):
		outside("the aircraft is %s, and the procedure covers %s", in.Aircraft.Spec().Title, covered)
	}
}

func sameName(a, b string) bool {
	return strings.EqualFold(strings.TrimSpace(unmarked(a)), strings.TrimSpace(unmarked(b)))
}

// spacers names what is done with a spacer against the aircraft's rule.
func (b *Brief) spacers(in *Input) []string {
	var out []string
	for _, f := range fits(in) {
		switch {
		case f.Spacer == "required" && in.Entered.Fitting.Spacer == SpacerLeftOff:
			out = append(out, fmt.Sprintf("the spacer of %s is required on hook %s and is left off", f.Kind, f.Hook))
		case f.Spacer == "forbidden" && in.Entered.Fitting.Spacer == SpacerFitted:
			out = append(out, fmt.Sprintf("the spacer of %s is forbidden on hook %s and is fitted", f.Kind, f.Hook))
		}
	}
	return out
}
