package web

import (
	"net/http"
	"slices"
)

// route is one page or action: a row of the table below.
type route struct {
	method, path string
	what         string // for people
	who          access
	handle       func(*Server, http.ResponseWriter, *http.Request) error
}

// routes is the table of every page and action with who may use it, put together
// from the tables of each part. mux makes the handlers of it and of nothing else.
func routes() []route {
	return slices.Concat(rigRoutes(), countRoutes(), peopleRoutes(), walkRoutes(), liftRoutes(), briefRoutes(), faultRoutes(), inspectRoutes(), lessonRoutes(), docRoutes(), recordRoutes(), classRoutes(), resultRoutes(), fileRoutes())
}

func rigRoutes() []route {
	return []route{
		{"GET", "/{$}", "the list of rigs", everybody, (*Server).listPage},
		{"POST", "/rigs", "add a rig file to the list", changers, (*Server).addRig},
		{"GET", "/rig/{name}", "a rig's page", everybody, (*Server).rigPage},
		{"POST", "/rig/{name}", "change the text or a count, undo, redo, save", everybody, (*Server).changeRig},
		{"POST", "/rig/{name}/picture", "a rig's picture from any side", everybody, (*Server).drawRig},
		{"POST", "/rig/{name}/sheet", "print the sheet of a version", everybody, (*Server).printSheet},
	}
}

func fileRoutes() []route {
	return []route{
		{"GET", "/asset/{hash}/{file}", "style, script and font", anyone, (*Server).asset},
		{"", "/", "whatever there is not", anyone, (*Server).nothingHere},
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
			if err := s.admit(q, r.who); err != nil {
				s.refuse(w, q, err)
				return
			}
			if s.writeShown(q, w) {
				return
			}
			if a, ok := w.(*answered); ok && r.method == "POST" {
				a.after, a.request, a.now = afterwards[r.path], q, s.Now
			}
			if err := r.handle(s, w, q); err != nil {
				s.refuse(w, q, err)
			}
		})
	}
	return m
}

func (s *Server) nothingHere(http.ResponseWriter, *http.Request) error {
	return refusal{http.StatusNotFound, "Nothing here", "There is no such page."}
}
