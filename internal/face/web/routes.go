package web

import (
	"net/http"
	"slices"
)

// Role is a group of people who may use a page or an action.
type Role string

// The roles. As long as the pages are served to this machine only, whoever asks
// is everybody; the others are named here so that the table can be read.
const (
	Everybody       Role = "everybody"
	Student         Role = "student"
	Planner         Role = "planner"
	Inspector       Role = "inspector"
	Instructor      Role = "instructor"
	ChiefInstructor Role = "chief instructor"
)

// everybody is who may use what needs no rights.
var everybody = []Role{Everybody}

// route is one page or action: a row of the table below.
type route struct {
	method, path string
	what         string // for people
	who          []Role
	handle       func(*Server, http.ResponseWriter, *http.Request) error
}

// routes is the table of every page and action with who may use it, put together
// from the tables of each part. mux makes the handlers of it and of nothing else.
func routes() []route {
	return slices.Concat(rigRoutes(), fileRoutes())
}

func rigRoutes() []route {
	return []route{
		{"GET", "/{$}", "the list of rigs", everybody, (*Server).listPage},
		{"POST", "/rigs", "add a rig file to the list", everybody, (*Server).addRig},
		{"GET", "/rig/{name}", "a rig's page", everybody, (*Server).rigPage},
		{"POST", "/rig/{name}", "change the text or a count, undo, redo, save", everybody, (*Server).changeRig},
		{"POST", "/rig/{name}/picture", "a rig's picture from any side", everybody, (*Server).drawRig},
		{"POST", "/rig/{name}/sheet", "print the sheet of a version", everybody, (*Server).printSheet},
	}
}

func fileRoutes() []route {
	return []route{
		{"GET", "/asset/{hash}/{file}", "style, script and font", everybody, (*Server).asset},
		{"", "/", "whatever there is not", everybody, (*Server).nothingHere},
	}
}

// mux is the only place where handlers are registered.
func (s *Server) mux(table []route) *http.ServeMux {
	m := http.NewServeMux()
	for _, r := range table {
		pattern := r.path
		if r.method != "" {
			pattern = r.method + " " + r.path
		}
		m.HandleFunc(pattern, func(w http.ResponseWriter, q *http.Request) {
			if !admits(r.who, rolesOf(q)) {
				s.refuse(w, q, refusal{http.StatusForbidden, "Not for you", "Your role may not use this: " + r.what + "."})
				return
			}
			if err := r.handle(s, w, q); err != nil {
				s.refuse(w, q, err)
			}
		})
	}
	return m
}

// rolesOf says who asks.
func rolesOf(*http.Request) []Role { return []Role{Everybody} }

// admits reports whether any role of who asks is among those who may.
func admits(who, asks []Role) bool {
	for _, w := range who {
		for _, a := range asks {
			if w == a {
				return true
			}
		}
	}
	return false
}

func (s *Server) nothingHere(http.ResponseWriter, *http.Request) error {
	return refusal{http.StatusNotFound, "Nothing here", "There is no such page."}
}
