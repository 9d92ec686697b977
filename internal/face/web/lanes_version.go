package web

import (
	"fmt"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"hangtrue/internal/engine/people"
	"hangtrue/internal/face/app"
	"hangtrue/internal/paper/likeness"
)

type plantedView struct {
	classHead
	Title, Address, LaneAddress string
	plantedHead
	Invented                bool
	Number                  int
	For, Made, Equal        string
	Notes                   []string
	Items                   []plantedItem
	Voids                   bool
	Commitment, Secret, Key string
	Entry                   int64
	Shown                   string
	Real                    bool
	Put, Tag, Load          string
	Restored                bool
	MayTeach                bool
}

type plantedItem struct {
	app.PlantedItem
	Closeup, Good, Back, How string
	Void                     bool
	Seen                     []string // who confirmed it
	ByMe                     bool
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
	v.plantedHead, v.Invented = plantedHeadOf(d.Solved.Rig, d.RedTag()), d.Solved.Rig.Invented()
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
	for n, i := range d.Items() {
		i.Text = capital(i.Text)
		item := plantedItem{PlantedItem: i, Void: slices.Contains(d.Voided, i.ID)}
		if y := d.Deficiency(i.ID); y != nil {
			item.Back, item.How = d.Survey.PutBack(y), y.State.Plant.Words()
			at := fmt.Sprintf("%s/picture/%d", v.Address, n+1)
			if likeness.Of(d.Survey, y.Part, y.Attribute, y.State) != nil {
				item.Closeup = at
			}
			if good := likeness.Good(d.Survey, y.Part, y.Attribute); good != nil && likeness.Of(d.Survey, y.Part, y.Attribute, good) != nil {
				item.Good = at + "-planned"
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

// versionPicture draws one of the planted deficiencies, or the part as planned,
// for those who set it up or put it back. Its address says nothing of what is
// drawn, and no browser keeps it.
func (s *Server) versionPicture(w http.ResponseWriter, r *http.Request) error {
	d, err := s.School.VersionDesk(r.Context(), personOf(r), r.PathValue("version"), people.SeeRecords)
	if err != nil {
		return classRefusal(err)
	}
	which, good := strings.CutSuffix(r.PathValue("picture"), "-planned")
	n, err := strconv.Atoi(which)
	if items := d.Items(); err == nil && n >= 1 && n <= len(items) {
		if y := d.Deficiency(items[n-1].ID); y != nil {
			state := y.State
			if good {
				state = likeness.Good(d.Survey, y.Part, y.Attribute)
			}
			if state != nil {
				if x := likeness.Of(d.Survey, y.Part, y.Attribute, state); x != nil {
					return writeSVG(w, x.Picture(true), "no-store")
				}
			}
		}
	}
	return refusal{http.StatusNotFound, "Not there", "There is no such picture."}
}

type taggedView struct {
	frame
	notice
	Loads []taggedRow
	Lanes []option
	Other string // as it was typed
}

type taggedRow struct {
	Load, Tag, Lane, Put, Address string
	Others                        []string
}

// taggedPage lists the loads that carry a red tag.
func (s *Server) taggedPage(w http.ResponseWriter, r *http.Request) error {
	return s.redTags(w, r, http.StatusOK, notice{})
}

func (s *Server) redTags(w http.ResponseWriter, r *http.Request, status int, words notice) error {
	list, err := s.School.Tagged(r.Context(), personOf(r))
	if err != nil {
		return classRefusal(err)
	}
	v := &taggedView{frame: frame{Title: "Loads with a red tag"}, notice: words}
	var ids []string
	for _, t := range list {
		for _, o := range t.Others {
			ids = append(ids, o.By...)
		}
	}
	called, err := s.School.Called(r.Context(), personOf(r), ids...)
	if err != nil {
		return told(err)
	}
	chosen := r.PostFormValue("lane")
	for _, t := range list {
		row := taggedRow{Load: t.Load, Tag: t.Tag, Lane: fmt.Sprintf("%s, version %d", t.LaneTitle, t.Number), Put: putWords(t.Put), Address: "/versions/" + t.Version + "/put-back"}
		for _, o := range t.Others {
			names := make([]string, len(o.By))
			for i, id := range o.By {
				names[i] = called[id]
			}
			text := o.Load + " is another load, say " + strings.Join(names, " and ")
			if !o.Counts {
				text = o.Load + " is another load, says " + strings.Join(names, "") + "; a second person has to say so"
			}
			row.Others = append(row.Others, text)
		}
		v.Loads = append(v.Loads, row)
		if !slices.ContainsFunc(v.Lanes, func(o option) bool { return o.Value == t.Lane }) {
			v.Lanes = append(v.Lanes, option{t.Lane, "red tag " + t.Tag + ", " + t.Load, t.Lane == chosen})
		}
	}
	if words.Wrong {
		v.Other = r.PostFormValue("other")
	}
	return s.pages.write(w, status, "tagged", v)
}

// declareOther takes a person's word that a load is another than a tagged one.
func (s *Server) declareOther(w http.ResponseWriter, r *http.Request) error {
	if err := parseForm(r); err != nil {
		return err
	}
	err := s.School.DeclareOther(r.Context(), personOf(r), r.PostFormValue("lane"), r.PostFormValue("other"))
	words, status, err := noticeOf(err, "Noted as your word. It counts when two people have said so.")
	if err != nil {
		return err
	}
	return s.redTags(w, r, status, words)
}
