package web

import (
	"fmt"
	"net/http"
	"time"

	"hangtrue/internal/engine/calendar"
	"hangtrue/internal/engine/teach"
	"hangtrue/internal/face/app"
)

func clockOf(ms int64) string { return app.ClockWords(time.Duration(ms) * time.Millisecond) }

type rotationView struct {
	classHead
	Day, Start string // as the form has them
	Plan       bool
	Planned    string // the day of the plan
	From       string // and its start
	Slots      []rotationRow
	Ends       string
	Idle       string
	Bound      string
	Method     string
	Lanes      []laneTimes
	Groups     []string
}

type rotationRow struct{ From, To, Group, Lane, Load, Grader string }

type laneTimes struct {
	Address, Title, Load, Takes, Grader string
}

func (s *Server) rotationPage(w http.ResponseWriter, r *http.Request) error {
	return s.rotation(w, r, http.StatusOK, notice{})
}

func (s *Server) rotation(w http.ResponseWriter, r *http.Request, status int, words notice) error {
	me := personOf(r)
	room, err := s.School.ClassRoom(r.Context(), me, r.PathValue("class"))
	if err != nil {
		return classRefusal(err)
	}
	p, err := s.School.Rotation(r.Context(), me, room.ID)
	if err != nil {
		return classRefusal(err)
	}
	lanes, err := s.School.Lanes(r.Context(), me, room.ID)
	if err != nil {
		return classRefusal(err)
	}
	names, err := s.names(r)
	if err != nil {
		return err
	}
	v := &rotationView{classHead: newClassHead(&room.Class, "Test day"), Day: string(calendar.Of(s.Now().AddDate(0, 0, 1))), Start: "08:00", Groups: room.Groups()}
	v.notice = words
	for _, l := range lanes {
		x := laneTimes{Address: "/lanes/" + l.ID, Title: l.Setup.Title, Load: l.Setup.Load, Grader: names[l.Setup.Grader]}
		x.Takes = slotWords(&l.Setup, room.LargestGroup())
		v.Lanes = append(v.Lanes, x)
	}
	if p != nil {
		v.Plan, v.Planned, v.From, v.Method = true, p.Day, p.Start, p.Method
		if p.Day >= string(s.today()) {
			v.Day, v.Start = p.Day, p.Start
		}
		v.Ends, v.Idle, v.Bound = p.At(p.Ends), fmt.Sprintf("%d min", p.Idle), p.At(p.Bound)
		v.Slots = rotationRows(p, names)
	}
	return s.pages.write(w, status, "rotation", v)
}

// slotWords says how long a group of so many is at a lane, and why.
func slotWords(x *teach.LaneSetup, students int) string {
	slot := x.Slot(students)
	switch {
	case slot == 0 && !x.Real:
		return "in pictures, without minutes for a group: left out of the plan"
	case slot == 0:
		return ""
	}
	words := fmt.Sprintf("%d min for a group", slot)
	if x.Real && x.Rule.Within != nil && students > 0 {
		words += fmt.Sprintf(": %s × %s each", counted(students, "student", "students"), app.ClockWords(*x.Rule.Within))
		if x.Change > 0 {
			words += fmt.Sprintf(" and %d min to the next", x.Change)
		}
		if slot == x.Takes {
			words += fmt.Sprintf(", and %d min at least", x.Takes)
		}
	}
	return words + fmt.Sprintf("; %d min to put back", x.Reset)
}

// begunWords says that a planned day has begun already.
func begunWords(p *app.RotationPlan, now time.Time) string {
	if p == nil || p.Day != now.Format(time.DateOnly) || p.Start >= now.Format("15:04") {
		return ""
	}
	return fmt.Sprintf(" It begins at %s today, and it is %s now.", p.Start, now.Format("15:04"))
}

func rotationRows(p *app.RotationPlan, names map[string]string) []rotationRow {
	var out []rotationRow
	for _, x := range p.Slots {
		out = append(out, rotationRow{p.At(x.From), p.At(x.To), x.Group, x.Title, x.Load, names[x.Grader]})
	}
	return out
}

func (s *Server) planRotation(w http.ResponseWriter, r *http.Request) error {
	if err := parseForm(r); err != nil {
		return err
	}
	p, err := s.School.PlanRotation(r.Context(), personOf(r), r.PathValue("class"), r.PostFormValue("day"), r.PostFormValue("start"))
	words, status, err := noticeOf(err, "The test day is planned."+begunWords(p, s.Now()))
	if err != nil {
		return err
	}
	return s.rotation(w, r, status, words)
}

func (s *Server) rotationSheet(w http.ResponseWriter, r *http.Request) error {
	data, err := s.School.RotationPaper(r.Context(), personOf(r), r.PathValue("class"), s.plainStamp())
	if err != nil {
		return classRefusal(err)
	}
	return sendPDF(w, "rotation.pdf", data)
}

type boardView struct {
	frame
	ClassName string
	Day       string
	Lanes     []boardLane
	Ends      string
	Now       string
}

type boardLane struct {
	Title, Grader string
	Busy          bool
	SinceISO      string
	Since         string
	Done          int
	Slots         []boardSlot
}

type boardSlot struct {
	From, To, Group  string
	Here, Over, Next bool
}

// boardPage is for a large screen: where each group is now and goes next. It
// holds nothing of what is planted or graded.
func (s *Server) boardPage(w http.ResponseWriter, r *http.Request) error {
	b, err := s.School.Board(r.Context(), personOf(r), r.PathValue("class"))
	if err != nil {
		return classRefusal(err)
	}
	now := s.Now()
	v := &boardView{frame: frame{Title: "Board – " + b.Class, Script: "grade-board.js"}, ClassName: b.Class, Now: now.Format("15:04")}
	minute := -1
	if b.Plan != nil {
		v.Day, v.Ends = b.Plan.Day, b.Plan.At(b.Plan.Ends)
		if start, err := time.ParseInLocation("2006-01-02 15:04", b.Plan.Day+" "+b.Plan.Start, now.Location()); err == nil {
			minute = int(now.Sub(start).Minutes())
			if now.Before(start) {
				minute = -1
			}
		}
	}
	for _, l := range b.Lanes {
		x := boardLane{Title: l.Title, Busy: l.Busy, Done: l.Done}
		if l.Busy {
			x.Since, x.SinceISO = l.Since.In(now.Location()).Format("15:04"), l.Since.UTC().Format(time.RFC3339)
		}
		if b.Plan != nil {
			next := false
			for _, t := range b.Plan.Slots {
				if t.Lane != l.ID {
					continue
				}
				x.Grader = b.Names[t.Grader]
				y := boardSlot{From: b.Plan.At(t.From), To: b.Plan.At(t.To), Group: t.Group, Here: t.From <= minute && minute < t.To, Over: minute >= t.To}
				y.Next = !next && t.From > minute
				next = next || y.Next
				x.Slots = append(x.Slots, y)
			}
		}
		v.Lanes = append(v.Lanes, x)
	}
	return s.pages.write(w, http.StatusOK, "board", v)
}
