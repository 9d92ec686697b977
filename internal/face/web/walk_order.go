package web

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"net/http"
	"path"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"hangtrue/internal/engine/document"
	"hangtrue/internal/engine/inspect"
	"hangtrue/internal/engine/part"
	"hangtrue/internal/engine/people"
	"hangtrue/internal/face/app"
)

// orderDraft is what the page of an own order holds: the text, the version it
// was begun from, what can be taken back and which checkpoint is open. All of it
// travels with every request.
type orderDraft struct {
	*walkDesk
	shelf         app.Keeper
	text          string // an order that can be read; "" where none is begun
	base, current string // "" where none is kept
	kept          []byte // the version that the text was begun from
	undo, redo    splices
	open          string       // id of the checkpoint whose fields are shown
	fields        *orderFields // as they were sent, where they could not be taken
	typed         string       // the text field, where it differs from text
	problems      []document.Problem
	sequence      *inspect.Sequence // of text; nil where none is begun
	notice        string
}

// orderFields are what can be changed of the open checkpoint.
type orderFields struct {
	Title, Note, Reference, Looks, Ahead, Left string
	Stand                                      inspect.Stand
	Do                                         []part.See
}

// openedOrder is a fresh draft of the order kept for a rig, or of an older
// version of it.
func (s *Server) openedOrder(r *http.Request, version string) (*orderDraft, error) {
	desk, err := s.walkDesk(r, "walk", "The school’s own order")
	if err != nil {
		return nil, err
	}
	d := &orderDraft{walkDesk: desk}
	if desk.survey == nil {
		return d, nil
	}
	if d.shelf, err = s.Shelves.Shelf(app.Sequences); err != nil {
		return nil, err
	}
	kept, err := app.OrderOf(d.shelf, desk.head.Name)
	if err != nil {
		return nil, err
	}
	if kept == nil {
		return d, nil
	}
	d.base, d.current, d.kept = kept.Version, kept.Version, kept.Data
	data := kept.Data
	if version != "" && version != kept.Version {
		if data, err = d.shelf.Version(desk.head.Name, version); err != nil {
			return nil, err
		}
	}
	d.read(strings.ReplaceAll(string(data), "\r\n", "\n"))
	return d, nil
}

// read makes a text the draft's, or keeps it as typed with what is wrong in it.
func (d *orderDraft) read(text string) bool {
	if text == "" {
		d.text, d.typed, d.problems, d.sequence = "", "", nil, nil
		return true
	}
	o := app.ReadOrder([]byte(text))
	if o.Sequence == nil {
		d.typed, d.problems = text, o.Problems
		return false
	}
	d.text, d.typed, d.problems, d.sequence = text, "", nil, o.Sequence
	return true
}

// change makes a text the draft's and remembers how to take that back.
func (d *orderDraft) change(text string) bool {
	before := d.text
	if text == before {
		return true
	}
	if !d.read(text) {
		return false
	}
	d.undo, d.redo = d.undo.with(spliced(before, text)), nil
	return true
}

// put makes a sequence the draft's. What makes it no good is returned, and then
// nothing is changed.
func (d *orderDraft) put(q *inspect.Sequence) []document.Problem {
	text := string(app.OrderText(q))
	if o := app.ReadOrder([]byte(text)); o.Sequence == nil {
		return o.Problems
	}
	d.change(text)
	return nil
}

// orderPage shows the order that is kept for a rig.
func (s *Server) orderPage(w http.ResponseWriter, r *http.Request) error {
	version := r.URL.Query().Get("version")
	d, err := s.openedOrder(r, version)
	if err != nil {
		return err
	}
	if d.survey == nil {
		return s.unready(w, d.head)
	}
	switch {
	case version != "" && version != d.current:
		d.notice = "Version " + app.ShortVersion(version) + " is opened. Save it to make it the current one again."
	case r.URL.Query().Has("saved"):
		d.notice = "Saved as version " + app.ShortVersion(d.current) + ". The walk-round and its sheet follow it."
	}
	page, err := s.orderView(d)
	if err != nil {
		return err
	}
	return s.pages.write(w, http.StatusOK, "walk-order", page)
}

// postedOrder reads the draft that the page sends.
func (s *Server) postedOrder(r *http.Request) (*orderDraft, error) {
	if err := parseForm(r); err != nil {
		return nil, err
	}
	d, err := s.openedOrder(r, "")
	if err != nil || d.survey == nil {
		return d, err
	}
	if !r.PostForm.Has("text") {
		return nil, refusal{http.StatusBadRequest, "Not understood", "The page sent no order."}
	}
	if d.base = r.PostFormValue("base"); d.base != "" && d.base != d.current {
		if d.kept, err = d.shelf.Version(d.head.Name, d.base); errors.Is(err, fs.ErrNotExist) {
			return nil, refusal{http.StatusBadRequest, "Not understood", "The page was begun from a version that is not kept here. Copy your text and open the page again."}
		} else if err != nil {
			return nil, err
		}
	}
	field := func(key string) string { return strings.ReplaceAll(r.PostFormValue(key), "\r\n", "\n") }
	text, typed := field("text"), field("typed")
	if len(text) > app.MostBytes || len(typed) > app.MostBytes {
		return nil, refusal{http.StatusRequestEntityTooLarge, "Too large", "An order has at most 1 MiB. Nothing of this was kept."}
	}
	if d.notice = ""; !d.read(text) {
		return nil, refusal{http.StatusBadRequest, "Not understood", "The page sent an order that cannot be read."}
	}
	d.undo, d.redo, d.open = readSplices(r.PostFormValue("undo")), readSplices(r.PostFormValue("redo")), r.PostFormValue("open")
	// What was typed is taken first, so that no button loses it.
	if r.PostForm.Has("typed") && strings.TrimRight(typed, "\n") != strings.TrimRight(text, "\n") {
		if strings.TrimSpace(typed) == "" {
			typed = ""
		} else if !strings.HasSuffix(typed, "\n") {
			typed += "\n"
		}
		if !d.change(typed) {
			d.notice = "Nothing was changed: the text has errors, each named with its line."
		}
		return d, nil
	}
	if d.sequence != nil {
		d.takeFields(r)
	}
	return d, nil
}

// takeFields takes what was changed in the page's fields: the order's title and
// source, and the open checkpoint.
func (d *orderDraft) takeFields(r *http.Request) {
	q := *d.sequence
	if r.PostForm.Has("order-title") {
		q.Title, q.Source = oneLine(r.PostFormValue("order-title")), oneLine(r.PostFormValue("order-source"))
	}
	f, c := d.postedFields(r)
	if f != nil {
		if changed, err := app.PutCheckpoint(&q, *c); err == nil {
			q = *changed
		}
	}
	if bytes.Equal(app.OrderText(&q), app.OrderText(d.sequence)) {
		return // as the text has it, in whatever way that is written
	}
	if problems := d.put(&q); len(problems) > 0 {
		d.fields = f
		d.notice = "The fields were not taken over: " + problems[0].String() + "."
	}
}

// postedFields are the open checkpoint's fields, nil where there are none.
func (d *orderDraft) postedFields(r *http.Request) (*orderFields, *inspect.Checkpoint) {
	i := slices.IndexFunc(d.sequence.Checkpoints, func(c inspect.Checkpoint) bool { return c.ID == d.open })
	if i < 0 || !r.PostForm.Has("looks") {
		return nil, nil
	}
	c := d.sequence.Checkpoints[i]
	f := &orderFields{
		Title: oneLine(r.PostFormValue("title")), Note: strings.TrimSpace(strings.ReplaceAll(r.PostFormValue("note"), "\r\n", "\n")),
		Reference: oneLine(r.PostFormValue("reference")), Looks: r.PostFormValue("looks"),
		Stand: inspect.Stand(r.PostFormValue("stand")), Do: chosen(r.PostForm, "ways", part.Sees),
		Ahead: strings.TrimSpace(r.PostFormValue("ahead")), Left: strings.TrimSpace(r.PostFormValue("left")),
	}
	c.Title, c.Note, c.Reference, c.Do = f.Title, f.Note, f.Reference, f.Do
	if slices.Contains(inspect.Stands, f.Stand) {
		c.Stand = f.Stand
	}
	if c.At = nil; f.Ahead != "" || f.Left != "" {
		ahead, err1 := strconv.ParseFloat(f.Ahead, 64)
		left, err2 := strconv.ParseFloat(f.Left, 64)
		if err1 != nil || err2 != nil || !(max(ahead, -ahead, left, -left) <= 1000) {
			d.notice = "The place was not taken over: ahead and left are both numbers of metres."
			c.At = d.sequence.Checkpoints[i].At
		} else {
			c.At = &[2]float64{ahead, left}
		}
	}
	c.Looks = nil
	for line := range strings.Lines(f.Looks) {
		if line = strings.TrimSpace(line); line != "" {
			c.Looks = append(c.Looks, inspect.ParseLook(line))
		}
	}
	if p, ok := d.survey.Part(r.PostFormValue("too")); ok {
		c.Looks = append(c.Looks, inspect.Look{Part: p.ID})
	}
	return f, &c
}

// changeOrder does what a button of the page asks and sends the page back.
func (s *Server) changeOrder(w http.ResponseWriter, r *http.Request) error {
	d, err := s.postedOrder(r)
	if err != nil {
		return err
	}
	if d.survey == nil {
		return s.unready(w, d.head)
	}
	status, saved := http.StatusOK, false
	what, argument, _ := strings.Cut(r.PostFormValue("do"), " ")
	refused := len(d.problems) > 0 || d.fields != nil
	switch {
	case what == "suggest" || what == "nothing" || what == "upload" || what == "close" && !refused:
		if status, err = s.beginOrder(d, r, what); err != nil {
			return err
		}
	case refused:
		status = http.StatusUnprocessableEntity
	case what == "save":
		if d.sequence == nil {
			d.notice = "Not saved: there is no order yet."
			break
		}
		if err := s.admit(r, changers); err != nil {
			return err
		}
		if status, saved, err = d.save(); err != nil {
			return err
		}
	default:
		if err := d.act(what, argument); err != nil {
			return err
		}
	}
	if saved && !wantsJSON(r) {
		http.Redirect(w, r, walkURL(d.head.Name)+"/order?saved", http.StatusSeeOther)
		return nil
	}
	page, err := s.orderView(d)
	if err != nil {
		return err
	}
	page.Reads = !s.may(r, people.ChangeRigs)
	if !wantsJSON(r) {
		return s.pages.write(w, status, "walk-order", page)
	}
	answer, err := s.orderParts(page)
	if err != nil {
		return err
	}
	if status == http.StatusUnprocessableEntity {
		status = http.StatusOK // the answer says it, and to a script it is one like any other
	}
	writeJSON(w, status, answer)
	return nil
}

// beginOrder begins the order anew: from the suggestion, from nothing or from a
// file. What was there before can be had back with undo.
func (s *Server) beginOrder(d *orderDraft, r *http.Request, how string) (status int, err error) {
	d.problems, d.typed, d.fields = nil, "", nil
	switch how {
	case "close":
		d.open = ""
		return http.StatusOK, nil
	case "suggest":
		d.open = ""
		d.put(app.Suggested(d.survey))
		d.notice = "This is the suggested order. Change it as your school walks it; it is yours once it is saved."
	case "nothing":
		q, err := app.FirstOrder(d.survey)
		if err != nil {
			d.notice = "No order was begun: " + err.Error() + "."
			return http.StatusUnprocessableEntity, nil
		}
		d.put(q)
		d.open = q.Checkpoints[0].ID
		d.notice = "An order has at least one checkpoint, so it begins with one. Say what it is, and add the next."
	case "upload":
		return d.upload(r)
	}
	return http.StatusOK, nil
}

// upload takes an order from a file.
func (d *orderDraft) upload(r *http.Request) (status int, err error) {
	refuse := func(why string) (int, error) {
		d.notice = "Not taken: " + why
		return http.StatusUnprocessableEntity, nil
	}
	file, head, err := r.FormFile("file")
	if err != nil {
		return refuse("no file was chosen.")
	}
	defer file.Close()
	if head.Size > app.MostBytes {
		return 0, refusal{http.StatusRequestEntityTooLarge, "Too large", "An order has at most 1 MiB. Nothing of this was kept."}
	}
	data, err := io.ReadAll(file)
	if err != nil {
		return 0, err
	}
	name := path.Base(strings.ReplaceAll(head.Filename, `\`, "/"))
	if !utf8.Valid(data) {
		return refuse(name + " is no text in UTF-8, so it is no inspection sequence.")
	}
	text := strings.TrimPrefix(strings.ReplaceAll(string(data), "\r\n", "\n"), "\ufeff")
	if text == "" {
		return refuse(name + " is empty.")
	}
	if !d.change(text) {
		return refuse(name + " has errors, each named with its line. It stands in the text field below; mend it there, or choose another file.")
	}
	d.open = ""
	d.notice = "Taken from " + name + "."
	return http.StatusOK, nil
}

// act does what changes an order that is there.
func (d *orderDraft) act(what, argument string) error {
	if what == "read" || what == "" {
		return nil
	}
	if what == "undo" || what == "redo" {
		d.takeBack(what == "undo")
		return nil
	}
	if d.sequence == nil {
		d.notice = "There is no order yet. Begin one first."
		return nil
	}
	id, rest, _ := strings.Cut(argument, " ")
	var q *inspect.Sequence
	var err error
	switch what {
	case "open":
		d.open = id
		return nil
	case "up":
		q, err = app.StepCheckpoint(d.sequence, id, -1)
	case "down":
		q, err = app.StepCheckpoint(d.sequence, id, 1)
	case "place": // the place that it has among all, from 1
		n, wrong := strconv.Atoi(rest)
		if wrong != nil {
			return refusal{http.StatusBadRequest, "Not understood", "The page did not say where to."}
		}
		q, err = app.MoveCheckpoint(d.sequence, id, n-1)
	case "delete":
		q, err = app.DeleteCheckpoint(d.sequence, id)
	case "add":
		q, err = app.AddCheckpoint(d.survey, d.sequence, id)
	case "ask":
		q, err = app.AddLook(d.survey, d.sequence, "", inspect.Look{Part: id})
	case "look": // the part that was chosen is taken with the fields
		return nil
	default:
		return refusal{http.StatusBadRequest, "Not understood", "The page asked for something that it cannot do."}
	}
	if err != nil {
		d.notice = "Nothing was changed: " + err.Error() + "."
		return nil
	}
	before := d.sequence
	if problems := d.put(q); len(problems) > 0 {
		d.notice = "Nothing was changed: " + problems[0].String() + "."
		return nil
	}
	d.tell(what, id, before)
	return nil
}

// tell says what became of a step, for those who do not see the list.
func (d *orderDraft) tell(what, id string, before *inspect.Sequence) {
	list := d.sequence.Checkpoints
	at := func(q *inspect.Sequence) int {
		return slices.IndexFunc(q.Checkpoints, func(c inspect.Checkpoint) bool { return c.ID == id })
	}
	switch what {
	case "up", "down", "place":
		d.notice = fmt.Sprintf("%s is number %d of %d now.", id, at(d.sequence)+1, len(list))
	case "delete":
		if d.open == id {
			d.open = ""
		}
		d.notice = fmt.Sprintf("%s is deleted.", id)
		if only := inspect.Cover(d.survey, before).OnlyBy(d.survey, at(before)); len(only) > 0 {
			d.notice = fmt.Sprintf("%s is deleted; nobody asks about %s any more that it alone asked about.", id, counted(len(only), "deficiency", "deficiencies"))
		}
	case "add", "ask":
		for _, c := range list {
			if !slices.ContainsFunc(before.Checkpoints, func(o inspect.Checkpoint) bool { return o.ID == c.ID }) {
				d.open = c.ID
				d.notice = fmt.Sprintf("%s is new. Say where to stand and what to look at.", c.ID)
			}
		}
	}
}

// takeBack undoes the latest step or does it again.
func (d *orderDraft) takeBack(back bool) {
	from, into := &d.undo, &d.redo
	if !back {
		from, into = into, from
	}
	if len(*from) == 0 {
		return
	}
	last := (*from)[len(*from)-1]
	*from = (*from)[:len(*from)-1]
	before := d.text
	text, ok := last.back(d.text)
	if !ok || !d.read(text) {
		d.read(before)
		d.notice = "This step could not be taken back: the text has changed too much since."
		return
	}
	*into = into.with(spliced(before, text))
}

// bytes are the text with the line ends of the version that it was begun from.
func (d *orderDraft) bytes() []byte { return withLineEnds(d.text, d.kept) }

// save keeps the order on the shelf, on top of the version that it was begun
// from.
func (d *orderDraft) save() (status int, saved bool, err error) {
	current, ok, err := d.shelf.Save(d.head.Name, d.base, d.bytes())
	if err != nil {
		return 0, false, err
	}
	d.current = current
	if ok {
		d.base = current
		d.notice = "Saved as version " + app.ShortVersion(current) + ". The walk-round and its sheet follow it."
		return http.StatusOK, true, nil
	}
	from := "before there was one"
	if d.base != "" {
		from = "from " + app.ShortVersion(d.base)
	}
	d.notice = fmt.Sprintf("Not saved: version %s was saved since this order was begun %s. Both are kept. Save once more to put your order on top of %s.",
		app.ShortVersion(current), from, app.ShortVersion(current))
	d.base = current
	return http.StatusConflict, false, nil
}
