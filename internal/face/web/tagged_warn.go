package web

import (
	"net/http"
	"slices"
	"strings"

	"hangtrue/internal/engine/inspection"
	"hangtrue/internal/engine/rig"
	"hangtrue/internal/face/app"
)

// tagLine is a load that wears a red tag, as everybody may read it.
type tagLine struct{ Load, Tag string }

// tagLines lists the loads that wear a red tag, each once.
func tagLines(on *app.TagsOn) []tagLine {
	var out []tagLine
	for _, t := range on.All() {
		if x := (tagLine{t.Load, t.Tag}); !slices.Contains(out, x) {
			out = append(out, x)
		}
	}
	return out
}

// tagNumbers are the numbers of tags, as the form with which an inspection begins
// sends them back: who confirms one tag has not confirmed another.
func tagNumbers(tags []app.TagOn) string {
	var out []string
	for _, t := range tags {
		if !slices.Contains(out, t.Tag) {
			out = append(out, t.Tag)
		}
	}
	return strings.Join(out, ", ")
}

// plantedHead stands where the rig's status stands, on pages about a real load
// with planted faults: a load that is not as planned is not headed by the status
// of its plan.
type plantedHead struct {
	Red    string // the tag's number; "" where the load wears none
	Status string
}

// plantedHeadOf is the head of a version of a lane, tag "" where none is on.
func plantedHeadOf(r *rig.Rig, tag string) plantedHead {
	h := plantedHead{Red: tag, Status: capital(r.Status().String())}
	if tag != "" {
		h.Status = capital(r.Status().OfPlan())
	}
	return h
}

// redOn is what stands at the head of an inspection that a red tag keeps from
// being signed; "" for others.
func (s *Server) redOn(r *http.Request, x *inspection.Summary) (string, error) {
	on, err := s.School.TagsOn(r.Context())
	if err != nil {
		return "", err
	}
	tags, err := on.Of(r.Context(), x.Load, x.Rig, x.RigVersion)
	if err != nil || len(tags) == 0 {
		return "", err
	}
	return "RED TAG " + tagNumbers(tags) + ": no signature counts", nil
}
