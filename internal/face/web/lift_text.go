package web

import (
	"errors"
	"fmt"
	"io/fs"
	"net/http"
	"net/url"
	"slices"
	"strings"

	"hangtrue/internal/engine/document"
	"hangtrue/internal/engine/people"
	"hangtrue/internal/face/app"
)

// shelved is a kind of documents beside the rigs that have a page each, on
// which a person changes the text.
type shelved struct {
	kind   string // of the shelf
	folder string // of the addresses, with / at its end; or the address of the only one
	one, a string // what one is called, without and with its article
	file   string // what the text is called
	first  func(s *Server, name string) []byte
}

// keptText is the text of such a document as a page shows it, with its versions.
// A page embeds it.
type keptText struct {
	frame
	Name, Address, File string
	Text                string
	Lines               []lineMark
	Problems            []problemView
	Base                string // version that the text was begun from; "" for one that is not kept yet
	Moved               string // the version that is current, where the text was begun from another
	Version             string
	Dirty               bool
	Fresh               bool // not kept yet
	Versions            []versionView
	Notice              string
	Invented            bool
	Heading             string

	data    []byte
	current string
}

func (k shelved) address(name string) string {
	if strings.HasSuffix(k.folder, "/") {
		return k.folder + url.PathEscape(name)
	}
	return k.folder // there is one only
}

// keeper is the shelf's.
func (s *Server) keeper(k shelved) (app.Keeper, error) {
	if s.Shelves == nil {
		return nil, refusal{http.StatusNotFound, "Not there", "This program was started without a folder for " + k.one + " files."}
	}
	return s.Shelves.Shelf(k.kind)
}

// openText opens a document's current version, or an older one; where none is
// kept, the one that the kind begins with.
func (s *Server) openText(k shelved, name, version string) (*keptText, error) {
	keeper, err := s.keeper(k)
	if err != nil {
		return nil, err
	}
	t := &keptText{frame: frame{Title: name, Script: "lift.js"}, Name: name, Address: k.address(name), File: k.file, Heading: name}
	t.data, err = keeper.Current(name)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		if t.data = k.first(s, name); t.data == nil {
			return nil, refusal{http.StatusNotFound, "Not there", "There is no " + k.one + " of this name."}
		}
		t.Fresh = true
		return t, nil
	case err != nil:
		return nil, err
	}
	t.current = app.Version(t.data)
	t.Base = t.current
	if version != "" && version != t.current {
		if t.data, err = keeper.Version(name, version); errors.Is(err, fs.ErrNotExist) {
			return nil, refusal{http.StatusNotFound, "Not there", "This version is not kept here."}
		} else if err != nil {
			return nil, err
		}
		t.Notice = "Version " + app.ShortVersion(version) + " is opened. Save it to make it the current one again."
	}
	return t, nil
}

// askedText is a document as a page is asked for it: the version named, and a
// word that it was saved where it was just that.
func (s *Server) askedText(k shelved, name string, r *http.Request) (*keptText, error) {
	t, err := s.openText(k, name, r.URL.Query().Get("version"))
	if err == nil && r.URL.Query().Has("saved") {
		t.Notice = "Saved as version " + app.ShortVersion(t.Base) + "."
	}
	return t, err
}

// addText keeps a new document. why says what is wrong with its name, for
// whoever typed it.
func (s *Server) addText(k shelved, name string, data []byte) (why string, err error) {
	keeper, err := s.keeper(k)
	if err != nil {
		return "", err
	}
	switch _, saved, err := keeper.Save(name, "", data); {
	case errors.Is(err, fs.ErrNotExist):
		return "no file can have this name. Use letters, digits, spaces and hyphens.", nil
	case err != nil:
		return "", err
	case !saved:
		return k.taken(name), nil
	}
	return "", nil
}

// taken says that there is one of a name.
func (k shelved) taken(name string) string {
	return "there is " + k.a + " named " + name + " already. Open it, or take another name."
}

// postedText is a document as its page sends it.
func (s *Server) postedText(k shelved, r *http.Request) (*keptText, error) {
	if err := parseForm(r); err != nil {
		return nil, err
	}
	t, err := s.openText(k, r.PathValue("name"), "")
	if err != nil {
		return nil, err
	}
	if !r.PostForm.Has("text") {
		return nil, refusal{http.StatusBadRequest, "Not understood", "The page sent no text."}
	}
	t.Base = r.PostFormValue("base")
	kept := t.data
	if t.Base != t.current && t.Base != "" {
		keeper, err := s.keeper(k)
		if err != nil {
			return nil, err
		}
		if kept, err = keeper.Version(t.Name, t.Base); errors.Is(err, fs.ErrNotExist) {
			return nil, refusal{http.StatusBadRequest, "Not understood", "The page was begun from a version that is not kept here. Copy your text and open it again."}
		} else if err != nil {
			return nil, err
		}
	}
	t.put(withLineEnds(r.PostFormValue("text"), kept))
	if len(t.data) > app.MostBytes {
		return nil, tooLarge
	}
	return t, nil
}

// pressed does what a button asks of a posted text: save keeps it, and read and
// the page's own words leave it as it is. done says that the answer is given.
func (s *Server) pressed(w http.ResponseWriter, r *http.Request, k shelved, t *keptText, own ...string) (status int, done bool, err error) {
	what, _, _ := strings.Cut(r.PostFormValue("do"), " ")
	switch {
	case what == "save":
		status, err = s.saveText(r, k, t)
		if err != nil || status != http.StatusOK || wantsJSON(r) {
			return status, false, err
		}
		http.Redirect(w, r, t.Address+"?saved", http.StatusSeeOther)
		return status, true, nil
	case what == "", what == "read", slices.Contains(own, what):
		return http.StatusOK, false, nil
	}
	return 0, false, refusal{http.StatusBadRequest, "Not understood", "The page asked for something that it cannot do."}
}

// put makes data the text.
func (t *keptText) put(data []byte) { t.data = data }

// plain is the text with the line ends that a page has.
func (t *keptText) plain() string { return strings.ReplaceAll(string(t.data), "\r\n", "\n") }

// saveText keeps the text for who may change what is kept. It returns the status
// of the answer.
func (s *Server) saveText(r *http.Request, k shelved, t *keptText) (status int, err error) {
	if err := s.admit(r, changers); err != nil {
		return 0, err
	}
	keeper, err := s.keeper(k)
	if err != nil {
		return 0, err
	}
	current, ok, err := keeper.Save(t.Name, t.Base, t.data)
	if errors.Is(err, fs.ErrNotExist) {
		return 0, refusal{http.StatusUnprocessableEntity, "Not saved", "No file can have this name. Use letters, digits, spaces and hyphens."}
	} else if err != nil {
		return 0, err
	}
	t.current = current
	if ok {
		t.Fresh, t.Base = false, current
		t.Notice = "Saved as version " + app.ShortVersion(current) + "."
		return http.StatusOK, nil
	}
	begun := "before anything was kept"
	if t.Base != "" {
		begun = "from " + app.ShortVersion(t.Base)
	}
	t.Notice = fmt.Sprintf("Not saved: version %s was saved since this text was begun %s. Both are kept. Save once more to put your text on top of %s.",
		app.ShortVersion(current), begun, app.ShortVersion(current))
	t.Base, t.Fresh = current, false
	return http.StatusConflict, nil
}

// marked takes title and mark of a text that cannot be read yet from what is
// typed there.
func (t *keptText) marked(fields typed) {
	is := fields["invented"]
	t.Invented = is == "yes" || is == "true"
	if title := fields["title"]; title != "" {
		t.Heading = unmarked(title, t.Invented)
		t.Title = t.Heading
	}
}

// unmarked is a title without the mark, where its author wrote that in front:
// the page sets the mark beside it.
func unmarked(title string, is bool) string {
	if rest, ok := strings.CutPrefix(title, invented); ok && is {
		if rest = strings.TrimLeft(rest, " -–—:,."); rest != "" {
			return capital(rest)
		}
	}
	return title
}

// finishText fills in what the page shows of the text.
func (s *Server) finishText(k shelved, t *keptText, problems []document.Problem) error {
	t.Text, t.Version = t.plain(), app.Version(t.data)
	t.Dirty = t.Version != t.Base && !(t.Fresh && string(t.data) == string(k.first(s, t.Name)))
	if t.current != t.Base {
		t.Moved = t.current
	}
	var v rigView
	v.Text = t.Text
	v.problems(problems)
	t.Problems, t.Lines = v.Problems, v.Lines
	keeper, err := s.keeper(k)
	if err != nil {
		return err
	}
	kept, err := keeper.Versions(t.Name)
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	} else if err != nil {
		return err
	}
	for i, x := range kept {
		row := versionView{Version: x.Version, Current: i == 0, Base: x.Version == t.Base}
		if !x.At.IsZero() {
			row.At = x.At.Format("2006-01-02 15:04")
		}
		t.Versions = append(t.Versions, row)
	}
	return nil
}

// answerText sends the page back, or its parts to a script.
func (s *Server) answerText(w http.ResponseWriter, r *http.Request, status int, name string, t *keptText, page any, parts []string) error {
	if !wantsJSON(r) {
		return s.pages.write(w, status, name, page)
	}
	if f, ok := page.(framed); ok {
		f.inFrame().Reads = !s.may(r, people.ChangeRigs)
	}
	c := textChanged{Text: t.Text, Base: t.Base, Dirty: t.Dirty, Parts: map[string]string{}}
	for _, part := range append([]string{"text-bar", "text-problems", "text-versions"}, parts...) {
		text, err := s.pages.part("part-"+part, page)
		if err != nil {
			return err
		}
		c.Parts[part] = text
	}
	writeJSON(w, status, c)
	return nil
}

type textChanged struct {
	Text  string            `json:"text"`
	Base  string            `json:"base"`
	Dirty bool              `json:"dirty"`
	Parts map[string]string `json:"parts"`
}
