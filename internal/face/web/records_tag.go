package web

import (
	"net/http"
	"net/url"
	"strings"

	"hangtrue/internal/engine/inspection"
	"hangtrue/internal/engine/people"
	"hangtrue/internal/paper/docket"
	"hangtrue/internal/paper/draw"
)

type tagView struct {
	frame
	Load, Rig, RigAddress, RigTitle string
	Status, Weight                  string
	Invented                        bool
	Rows                            []todayRow
	Begin                           string // address
	Print                           string // address
	URL                             string // what the tag's code holds
	Reach                           bool   // tablets can reach it
}

// mostLoadName is how long the name of a load on a tag may be, in letters.
const mostLoadName = 120

// tagged is what a load's tag is about, by its address.
func (s *Server) tagged(r *http.Request) (rigHead, docket.Tag, error) {
	h, solved, err := s.subpage(r, "")
	if err != nil {
		return h, docket.Tag{}, err
	}
	load := strings.TrimSpace(r.URL.Query().Get("load"))
	if load == "" {
		load = h.RigTitle
	}
	if runes := []rune(load); len(runes) > mostLoadName {
		load = string(runes[:mostLoadName])
	}
	t := docket.Tag{School: s.School.title(), Load: load, Rig: h.Name, Title: h.RigTitle, Version: solved.Version, Status: "the rig cannot be read", URL: s.origin(r) + tagURL(h.Name, load)}
	if solved.Rig != nil {
		t.Status, t.Invented = solved.Rig.Status().String(), solved.Rig.Invented()
		t.Training = t.Invented
		t.Weight, _ = weightWords(solved.Rig)
	}
	return h, t, nil
}

// tagPage is where a load's tag leads: what is known of the load here, and
// where to go on.
func (s *Server) tagPage(w http.ResponseWriter, r *http.Request) error {
	h, t, err := s.tagged(r)
	if err != nil {
		return err
	}
	me, ctx := personOf(r), r.Context()
	v := &tagView{
		frame: frame{Title: t.Load, Result: true}, Load: t.Load, Rig: h.Name, RigAddress: h.Address, RigTitle: h.RigTitle,
		Status: capital(t.Status), Weight: t.Weight, Invented: t.Invented, URL: t.URL, Reach: s.School.Origin != "",
		Print: "/tag/" + url.PathEscape(h.Name) + "/print?load=" + url.QueryEscape(t.Load), Begin: "/loads/" + url.PathEscape(h.Name) + "?load=" + url.QueryEscape(t.Load),
	}
	list, err := s.School.Inspections(ctx, me, h.Name, mostLoads)
	if err != nil {
		return told(err)
	}
	for i := range list {
		x := &list[i]
		if x.Load != t.Load {
			continue
		}
		called, err := s.School.Called(ctx, me, x.By, x.Rigger)
		if err != nil {
			return told(err)
		}
		row := todayRow{By: called[x.By], Rigger: called[x.Rigger], When: s.when(x.Received), Address: inspectURL(x.ID) + "/sign", Words: string(x.Phase)}
		if x.Training {
			row.Words += ", training"
		}
		if x.Phase == inspection.Signed {
			st, err := s.School.Standing(ctx, *x)
			if err != nil {
				return err
			}
			row.When, row.N, row.Counts, row.Why = s.when(x.SignedAt), x.Entry, st.Counts, st.Why
			if me.May(people.SeeRecords) {
				row.Record = recordURL(x.Entry)
			}
		}
		v.Rows = append(v.Rows, row)
	}
	return s.pages.write(w, http.StatusOK, "tag", v)
}

// printTag sends a load's tag as PDF.
func (s *Server) printTag(w http.ResponseWriter, r *http.Request) error {
	h, t, err := s.tagged(r)
	if err != nil {
		return err
	}
	page, err := docket.LoadTag(&t, s.docketStamp())
	if err != nil {
		return refusal{http.StatusUnprocessableEntity, "No tag", "The load's name is too long for a code. Give it a shorter one."}
	}
	return s.sendPages(w, "tag-"+h.Name+".pdf", []*draw.Picture{page})
}
