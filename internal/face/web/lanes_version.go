package web

import (
	"fmt"
	"net/http"
	"slices"

	"hangtrue/internal/engine/people"
	"hangtrue/internal/face/app"
)

type plantedView struct {
	classHead
	Title, Address, LaneAddress string
	Status                      string
	Invented                    bool
	Number                      int
	For, Made, Equal            string
	Notes                       []string
	Items                       []plantedItem
	Voids                       bool
	Commitment, Secret, Key     string
	Entry                       int64
	Shown                       string
	Real                        bool
	Put, Tag, Load              string
	Restored                    bool
	MayTeach                    bool
}

type plantedItem struct {
	app.PlantedItem
	Closeup, Good, Planned, How string
	Void                        bool
	Seen                        []string // who confirmed it
	ByMe                        bool
}

func (s *Server) plantedView(r *http.Request, right people.Right) (*plantedView, *app.VersionDesk, error) {
	me := personOf(r)
	d, err := s.School.VersionDesk(r.Context(), me, r.PathValue("version"), right)
	if err != nil {
		return nil, nil, classRefusal(err)
	}
	names, err := s.names(r)
	if err != nil {
		return nil, nil, err
	}
	x := &d.Lane.Setup
	v := &plantedView{
		Title: fmt.Sprintf("%s, version %d", x.Title, d.Version.Number), Address: "/versions/" + d.Version.ID, LaneAddress: "/lanes/" + d.Lane.ID, Number: d.Version.Number, For: d.Version.For,
		Made: s.when(d.Version.Made), Equal: capital(d.Version.Equal), Commitment: string(d.Version.Commitment), Entry: d.Version.Entry,
		Shown: s.when(d.Version.Opened), Real: d.Version.Real, Put: putWords(d.Put), Restored: d.Put.Restored, Tag: x.Tag, Load: x.Load, MayTeach: me.May(people.Teach),
	}
	v.Status, v.Invented = capital(d.Solved.Rig.Status().String()), d.Solved.Rig.Invented()
	if v.MayTeach {
		room, err := s.School.ClassRoom(r.Context(), me, d.Lane.Class)
		if err != nil {
			return nil, nil, classRefusal(err)
		}
		v.classHead = newClassHead(&room.Class, "")
	}
	v.frame = frame{Title: v.Title, Result: true}
	if v.Shown != "" {
		v.Secret, v.Key = fmt.Sprintf("%x", d.Version.Secret[:]), string(d.Version.Key.Canonical())
	}
	for _, n := range d.Version.Notes {
		v.Notes = append(v.Notes, capital(n))
	}
	for _, i := range d.Items() {
		i.Text = capital(i.Text)
		item := plantedItem{PlantedItem: i, Void: slices.Contains(d.Voided, i.ID)}
		if y := d.Deficiency(i.ID); y != nil {
			item.Closeup, item.Planned, item.How = closeupURL(d.Survey, y.Part, y.Attribute, y.State), d.Survey.Planned(y.Part, y.Attribute), y.State.Plant.Words()
			if good, ok := y.Attribute.State(y.Attribute.Good); ok {
				item.Good = closeupURL(d.Survey, y.Part, y.Attribute, good)
			}
		}
		for _, b := range d.Backs {
			if b.Deficiency == i.ID {
				item.Seen = append(item.Seen, names[b.Person]+", "+s.when(b.At))
				item.ByMe = item.ByMe || b.Person == me.ID
			}
		}
		v.Items = append(v.Items, item)
	}
	return v, d, nil
}

func (s *Server) versionPage(w http.ResponseWriter, r *http.Request) error {
	v, _, err := s.plantedView(r, people.Teach)
	if err != nil {
		return err
	}
	return s.pages.write(w, http.StatusOK, "version", v)
}

func (s *Server) changeVersion(w http.ResponseWriter, r *http.Request) error {
	if err := parseForm(r); err != nil {
		return err
	}
	me, id := personOf(r), r.PathValue("version")
	var err error
	done := ""
	switch r.PostFormValue("do") {
	case "key":
		err = s.School.ShowKey(r.Context(), me, id)
		done = "The key is shown. It is the one that was committed to before the test."
	case "void":
		err = s.School.VoidItem(r.Context(), me, id, r.PostFormValue("item"), r.PostFormValue("text"))
		done = "That one no longer counts. Every run of this version is graded again beside its first result."
	default:
		return refusal{http.StatusBadRequest, "Not understood", "The page asked for something that it cannot do."}
	}
	words, status, err := noticeOf(err, done)
	if err != nil {
		return err
	}
	v, _, err := s.plantedView(r, people.Teach)
	if err != nil {
		return err
	}
	v.notice = words
	return s.pages.write(w, status, "version", v)
}

func (s *Server) putBackPage(w http.ResponseWriter, r *http.Request) error {
	v, _, err := s.plantedView(r, people.SeeRecords)
	if err != nil {
		return err
	}
	return s.pages.write(w, http.StatusOK, "put-back", v)
}

func (s *Server) putBack(w http.ResponseWriter, r *http.Request) error {
	if err := parseForm(r); err != nil {
		return err
	}
	err := s.School.ConfirmPutBack(r.Context(), personOf(r), r.PathValue("version"), r.PostForm["item"])
	words, status, err := noticeOf(err, "Noted as seen put right by you.")
	if err != nil {
		return err
	}
	v, _, err := s.plantedView(r, people.SeeRecords)
	if err != nil {
		return err
	}
	v.notice = words
	return s.pages.write(w, status, "put-back", v)
}

func (s *Server) versionSheet(w http.ResponseWriter, r *http.Request) error {
	d, err := s.School.VersionDesk(r.Context(), personOf(r), r.PathValue("version"), people.SeeRecords)
	if err != nil {
		return classRefusal(err)
	}
	file, data, err := s.School.VersionPaper(r.Context(), personOf(r), d.Version.ID, r.PathValue("paper"), s.when(d.Version.Made), s.plainStamp())
	if err != nil {
		return classRefusal(err)
	}
	return sendPDF(w, file, data)
}

type taggedView struct {
	frame
	Loads []taggedRow
}

type taggedRow struct{ Load, Tag, Lane, Put, Address string }

// taggedPage lists the loads that carry a red tag.
func (s *Server) taggedPage(w http.ResponseWriter, r *http.Request) error {
	list, err := s.School.Tagged(r.Context(), personOf(r))
	if err != nil {
		return classRefusal(err)
	}
	v := &taggedView{frame: frame{Title: "Loads with a red tag"}}
	for _, t := range list {
		v.Loads = append(v.Loads, taggedRow{t.Load, t.Tag, t.LaneTitle, putWords(t.Put), "/versions/" + t.Version + "/put-back"})
	}
	return s.pages.write(w, http.StatusOK, "tagged", v)
}
