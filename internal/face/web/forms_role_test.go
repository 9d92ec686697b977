package web

import (
	"net/http"
	"regexp"
	"strings"
	"testing"

	"hangtrue/internal/engine/people"
)

var (
	formTag  = regexp.MustCompile(`(?s)<form\b([^>]*)>(.*?)</form>`)
	actionOf = regexp.MustCompile(`(?:form)?action="([^"]*)"`)
	posts    = regexp.MustCompile(`(?:form)?method="post"`)
)

// Nobody is shown a form that would be refused to them.
func TestSchool_NoFormThatTheReaderMayNotSend(t *testing.T) {
	x := teaching(t)
	who := map[people.Role]*as{people.Chief: x.chief, people.Instructor: x.instructor, people.Inspector: x.ivo}
	for _, role := range people.Roles {
		if who[role] == nil {
			who[role] = member(t, x.chief, "form"+string(role), role)
		}
	}
	for _, target := range []string{"/rig/crate/brief/edit", "/rig/crate/brief/done"} {
		if w := who[people.Student].ask("POST", target, briefFields("", someBrief)); w.Code != http.StatusForbidden {
			t.Errorf("a student changes %s: %d", target, w.Code)
		}
	}
	mux := http.NewServeMux()
	rows := map[string]route{}
	for _, row := range x.s.routes {
		if row.method == "POST" {
			mux.HandleFunc("POST "+row.path, func(http.ResponseWriter, *http.Request) {})
			rows["POST "+row.path] = row
		}
	}
	forms, pages := 0, 0
	for _, row := range x.s.routes {
		if row.method != "GET" {
			continue
		}
		target := strings.NewReplacer("/classes/c", "/classes/"+x.class, "/lanes/l", "/lanes/"+x.lane).Replace(sample(row))
		for _, role := range people.Roles {
			w := who[role].ask("GET", target, nil)
			if w.Code != http.StatusOK || !strings.HasPrefix(w.Header().Get("Content-Type"), "text/html") {
				continue
			}
			pages++
			for _, m := range formTag.FindAllStringSubmatch(w.Body.String(), -1) {
				if !posts.MatchString(m[0]) {
					continue
				}
				actions := actionOf.FindAllStringSubmatch(m[0], -1)
				if actionOf.FindString(m[1]) == "" {
					actions = append(actions, []string{"", target})
				}
				for _, a := range actions {
					q, err := http.NewRequest("POST", "http://x"+a[1], nil)
					if err != nil {
						t.Fatal(err)
					}
					_, pattern := mux.Handler(q)
					at, ok := rows[pattern]
					if !ok {
						continue // a link of a get form
					}
					forms++
					if !at.who.open && at.who.right != "" && !role.May(at.who.right) {
						t.Errorf("%s shows %s a form for %s, which they may not send", target, role, a[1])
					}
				}
			}
		}
	}
	if pages < 100 || forms < 200 {
		t.Errorf("only %d forms on %d pages", forms, pages)
	}
}
