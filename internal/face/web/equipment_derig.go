package web

import (
	"errors"
	"io/fs"
	"net/http"
	"net/url"
	"slices"
	"strings"

	"hangtrue/internal/engine/calendar"
	"hangtrue/internal/engine/equipment"
	"hangtrue/internal/engine/inspection"
)

type derigView struct {
	frame
	Post, Load, Rig, RigAddress string
	Inspection                  string // address
	Parts                       []derigPart
	Undo                        []derigUndo
	On                          string
	Ways                        []choice
	Done                        *derigDone
	Problem                     string
}

type derigPart struct {
	itemLink
	ID, As, Text string
	Spoiled      bool
	Ways         []choice
	Missing      bool
}

type derigUndo struct {
	Key, Text string
	Done      bool
	Missing   bool
}

type derigDone struct {
	On, By string
	Undone []string
}

func derigURL(inspection string) string { return "/derig/" + url.PathEscape(inspection) }

// asItWent is the form's word for a part that came back as it went; the empty
// text is one about which nothing was said.
const asItWent = "as-it-went"

// derigWays are how a part may come back.
func derigWays(as string) []choice {
	out := []choice{{asItWent, "as it went", as == asItWent}}
	for _, x := range equipment.Reasons {
		out = append(out, choice{x, x + ": quarantined", as == x})
	}
	return append(out, choice{string(equipment.Lost), "lost", as == string(equipment.Lost)})
}

type outView struct {
	frame
	Rows []todayRow
}

// outPage lists the loads whose parts have not come back.
func (s *Server) outPage(w http.ResponseWriter, r *http.Request) error {
	me, ctx := personOf(r), r.Context()
	all, err := s.School.Equipment(ctx, me)
	if err != nil {
		return told(err)
	}
	v := &outView{frame: frame{Title: "Loads whose parts are out"}}
	at := map[string]int{}
	for _, i := range all.All {
		uses, err := s.School.Uses(ctx, me, i.ID)
		if err != nil {
			return told(err)
		}
		for _, u := range uses {
			if u.Until != "" {
				continue
			}
			k, ok := at[u.Inspection]
			if !ok {
				k = len(v.Rows)
				at[u.Inspection] = k
				v.Rows = append(v.Rows, todayRow{Load: u.Load, Rig: u.Rig, RigAddress: rigURL(u.Rig), When: string(u.From), Address: derigURL(u.Inspection)})
			}
			v.Rows[k].Why = append(v.Rows[k].Why, i.Called())
		}
	}
	slices.SortStableFunc(v.Rows, func(a, b todayRow) int { return strings.Compare(a.When, b.When) })
	return s.pages.write(w, http.StatusOK, "derig-out", v)
}

func (s *Server) derigPage(w http.ResponseWriter, r *http.Request) error {
	v, err := s.derigView(r)
	if err != nil {
		return err
	}
	return s.pages.write(w, http.StatusOK, "derig", v)
}

func (s *Server) derigView(r *http.Request) (*derigView, error) {
	me, ctx := personOf(r), r.Context()
	x, state, err := s.School.Inspection(ctx, me, r.PathValue("id"))
	if err != nil {
		return nil, told(err)
	}
	today, err := s.School.Today()
	if err != nil {
		return nil, err
	}
	v := &derigView{
		frame: frame{Title: "Take apart: " + x.Load}, Post: derigURL(x.ID), Load: x.Load, Rig: x.Rig, RigAddress: rigURL(x.Rig),
		Inspection: inspectURL(x.ID) + "/sign", On: string(today),
	}
	out, err := s.School.OnLoad(ctx, me, x.ID)
	if err != nil {
		return nil, told(err)
	}
	// A set stands before what belongs to it.
	slices.SortStableFunc(out, func(a, b *equipment.State) int {
		if a.Kind != b.Kind {
			return slices.Index(equipment.Kinds, a.Kind) - slices.Index(equipment.Kinds, b.Kind)
		}
		return strings.Compare(a.Serial, b.Serial)
	})
	for _, i := range out {
		v.Parts = append(v.Parts, derigPart{itemLink: itemLink{Address: itemURL(i.ID), Words: i.Called(), Name: i.Name}, ID: i.ID, Spoiled: i.Spoiled, Ways: derigWays("")})
	}
	if len(out) == 0 {
		if v.Done, err = s.derigDone(r, x.ID); err != nil {
			return nil, err
		}
		return v, nil
	}
	v.Undo, err = s.undo(&x, state)
	return v, err
}

// undo lists what was done to the load for its lift, as its sequence asked about
// it: the preparation of vehicles, item by item.
func (s *Server) undo(x *inspection.Summary, state *inspection.State) ([]derigUndo, error) {
	d, err := s.inspected(x, state)
	if err != nil {
		return nil, err
	}
	asked, _ := d.questions(state)
	var out []derigUndo
	seen := map[string]bool{}
	for _, q := range asked {
		if q.Asks == nil || q.Asks.Part.Kind.ID != "vehicle" {
			continue
		}
		key := q.Part + "/" + q.Attribute
		if seen[key] {
			continue
		}
		seen[key] = true
		out = append(out, derigUndo{Key: key, Text: capital(q.Asks.Part.Name) + ", " + q.Attribute + " – for the lift: " + q.Asks.Planned})
	}
	return out, nil
}

func (s *Server) derigDone(r *http.Request, id string) (*derigDone, error) {
	d, by, found, err := s.School.Derigged(r.Context(), personOf(r), id)
	if err != nil || !found {
		return nil, told(err)
	}
	called, err := s.School.Called(r.Context(), personOf(r), by)
	if err != nil {
		return nil, told(err)
	}
	done := &derigDone{On: string(d.On), By: called[by]}
	for _, u := range d.Undone {
		done.Undone = append(done.Undone, u.Text)
	}
	return done, nil
}

// derig records that a load was taken apart.
func (s *Server) derig(w http.ResponseWriter, r *http.Request) error {
	if err := parseForm(r); err != nil {
		return err
	}
	v, err := s.derigView(r)
	if err != nil {
		return err
	}
	if len(v.Parts) == 0 {
		return refusal{http.StatusConflict, "Nothing is out", "No part of this load is out any more; nothing was recorded."}
	}
	d := equipment.Derig{Inspection: r.PathValue("id")}
	if on := r.PostFormValue("on"); on != "" {
		v.On = on
	}
	if on, err := calendar.Parse(v.On); err != nil || on > s.today().Plus(1) {
		v.Problem = "Say on which day, as 2026-05-31, and none that has not come yet."
	} else {
		d.On = on
	}
	for i := range v.Parts {
		p := &v.Parts[i]
		p.As, p.Text = r.PostFormValue("as "+p.ID), strings.TrimSpace(r.PostFormValue("text "+p.ID))
		p.Ways, p.Missing = derigWays(p.As), p.As == ""
		back := equipment.Back{Item: p.ID, As: p.As, Text: p.Text}
		if p.As == asItWent {
			back.As = ""
		}
		if p.Missing {
			v.Problem = "Say of each part how it came back."
		}
		d.Parts = append(d.Parts, back)
	}
	for i := range v.Undo {
		u := &v.Undo[i]
		u.Done = r.PostFormValue("undone "+u.Key) != ""
		if u.Missing = !u.Done; u.Missing && v.Problem == "" {
			v.Problem = "Something that was done to the load for the lift is still to be undone."
		}
		d.Undone = append(d.Undone, equipment.Undone{Text: u.Text, Done: u.Done})
	}
	if v.Problem == "" {
		err := s.School.Derig(r.Context(), personOf(r), d)
		fields := equipmentFields(err)
		switch {
		case err == nil:
			http.Redirect(w, r, derigURL(d.Inspection), http.StatusSeeOther)
			return nil
		case len(fields) > 0:
			v.Problem = first(fields)
		case errors.Is(err, equipment.ErrMoved):
			return refusal{http.StatusConflict, "Not recorded", "Something came back meanwhile. Look at the list again."}
		case errors.Is(err, fs.ErrNotExist):
			return noItem
		default:
			return told(err)
		}
	}
	return s.pages.write(w, http.StatusUnprocessableEntity, "derig", v)
}
