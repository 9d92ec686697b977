package web

import (
	"context"
	"errors"
	"io/fs"
	"net/http"
	"slices"
	"strings"

	"hangtrue/internal/engine/inspection"
	"hangtrue/internal/engine/people"
	"hangtrue/internal/face/app"
)

// mostLoads is how many inspections the page of loads goes back.
const mostLoads = 120

type loadsView struct {
	frame
	Groups []loadGroup
	Rigs   []pageLink
	Tags   []tagLine // the red tags that are on
	Staff  bool      // may see the page of red tags
	Import bool      // may take in a tablet's file
	Shell  string    // what the page needs besides itself, by address
}

// loadGroup is the inspections that are equally far.
type loadGroup struct {
	Words, Empty string
	Rows         []loadRow
	Folded       bool // shown when asked for
}

type loadRow struct {
	Load, Rig, RigAddress string
	By, Rigger, When      string
	Phase                 string
	Why                   []string // a signature no longer counts
	Tags                  []string // red tags because of which it cannot be signed for
	Training, Mine        bool
	Invented              bool
	Main                  pageLink
	Others                []pageLink
}

// told turns what the use cases refuse into what a person is told.
func told(err error) error {
	var no *app.NotAllowed
	var wrong *app.Wrong
	var not *app.NotSignable
	switch {
	case err == nil:
		return nil
	case errors.As(err, &no):
		return refusal{http.StatusForbidden, "Not for you", capital(no.Error()) + "."}
	case errors.As(err, &wrong):
		return refusal{http.StatusUnprocessableEntity, "Not taken", capital(wrong.Text) + "."}
	case errors.As(err, &not):
		return refusal{http.StatusConflict, "Not signed", capital(not.Error()) + "."}
	case errors.Is(err, inspection.ErrMoved):
		return refusal{http.StatusConflict, "Not signed", "Something was added since you looked. Look at it again before you sign."}
	case errors.Is(err, inspection.ErrEnded), errors.Is(err, inspection.ErrOther), errors.Is(err, inspection.ErrConflict), errors.Is(err, inspection.ErrGap):
		return refusal{http.StatusConflict, "Not taken", capital(strings.TrimPrefix(err.Error(), "store: ")) + "."}
	case errors.Is(err, fs.ErrNotExist):
		return refusal{http.StatusNotFound, "Not there", "There is no such inspection, photo or rig."}
	}
	return err
}

// inspectURL is the address of an inspection's walk.
func inspectURL(id string) string { return "/inspect/" + id }

func (s *Server) loadsPage(w http.ResponseWriter, r *http.Request) error {
	me := personOf(r)
	list, err := s.School.Inspections(r.Context(), me, "", mostLoads)
	if err != nil {
		return told(err)
	}
	v := &loadsView{frame: frame{Title: "Loads", Result: true, Script: "inspect-loads.js"}, Shell: strings.Join(s.shell(), " "), Import: me.May(people.Teach), Groups: []loadGroup{
		{Words: "Being inspected", Empty: "No walk is under way."},
		{Words: "Finished, not signed", Empty: "Nothing waits for a signature."},
		{Words: "Signed, and the signature stands", Empty: "No load stands signed."},
		{Words: "Signed once, and no longer", Empty: "No signature has lapsed.", Folded: true},
		{Words: "Training, finished", Empty: "No training inspection is finished.", Folded: true},
	}}
	var ids []string
	for i := range list {
		ids = append(ids, list[i].By, list[i].Rigger)
	}
	called, err := s.School.Called(r.Context(), me, ids...)
	if err != nil {
		return told(err)
	}
	on, err := s.School.TagsOn(r.Context())
	if err != nil {
		return err
	}
	v.Tags, v.Staff = tagLines(on), me.May(people.SeeRecords)
	for i := range list {
		group, row, err := s.loadRow(r.Context(), me, list, i, called)
		if err != nil {
			return err
		}
		tags, err := on.Of(r.Context(), list[i].Load, list[i].Rig, list[i].RigVersion)
		if err != nil {
			return err
		}
		if group != 2 && group != 3 || len(row.Why) == 0 { // there the reasons say it
			for _, t := range tags {
				row.Tags = append(row.Tags, capital(t.Text)+".")
			}
		}
		v.Groups[group].Rows = append(v.Groups[group].Rows, row)
	}
	if v.Rigs, err = s.rigLinks(r.Context(), on); err != nil {
		return err
	}
	return s.pages.write(w, http.StatusOK, "loads", v)
}

// loadRow words one inspection and says to which group it belongs.
func (s *Server) loadRow(ctx context.Context, me *people.Person, list []inspection.Summary, i int, called map[string]string) (group int, row loadRow, err error) {
	x := &list[i]
	row = loadRow{
		Load: x.Load, Rig: x.Rig, RigAddress: rigURL(x.Rig), By: called[x.By], Rigger: called[x.Rigger], When: s.when(x.Received),
		Phase: string(x.Phase), Training: x.Training, Mine: x.By == me.ID,
	}
	data, err := s.School.Rigs.Version(x.Rig, x.RigVersion)
	if notMissing(err) != nil {
		return 0, row, err
	}
	if rig := s.solver.solve(data).Rig; rig != nil {
		row.Invented = rig.Invented()
	}
	look := pageLink{Address: inspectURL(x.ID) + "/sign", Words: "Look"}
	row.Main = look
	switch x.Phase {
	case inspection.Open, inspection.Paused:
		if row.Mine {
			row.Main = pageLink{Address: inspectURL(x.ID), Words: "Go on with the walk"}
			row.Others = append(row.Others, look)
		}
	case inspection.Finished:
		group = 1
		if x.Training {
			group = 4
		} else if row.Mine {
			row.Main.Words = "Look and sign"
		}
	case inspection.Signed:
		st, err := s.School.Standing(ctx, *x)
		if err != nil {
			return 0, row, err
		}
		group, row.When = 2, s.when(x.SignedAt)
		if !st.Counts {
			group, row.Why = 3, st.Why
		}
	}
	// The next one below is enough: from its page others can be reached.
	for k := i + 1; k < len(list); k++ {
		if o := &list[k]; sameLoad(x, o) && o.By != x.By {
			row.Others = append(row.Others, pageLink{Address: compareURL(x.ID, o.ID), Words: "Compare with " + called[o.By] + "’s"})
			break
		}
	}
	return group, row, nil
}

// sameLoad reports whether two inspections are of one load as rigged.
func sameLoad(a, b *inspection.Summary) bool {
	return a.ID != b.ID && a.Load == b.Load && a.Rig == b.Rig && a.RigVersion == b.RigVersion
}

func compareURL(a, b string) string { return inspectURL(a) + "/compare/" + b }

// rigLinks are the rigs of which an inspection can begin.
func (s *Server) rigLinks(ctx context.Context, on *app.TagsOn) ([]pageLink, error) {
	names, err := s.Keeper.Names()
	if err != nil {
		return nil, err
	}
	var out []pageLink
	for _, name := range names {
		data, err := s.Keeper.Current(name)
		if err != nil {
			s.Log.Warn("a rig cannot be read", "name", name, "error", err)
			continue
		}
		if solved := s.solver.solve(data); solved.Rig != nil {
			words := titleOf(solved.Rig)
			if solved.Rig.Invented() {
				words += " (INVENTED: training)"
			}
			tags, err := on.Of(ctx, "", name, solved.Version)
			if err != nil {
				return nil, err
			}
			for _, t := range tags {
				words += ": red tag " + t.Tag + " on " + t.Load
			}
			out = append(out, pageLink{Address: "/loads/" + strings.TrimPrefix(rigURL(name), "/rig/"), Words: words})
		}
	}
	slices.SortFunc(out, func(a, b pageLink) int { return strings.Compare(a.Words, b.Words) })
	return out, nil
}
