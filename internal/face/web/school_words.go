package web

import (
	"strings"
	"time"

	"hangtrue/internal/engine/calendar"
	"hangtrue/internal/engine/people"
)

// when writes a time as people read it, in the machine's own time.
func (s *Server) when(t time.Time) string {
	if t.IsZero() {
		return ""
	}
	return t.In(s.Now().Location()).Format("2006-01-02 15:04")
}

// today is the day in the machine's own time.
func (s *Server) today() calendar.Day { return calendar.Of(s.Now()) }

// deviceWords says in few words what a browser says it is.
func deviceWords(agent string) string {
	known := func(list ...string) string {
		for i := 0; i+1 < len(list); i += 2 {
			if strings.Contains(agent, list[i]) {
				return list[i+1]
			}
		}
		return ""
	}
	browser := known("Edg/", "Edge", "Firefox/", "Firefox", "Chrome/", "Chrome", "Safari/", "Safari")
	system := known("iPad", "iPad", "iPhone", "iPhone", "Android", "Android", "Windows", "Windows", "Macintosh", "Mac", "Linux", "Linux")
	switch {
	case browser != "" && system != "":
		return browser + " on " + system
	case browser+system != "":
		return browser + system
	}
	return "an unknown device"
}

func (s *Server) qualifications(p *people.Person) []qualificationView {
	var out []qualificationView
	for _, q := range p.Qualifications {
		out = append(out, qualificationView{
			ID: q.ID, Kind: string(q.Kind), Scope: q.Scope, Authority: q.Authority, From: string(q.From), Last: string(q.LastDay()),
			Counts: q.Counts(s.today()), Ended: q.Ended != "",
		})
	}
	return out
}
