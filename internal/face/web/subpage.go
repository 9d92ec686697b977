package web

import (
	"net/http"

	"hangtrue/internal/face/app"
)

// subpages are the pages that each rig has, in the order in which a person
// works: the folder under the rig's address and what the link says.
var subpages = []struct{ folder, words string }{
	{"", "Rig"},
	{"counts", "Counts"},
	{"spread", "Spread"},
	{"faults", "Faults"},
	{"flight", "Flight"},
	{"parts", "Parts"},
	{"walk", "Walk-round"},
	{"lift", "Lift"},
	{"brief", "Load brief"},
	{"flown", "As flown"},
}

// rigHead is what stands on top of every page of a rig: what it is, its status,
// its result, and the way to its other pages. A page embeds it.
type rigHead struct {
	frame
	Name, Address        string // Address is that of the rig's own page
	RigTitle             string
	Here                 string // what the link to this page says
	Links                []pageLink
	Invented             bool
	Status, Draft        string
	Procedure            string
	Kind, Result, Reason string
	Version              string
	Notice               string
	Open                 bool // counts are still open
	Unread               bool // the text has errors
}

type pageLink struct {
	Address, Words string
	Here           bool
}

// pageLinks are the links to a rig's pages.
func pageLinks(name, here string) []pageLink {
	var links []pageLink
	for _, p := range subpages {
		address := rigURL(name)
		if p.folder != "" {
			address += "/" + p.folder
		}
		links = append(links, pageLink{address, p.words, p.folder == here})
	}
	return links
}

// subpage opens the current version of the rig that a request names, for the
// page in a folder of subpages. The rig in what is solved is nil where the text
// has errors, its answer is nil where counts are open.
func (s *Server) subpage(r *http.Request, folder string) (rigHead, *app.Solved, error) {
	d, err := s.opened(r.PathValue("name"), "")
	if err != nil {
		return rigHead{}, nil, err
	}
	solved := s.solver.solve(d.data)
	h := headOf(d.name, folder, solved)
	h.Notice = s.procedureNotice(d.name, solved)
	return h, solved, nil
}

func headOf(name, folder string, solved *app.Solved) rigHead {
	var v rigView
	v.result(solved)
	h := rigHead{
		frame: frame{Title: name, Result: true}, Name: name, Address: rigURL(name), RigTitle: name, Links: pageLinks(name, folder),
		Status: v.Status, Draft: v.Draft, Kind: v.Kind, Result: v.Result, Reason: v.Reason, Version: solved.Version,
		Open: len(solved.Open) > 0, Unread: solved.Rig == nil,
	}
	if solved.Rig != nil {
		h.RigTitle, h.Invented = titleOf(solved.Rig), solved.Rig.Invented()
		h.Procedure = solved.Rig.Procedure().Words()
	}
	for _, l := range h.Links {
		if l.Here {
			h.Here = l.Words
		}
	}
	h.Title = h.Here + " – " + h.RigTitle
	return h
}

// unready is the answer of a page that needs what the rig does not have yet.
func (s *Server) unready(w http.ResponseWriter, h rigHead) error {
	return s.pages.write(w, http.StatusOK, "unready", &h)
}
