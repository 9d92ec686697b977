package web

import (
	"net/http"
	"slices"

	"hangtrue/internal/engine/people"
)

// handView is where somebody chooses what is planted themselves, station by
// station: what is chosen elsewhere goes along in the form.
type handView struct {
	classHead
	Title, Address string
	Invented       bool
	Count          int
	For            string
	Groups         []string
	At             int
	Place          string
	Items          []handItem
	Elsewhere      []handItem // chosen at other stations
	Chosen         int
	Stations       []handStation
}

type handItem struct {
	ID, Text, How string
	Chosen        bool
}

type handStation struct {
	Number, Chosen int
	Here           bool
}

func (s *Server) laneHandPage(w http.ResponseWriter, r *http.Request) error {
	return s.laneHand(w, r, http.StatusOK, notice{})
}

func (s *Server) laneHand(w http.ResponseWriter, r *http.Request, status int, words notice) error {
	me := personOf(r)
	d, err := s.School.LaneDesk(r.Context(), me, r.PathValue("lane"))
	if err != nil {
		return classRefusal(err)
	}
	if err := s.School.MaySeeKeys(r.Context(), me, d.Lane.Class, people.Teach); err != nil {
		return classRefusal(err)
	}
	room, err := s.School.ClassRoom(r.Context(), me, d.Lane.Class)
	if err != nil {
		return classRefusal(err)
	}
	if err := r.ParseForm(); err != nil {
		return refusal{http.StatusBadRequest, "Not understood", "What was sent is not the form of this page."}
	}
	chosen := r.Form["item"]
	x := &d.Lane.Setup
	v := &handView{classHead: newClassHead(&room.Class, ""), Title: x.Title, Address: "/lanes/" + d.Lane.ID, Invented: x.Invented, Count: x.Count, For: r.FormValue("for"), Groups: room.Groups()}
	v.notice, v.frame.Title = words, x.Title+": by hand"
	at := number(r.FormValue("at"))
	may := d.MayPlant()
	for _, c := range may {
		if n := len(v.Stations); n == 0 || v.Stations[n-1].Number != c.Station {
			v.Stations = append(v.Stations, handStation{Number: c.Station})
		}
		if slices.Contains(chosen, c.ID) {
			v.Stations[len(v.Stations)-1].Chosen++
			v.Chosen++
		}
	}
	if len(v.Stations) == 0 {
		return refusal{http.StatusUnprocessableEntity, "Nothing to plant", "Nothing of this sequence can be planted here."}
	}
	i := max(0, slices.IndexFunc(v.Stations, func(y handStation) bool { return y.Number == at }))
	v.Stations[i].Here, v.At = true, v.Stations[i].Number
	for _, y := range d.Survey.Stations(d.Sequence) {
		if y.Number == v.At {
			v.Place = y.Text
		}
	}
	for _, c := range may {
		item := handItem{c.ID, capital(c.Text), c.Plant.Words(), slices.Contains(chosen, c.ID)}
		switch {
		case c.Station == v.At:
			v.Items = append(v.Items, item)
		case item.Chosen:
			v.Elsewhere = append(v.Elsewhere, item)
		}
	}
	return s.pages.write(w, status, "lane-hand", v)
}
