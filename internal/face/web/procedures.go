package web

import (
	"errors"
	"fmt"
	"io/fs"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"hangtrue/internal/engine/document"
	"hangtrue/internal/engine/procedure"
	"hangtrue/internal/engine/procedure/procedurefile"
	"hangtrue/internal/face/app"
)

// registerName is the name of the one document on the shelf of procedures.
const registerName = "register"

// registerText is the register of procedures.
var registerText = shelved{kind: app.Procedures, folder: "/procedures", one: "register", file: "Format " + procedurefile.Format + ". What the rigs cite follows the text as it is typed.", first: firstRegister}

func firstRegister(*Server, string) []byte {
	return []byte("format: " + procedurefile.Format + "\ntitle: Register of approved procedures\n")
}

// registerData is the register's current text; nil where there is none.
func (s *Server) registerData() ([]byte, error) {
	if s.Shelves == nil {
		return nil, nil
	}
	keeper, err := s.keeper(registerText)
	if err != nil {
		return nil, err
	}
	data, err := keeper.Current(registerName)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	return data, err
}

// procedureNotice is what the pages of a rig say where the edition of the
// procedure that it cites is no longer current; "" otherwise.
func (s *Server) procedureNotice(name string, solved *app.Solved) string {
	if solved.Rig == nil || solved.Rig.Procedure() == nil {
		return ""
	}
	data, err := s.registerData()
	if err != nil || data == nil {
		if err != nil {
			s.Log.Warn("the register of procedures cannot be read", "error", err)
		}
		return ""
	}
	register, _ := procedurefile.Read(data)
	if register == nil {
		return ""
	}
	c := register.Cite(name, solved.Version, solved.Rig)
	if c.Standing != procedure.ForReview {
		return ""
	}
	return "For review: " + c.Why + ". Its sequence, sheets and load brief are for review with it."
}

// proceduresView is the register's page.
type proceduresView struct {
	keptText
	Register bool // the text can be read
	Review   []citationView
	Rigs     []citationView // all but those for review
	Books    []bookView
	Unread   []string
	New      newEdition
	Titles   []formChoiceView
}

type citationView struct {
	Name, Address, Title, Cites string
	Invented                    bool
	Status, Words, Why          string
	Missing                     []string // before its papers may print as final
	Draft                       bool
}

type bookView struct {
	Title, Edition, Note string
	From                 string
	Superseded           bool
	Paragraphs           []string
	CitedBy              []pageLink
}

// newEdition is the form that enters a new edition.
type newEdition struct {
	Title, Edition, Change, From string
	Problem                      string
}

var procedureParts = []string{"procedures-head", "procedures-review", "procedures-books", "procedures-new", "procedures-rigs"}

func (s *Server) proceduresPage(w http.ResponseWriter, r *http.Request) error {
	t, err := s.askedText(registerText, registerName, r)
	if err != nil {
		return err
	}
	page, err := s.proceduresView(t, newEdition{})
	if err != nil {
		return err
	}
	return s.pages.write(w, http.StatusOK, "procedures", page)
}

func (s *Server) changeProcedures(w http.ResponseWriter, r *http.Request) error {
	r.SetPathValue("name", registerName)
	t, err := s.postedText(registerText, r)
	if err != nil {
		return err
	}
	entered := newEdition{Title: r.PostFormValue("new.title"), Edition: r.PostFormValue("new.edition"), Change: r.PostFormValue("new.change"), From: r.PostFormValue("new.from")}
	if r.PostFormValue("do") == "edition" {
		text, why := withEdition(t.plain(), entered)
		if entered.Problem = why; why == "" {
			t.put(withLineEnds(text, t.data))
			t.Notice = "The new edition of " + entered.Title + " is in the text below, and the one before is marked superseded. Save it to make it hold."
			entered = newEdition{}
		}
	}
	status, done, err := s.pressed(w, r, registerText, t, "edition")
	if err != nil || done {
		return err
	}
	page, err := s.proceduresView(t, entered)
	if err != nil {
		return err
	}
	return s.answerText(w, r, status, "procedures", &page.keptText, page, procedureParts)
}

func (s *Server) proceduresView(t *keptText, entered newEdition) (*proceduresView, error) {
	names, err := s.Keeper.Names()
	if err != nil {
		return nil, err
	}
	var rigs []app.NamedFile
	for _, name := range names {
		data, err := s.Keeper.Current(name)
		if err != nil {
			s.Log.Warn("a rig cannot be read", "name", name, "error", err)
			continue
		}
		if app.FormatOf(data) != procedurefile.Format {
			rigs = append(rigs, app.NamedFile{Name: name, Data: data})
		}
	}
	review := app.HoldProcedures(t.data, rigs)
	if err := s.finishText(registerText, t, review.Problems); err != nil {
		return nil, err
	}
	t.Result = true
	p := &proceduresView{keptText: *t, New: entered, Register: len(review.Problems) == 0, Unread: review.Unread}
	p.Heading = "Procedures"
	p.Title = p.Heading
	if !p.Register {
		if fields, ok := typedOf(t.data); ok {
			p.Invented = fields["invented"] == "yes"
		}
		return p, nil
	}
	p.Invented = review.Register.Invented
	for _, c := range review.Citations {
		v := citationView{
			Name: c.Rig, Address: rigURL(c.Rig), Title: unmarked(c.Title, c.Invented), Invented: c.Invented, Status: capital(c.Status.String()),
			Words: capital(c.Standing.Words()), Why: capital(c.Why), Draft: c.Draft.Is, Missing: c.Draft.Missing,
		}
		if x := c.Procedure; x != nil {
			v.Cites = joined(", ", x.Publication, edition(x.Edition, x.Change), paragraphWords(x.Paragraph))
		}
		if c.Standing == procedure.ForReview {
			v.Words = "For review"
			p.Review = append(p.Review, v)
		} else {
			p.Rigs = append(p.Rigs, v)
		}
	}
	for i, b := range review.Books() {
		x := review.Register.Publications[i]
		v := bookView{Title: b.Title, Edition: edition(b.Edition, b.Change), Note: x.Note, Superseded: b.Superseded}
		if !x.From.IsZero() {
			v.From = x.From.Format("2006-01-02")
		}
		for _, y := range x.Paragraphs {
			v.Paragraphs = append(v.Paragraphs, joined(" ", y.Number, y.Title))
		}
		for _, name := range b.CitedBy {
			v.CitedBy = append(v.CitedBy, pageLink{Address: rigURL(name), Words: name})
		}
		p.Books = append(p.Books, v)
		if !b.Superseded && !slices.ContainsFunc(p.Titles, func(c formChoiceView) bool { return c.Value == b.Title }) {
			p.Titles = append(p.Titles, formChoiceView{b.Title, b.Title, b.Title == entered.Title})
		}
	}
	return p, nil
}

func edition(edition, change string) string {
	if edition != "" {
		edition = "edition " + edition
	}
	if change != "" {
		change = "change " + change
	}
	return joined(", ", edition, change)
}

func paragraphWords(number string) string {
	if number == "" {
		return ""
	}
	return "paragraph " + number
}

// withEdition writes a new edition of a publication into the register's text,
// and marks the current one superseded; all other lines stay as they are. It
// says why it cannot.
func withEdition(text string, n newEdition) (out, why string) {
	title := strings.TrimSpace(n.Title)
	switch {
	case title == "":
		return "", "Choose the publication, or type the name of a new one."
	case strings.TrimSpace(n.Edition) == "" && strings.TrimSpace(n.Change) == "":
		return "", "Enter the edition, or the change."
	}
	register, problems := procedurefile.Read([]byte(text))
	if register == nil {
		return "", counted(len(problems), "error in the text is to be mended first.", "errors in the text are to be mended first.")
	}
	v, _ := document.Read([]byte(text), loose)
	lines := strings.SplitAfter(text, "\n")
	for i, p := range register.Publications {
		if !strings.EqualFold(p.Title, title) {
			continue
		}
		if p.Edition == strings.TrimSpace(n.Edition) && p.Change == strings.TrimSpace(n.Change) {
			return "", "This edition and change of " + p.Title + " is in the register already."
		}
		if p.Superseded {
			continue
		}
		title = p.Title
		at := v.Get("publications").Item(i).Line() - 1
		if lines[at], why = superseded(lines[at]); why != "" {
			return "", why
		}
	}
	entry := "  - {title: " + yamlScalar(title)
	for _, x := range []struct{ key, value string }{{"edition", n.Edition}, {"change", n.Change}} {
		if x.value = strings.TrimSpace(x.value); x.value != "" {
			entry += ", " + x.key + ": " + strconv.Quote(x.value)
		}
	}
	if from := strings.TrimSpace(n.From); from != "" {
		entry += ", from: " + yamlScalar(from)
	}
	entry += "}\n"
	text = strings.Join(lines, "")
	list := topBlock(text, "publications")
	switch {
	case list == "" || strings.Contains(list[:strings.IndexByte(list+"\n", '\n')], "["):
		if list != "" {
			return "", "The publications stand in one line of the text; put each on a line of its own first."
		}
		text = withKey(text, "publications", "publications:\n"+entry)
	default:
		text = withKey(text, "publications", strings.TrimRight(list, "\n")+"\n"+indented(entry, list))
	}
	if _, problems := procedurefile.Read([]byte(text)); len(problems) > 0 {
		return "", fmt.Sprintf("It would not be right: %s.", problems[0])
	}
	return text, ""
}

// superseded writes superseded: yes into the first line of an entry.
func superseded(line string) (out, why string) {
	dash := strings.Index(line, "- ")
	if dash < 0 || strings.TrimSpace(line[:dash]) != "" {
		return "", "The current entry is not written so that it can be marked here; add superseded: yes to it in the text."
	}
	front, rest := line[:dash+2], line[dash+2:]
	if inner, ok := strings.CutPrefix(rest, "{"); ok {
		return front + "{superseded: yes, " + inner, ""
	}
	return front + "superseded: yes\n" + strings.Repeat(" ", dash+2) + rest, ""
}

// topBlock is what stands in the text of a key of the outermost object.
func topBlock(text, key string) string {
	without := withKey(text, key, "")
	if without == text {
		return ""
	}
	const mark = "\x00"
	marked := withKey(text, key, mark)
	at := strings.Index(marked, mark)
	return text[at : at+len(text)-len(without)]
}

// indented gives an entry the indentation of the list's first one.
func indented(entry, list string) string {
	_, rest, _ := strings.Cut(list, "\n")
	for line := range strings.Lines(rest) {
		if at := strings.Index(line, "- "); at >= 0 && strings.TrimSpace(line[:at]) == "" {
			return strings.Repeat(" ", at) + strings.TrimLeft(entry, " ")
		}
	}
	return entry
}
