package web

import (
	"errors"
	"io"
	"net/http"
	"strconv"
	"strings"

	"hangtrue/internal/engine/equipment"
	"hangtrue/internal/face/app"
	"hangtrue/internal/paper/docket"
)

type listImportView struct {
	frame
	List     string // as read
	Rows     []listRow
	More     int // rows that are not shown
	Problems []problemRow
	New      int
	Changed  int
	Same     int
	Columns  []string
	Notice   string
	Read     bool
}

type listRow struct {
	Line                      int
	What, Called, Name, Fresh string
}

type problemRow struct {
	Line         int
	Column, Text string
}

// mostShown is how many lines of a list its preview shows.
const mostShown = 100

func (s *Server) listImportPage(w http.ResponseWriter, _ *http.Request) error {
	return s.pages.write(w, http.StatusOK, "equipment-import", &listImportView{frame: frame{Title: "Take in a list"}, Columns: equipment.Columns})
}

// listImport shows what a list would change, or takes it in.
func (s *Server) listImport(w http.ResponseWriter, r *http.Request) error {
	if err := parseForm(r); err != nil {
		return err
	}
	me, ctx := personOf(r), r.Context()
	v := &listImportView{frame: frame{Title: "Take in a list"}, Columns: equipment.Columns, List: strings.ReplaceAll(r.PostFormValue("list"), "\r\n", "\n"), Read: true}
	if f, _, err := r.FormFile("file"); err == nil {
		data, err := io.ReadAll(f)
		f.Close()
		if err != nil {
			return err
		}
		if len(data) > 0 {
			v.List = string(data)
		}
	}
	if r.PostFormValue("do") == "take" {
		added, changed, err := s.School.TakeList(ctx, me, []byte(v.List))
		var problems *app.ListProblems
		fields := equipmentFields(err)
		switch {
		case err == nil:
			v.Notice, v.Read, v.List = "Taken in: "+counted(added, "new item", "new items")+", "+counted(changed, "changed", "changed")+".", false, ""
			return s.pages.write(w, http.StatusOK, "equipment-import", v)
		case errors.As(err, &problems):
			// The preview below lists them.
		case len(fields) > 0:
			v.Notice = "Nothing was taken in. " + first(fields)
		default:
			return told(err)
		}
	}
	rows, problems, err := s.School.PreviewList(ctx, me, []byte(v.List))
	if err != nil {
		return told(err)
	}
	for _, p := range problems {
		v.Problems = append(v.Problems, problemRow{p.Line, p.Column, capital(p.Text) + "."})
	}
	for i := range rows {
		x := &rows[i]
		row := listRow{Line: x.Line, Called: string(x.Item.Kind) + " " + x.Item.Serial, Name: x.Item.Name}
		switch {
		case x.Old == nil:
			row.What = "new"
			v.New++
		case x.Changed:
			row.What = "changed"
			v.Changed++
		default:
			v.Same++
			continue
		}
		var fresh []string
		add := func(label, was, is string) {
			if is != was {
				fresh = append(fresh, label+" "+orSay(is, "none"))
			}
		}
		old := equipment.Item{}
		if x.Old != nil {
			old = x.Old.Item
		}
		add("maker", old.Maker, x.Item.Maker)
		add("rating", old.Rating, x.Item.Rating)
		add("in service since", string(old.InService), string(x.Item.InService))
		add("intervals", equipment.FormatIntervals(old.Intervals), equipment.FormatIntervals(x.Item.Intervals))
		add("note", old.Note, x.Item.Note)
		if x.SetName != "" && x.Item.Set != old.Set || x.SetName != "" && x.Old == nil {
			fresh = append(fresh, "belongs to set "+x.SetName)
		} else if x.SetName == "" && old.Set != "" {
			fresh = append(fresh, "belongs to no set")
		}
		if x.Last != "" {
			fresh = append(fresh, "last inspected "+string(x.Last))
		}
		if x.Item.Spoiled && !old.Spoiled {
			fresh = append(fresh, "TRAINING PART, NEVER FOR FLIGHT")
		}
		row.Fresh = strings.Join(fresh, "; ")
		if len(v.Rows) < mostShown {
			v.Rows = append(v.Rows, row)
		} else {
			v.More++
		}
	}
	status := http.StatusOK
	if len(problems) > 0 {
		status = http.StatusUnprocessableEntity
	}
	return s.pages.write(w, status, "equipment-import", v)
}

func (s *Server) equipmentList(w http.ResponseWriter, r *http.Request) error {
	data, err := s.School.EquipmentList(r.Context(), personOf(r))
	if err != nil {
		return told(err)
	}
	return sendAs(w, "text/csv; charset=utf-8", "equipment-"+string(s.today())+".csv", data)
}

// printLabels sends labels with codes for the items that the list shows.
func (s *Server) printLabels(w http.ResponseWriter, r *http.Request) error {
	all, err := s.School.Equipment(r.Context(), personOf(r))
	if err != nil {
		return told(err)
	}
	today, err := s.School.Today()
	if err != nil {
		return err
	}
	skip := 0
	if text := r.URL.Query().Get("skip"); text != "" {
		if skip, err = strconv.Atoi(text); err != nil || skip < 0 || skip > 23 {
			return refusal{http.StatusBadRequest, "Not understood", "Of the 24 places on a sheet, 0 to 23 can be left empty."}
		}
	}
	var list []docket.Label
	for _, i := range filtered(all, r.URL.Query(), today) {
		list = append(list, docket.Label{
			School: s.School.title(), Kind: string(i.Kind), Serial: i.Serial, Name: i.Name, Rating: i.Rating, Spoiled: i.Spoiled, URL: s.origin(r) + itemURL(i.ID),
		})
	}
	if len(list) == 0 {
		return refusal{http.StatusNotFound, "No labels", "No item is listed, so there is nothing to print."}
	}
	pages, err := docket.Labels(list, skip)
	if err != nil {
		return err
	}
	return s.sendPages(w, "labels.pdf", pages)
}

// daysAhead is how far a request looks ahead; the school's setting where it does
// not say.
func (s *Server) daysAhead(r *http.Request) (int, error) {
	settings, _, err := s.School.Settings()
	if err != nil {
		return 0, err
	}
	text := r.URL.Query().Get("days")
	if text == "" {
		return settings.DueDays, nil
	}
	days, err := strconv.Atoi(text)
	if err != nil || days < 1 || days > 3650 {
		return 0, refusal{http.StatusBadRequest, "Not understood", "A due list looks 1 to 3650 days ahead."}
	}
	return days, nil
}

func (s *Server) printDue(w http.ResponseWriter, r *http.Request) error {
	days, err := s.daysAhead(r)
	if err != nil {
		return err
	}
	due, err := s.School.Due(r.Context(), personOf(r), days)
	if err != nil {
		return told(err)
	}
	today, err := s.School.Today()
	if err != nil {
		return err
	}
	return s.sendPages(w, "due-"+string(today)+".pdf", docket.DueList(s.School.title(), today, today.Plus(days), due, s.docketStamp()))
}

func (s *Server) dueCalendar(w http.ResponseWriter, r *http.Request) error {
	days, err := s.daysAhead(r)
	if err != nil {
		return err
	}
	data, err := s.School.DueCalendar(r.Context(), personOf(r), days)
	if err != nil {
		return told(err)
	}
	return sendAs(w, "text/calendar; charset=utf-8", "equipment-due.ics", data)
}
