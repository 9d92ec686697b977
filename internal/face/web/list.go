package web

import (
	"fmt"
	"html/template"
	"io"
	"net/http"
	"path"
	"runtime"
	"strings"
	"sync"
	"unicode/utf8"

	"hangtrue/internal/engine/document"
	"hangtrue/internal/face/app"
)

// listPageView is the list of rigs.
type listPageView struct {
	frame
	Rigs     []rigCard
	Problems []problemView // of a file that was refused
	File     string
	Notice   string
	// Overlooked are files that look like rigs and are not listed.
	Overlooked []string
}

type rigCard struct {
	Name, Address, Title string
	Invented             bool
	Status               string
	Kind, Result, Reason string
	Picture              template.HTML
}

func (s *Server) listPage(w http.ResponseWriter, _ *http.Request) error {
	page, err := s.list()
	if err != nil {
		return err
	}
	return s.pages.write(w, http.StatusOK, "list", page)
}

// list solves every rig of the folder, as many at a time as there are
// processors.
func (s *Server) list() (*listPageView, error) {
	names, err := s.Keeper.Names()
	if err != nil {
		return nil, err
	}
	page := &listPageView{frame: frame{Title: "Rigs", Result: len(names) > 0}, Rigs: make([]rigCard, len(names))}
	if page.Overlooked, err = app.Overlooked(s.Keeper); err != nil {
		return nil, err
	}
	errs := make([]error, len(names))
	var wg sync.WaitGroup
	slots := make(chan struct{}, runtime.GOMAXPROCS(0))
	for i, name := range names {
		wg.Go(func() {
			slots <- struct{}{}
			defer func() { <-slots }()
			page.Rigs[i], errs[i] = s.card(name)
		})
	}
	wg.Wait()
	for _, err := range errs {
		if err != nil {
			return nil, err
		}
	}
	return page, nil
}

func (s *Server) card(name string) (rigCard, error) {
	c := rigCard{Name: name, Address: rigURL(name), Title: name}
	data, err := s.Keeper.Current(name)
	if err != nil {
		// One bad file must not hide the others.
		s.Log.Warn("a rig cannot be read", "name", name, "error", err)
		c.Status, c.Kind, c.Result, c.Reason = "The file cannot be read", "unread", "No result", "What is wrong stands in the program's log."
		return c, nil
	}
	solved := s.solver.solve(data)
	var view rigView
	view.result(solved)
	c.Status, c.Kind, c.Result, c.Reason = view.Status, view.Kind, view.Result, view.Reason
	if solved.Rig != nil {
		c.Title, c.Invented = titleOf(solved.Rig), solved.Rig.Invented()
	}
	text, err := thumbnail(solved)
	c.Picture = template.HTML(text) // our own drawing, its texts escaped
	return c, err
}

// addRig keeps a file as a new rig, if it can be read and there is none of its
// name.
func (s *Server) addRig(w http.ResponseWriter, r *http.Request) error {
	if err := parseForm(r); err != nil {
		return err
	}
	file, head, err := r.FormFile("file")
	if err != nil {
		return s.notAdded(w, "", "No file was chosen.", nil)
	}
	defer file.Close()
	if head.Size > app.MostBytes {
		return tooLarge
	}
	data, err := io.ReadAll(file)
	if err != nil {
		return err
	}
	name, isYAML := strings.CutSuffix(path.Base(strings.ReplaceAll(head.Filename, `\`, "/")), ".yaml")
	if !isYAML {
		name, isYAML = strings.CutSuffix(name, ".yml")
	}
	switch {
	case !isYAML:
		return s.notAdded(w, head.Filename, "A rig file's name ends in .yaml.", nil)
	case !utf8.Valid(data):
		return s.notAdded(w, head.Filename, "This is no text in UTF-8, so it is no rig file.", nil)
	}
	solved := s.solver.solve(data)
	if solved.Rig == nil {
		return s.notAdded(w, head.Filename, "The file cannot be read as a rig.", solved.Problems)
	}
	_, saved, err := s.Keeper.Save(name, "", data)
	if err != nil {
		return err
	}
	if !saved {
		return s.notAdded(w, head.Filename, fmt.Sprintf("There is a rig named %s already. Open it and put the new text there, or name the file otherwise.", name), nil)
	}
	http.Redirect(w, r, rigURL(name), http.StatusSeeOther)
	return nil
}

// notAdded shows the list again with the reason why a file is not in it.
func (s *Server) notAdded(w http.ResponseWriter, file, why string, problems []document.Problem) error {
	page, err := s.list()
	if err != nil {
		return err
	}
	page.File, page.Notice = file, "Not added: "+why
	for _, p := range problems {
		page.Problems = append(page.Problems, problemView{p.Line, capital(p.Text), p.Hint})
	}
	return s.pages.write(w, http.StatusUnprocessableEntity, "list", page)
}
