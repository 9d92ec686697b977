package web

import (
	"net/http"

	"hangtrue/internal/paper/docket"
)

// classLinks sends one-time links for the students of a class who cannot sign in
// yet, as slips to hand out. Each call makes them anew.
func (s *Server) classLinks(w http.ResponseWriter, r *http.Request) error {
	if s.hereOnly(r) {
		return refusal{http.StatusConflict, "Not printed", "The links would work on this machine only. End the server, start it with --lan --host NAME.local, and print them then."}
	}
	links, err := s.School.InviteClass(r.Context(), personOf(r), r.PathValue("class"))
	if err != nil {
		return classRefusal(err)
	}
	if len(links) == 0 {
		return refusal{http.StatusConflict, "Nothing to print", "Every student of the class can sign in already. Who forgot the passphrase gets a new link on their own page under People."}
	}
	until := s.when(s.Now().Add(s.School.People.InvitationLength))
	trust := ""
	if s.LAN != nil {
		trust = s.LAN.TrustURL(s.LAN.Name)
	}
	var slips []docket.Slip
	for _, x := range links {
		slips = append(slips, docket.Slip{School: s.School.title(), Name: x.Name, Group: x.Group, URL: s.origin(r) + "/welcome/" + x.Link, Until: until, Trust: trust})
	}
	pages, err := docket.Slips(slips)
	if err != nil {
		return err
	}
	return s.sendPages(w, "one-time-links.pdf", pages)
}
