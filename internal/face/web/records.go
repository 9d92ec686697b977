package web

import (
	"bytes"
	"encoding/hex"
	"encoding/json"
	"errors"
	"io/fs"
	"net/http"
	"net/url"
	"strconv"

	"hangtrue/internal/engine/inspection"
	"hangtrue/internal/engine/people"
	"hangtrue/internal/face/app"
)

// recordsOnPage is how many records a page of the list has.
const recordsOnPage = 50

type recordsView struct {
	frame
	Rows  []recordRow
	Older string // address; "" for none
}

type recordRow struct {
	N                    int64
	Address              string
	Kind, At, Load, What string
	By, Short            string
	About                string // address of the record that it points to
	AboutN               int64
	Later                []recordRow
}

func recordURL(n int64) string { return "/records/" + strconv.FormatInt(n, 10) }

func tagURL(rig, load string) string {
	return "/tag/" + url.PathEscape(rig) + "?load=" + url.QueryEscape(load)
}

// laterBody is the body of an entry that speaks of another: a lapse, a
// correction or a refusal.
type laterBody struct {
	Inspection string            `json:"inspection"`
	Load       string            `json:"load"`
	Why        string            `json:"why"`
	Text       string            `json:"text"`
	RefusedBy  string            `json:"refused_by"`
	By         inspection.Signer `json:"by"`
}

// says is what such an entry says, without who made it.
func (b *laterBody) says(kind string) string {
	why := app.LapseReason(b.Why).Words()
	switch kind {
	case app.EntryRefusal:
		who := "the load is refused"
		if b.RefusedBy != "" {
			who += " by " + b.RefusedBy
		}
		return joined(": ", who, b.Text)
	case app.EntryLapse:
		return joined(": ", why, b.Text)
	}
	return b.Text
}

// kindWords is what people call a kind of entry.
func kindWords(kind string) string {
	if kind == app.EntryCommitment {
		return "commitment to a key"
	}
	return kind
}

// recordRow words an entry for lists.
func (s *Server) recordRow(e *app.SealedEntry) (recordRow, error) {
	row := recordRow{N: e.N, Address: recordURL(e.N), Kind: kindWords(e.Kind), At: s.when(e.At), Short: e.Short()}
	if e.About >= 0 {
		row.About, row.AboutN = recordURL(e.About), e.About
	}
	if e.Kind == app.EntryInspection {
		b, err := inspection.ReadSealed(e.Body)
		if err != nil {
			return row, err
		}
		row.Load, row.What, row.By = b.Begin.Load, capital(b.Result), b.Inspector.Name
		return row, nil
	}
	var b laterBody
	if err := json.Unmarshal(e.Body, &b); err != nil {
		return row, err
	}
	row.Load, row.What, row.By = b.Load, capital(b.says(e.Kind)), b.By.Name
	if e.Kind == app.EntryCommitment {
		row.What, row.By = "The key to a version of a lane was committed to before anybody ran it; this tells nothing of the key.", "the program"
	}
	return row, nil
}

func (s *Server) recordsPage(w http.ResponseWriter, r *http.Request) error {
	before := int64(-1)
	if text := r.URL.Query().Get("before"); text != "" {
		n, err := strconv.ParseInt(text, 10, 64)
		if err != nil || n < 0 {
			return refusal{http.StatusBadRequest, "Not understood", "A record goes by its number."}
		}
		before = n
	}
	list, err := s.School.Records(r.Context(), personOf(r), before, recordsOnPage)
	if err != nil {
		return told(err)
	}
	v := &recordsView{frame: frame{Title: "Records", Result: true}}
	for i := range list {
		row, err := s.recordRow(&list[i])
		if err != nil {
			return err
		}
		if list[i].Kind == app.EntryInspection || list[i].About < 0 {
			_, later, err := s.School.Record(r.Context(), personOf(r), list[i].N)
			if err != nil {
				return told(err)
			}
			for k := range later {
				x, err := s.recordRow(&later[k])
				if err != nil {
					return err
				}
				row.Later = append(row.Later, x)
			}
		}
		v.Rows = append(v.Rows, row)
	}
	if n := len(list); n == recordsOnPage && list[n-1].N > 0 {
		v.Older = "/records?before=" + strconv.FormatInt(list[n-1].N, 10)
	}
	return s.pages.write(w, http.StatusOK, "records", v)
}

type recordView struct {
	frame
	N                      int64
	Address, Kind, At      string
	Short, Leaf, Log, Mark string
	Inspection             *sealedView // nil for a record of another kind
	Row                    recordRow
	Later                  []recordRow
	Raw                    string
	CanCorrect             bool
	Text, Notice           string
	Fields                 map[string]string
}

// sealedView is a signed inspection as its page shows it.
type sealedView struct {
	Load, Status, Result string
	Facts                [][2]string
	Sets                 []itemLink
	Wrong                []sealedAnswer
	Places               []sealedPlace
	Answers              int    // how many questions there are
	All                  string // address of all of them, where they are too many for this page; ""
	Remarks              []sealedRemark
	Walk, Tag, Derig     string // addresses
	Counts               bool   // the signature still does
	Why                  []string
}

type sealedPlace struct {
	Title   string
	Answers []sealedAnswer
}

type sealedAnswer struct {
	Part, Ask, Answer, At, Said, After string
	Photos                             []photoLink
}

type sealedRemark struct {
	About, Text string
	Photos      []photoLink
}

type photoLink struct {
	Address string
	N       int
}

// recordNumber is the number in a record's address.
func recordNumber(r *http.Request) (int64, error) {
	n, err := strconv.ParseInt(r.PathValue("n"), 10, 64)
	if err != nil || n < 0 {
		return 0, noRecord
	}
	return n, nil
}

var noRecord = refusal{http.StatusNotFound, "Not there", "There is no record with that number."}

func (s *Server) recordPage(w http.ResponseWriter, r *http.Request) error {
	v := &recordView{}
	if r.URL.Query().Has("corrected") {
		v.Notice = "The correction is sealed as a record of its own."
	}
	return s.record(w, r, http.StatusOK, v)
}

func (s *Server) record(w http.ResponseWriter, r *http.Request, status int, v *recordView) error {
	me, ctx := personOf(r), r.Context()
	n, err := recordNumber(r)
	if err != nil {
		return err
	}
	e, later, err := s.School.Record(ctx, me, n)
	if errors.Is(err, fs.ErrNotExist) {
		return noRecord
	}
	if err != nil {
		return told(err)
	}
	_, _, origin, err := s.School.LogHead(ctx, me)
	if err != nil {
		return told(err)
	}
	v.frame = frame{Title: "Record " + strconv.FormatInt(n, 10), Result: true}
	v.N, v.Address, v.Kind, v.At, v.Short, v.Leaf, v.Log, v.Mark = n, recordURL(n), e.Kind, s.when(e.At), e.Short(), hex.EncodeToString(e.Leaf[:]), origin, e.Mark(origin)
	if v.Row, err = s.recordRow(&e); err != nil {
		return err
	}
	for i := range later {
		row, err := s.recordRow(&later[i])
		if err != nil {
			return err
		}
		v.Later = append(v.Later, row)
	}
	signer := ""
	if e.Kind == app.EntryInspection {
		paper, err := s.paperOf(r, &e, later, origin)
		if err != nil {
			return err
		}
		signer = paper.Inspector.ID
		if v.Inspection, err = s.sealedView(r, paper); err != nil {
			return err
		}
		v.Title = v.Title + " – " + paper.Begin.Load
	} else {
		var b laterBody
		if err := json.Unmarshal(e.Body, &b); err != nil {
			return err
		}
		signer = b.By.ID
	}
	v.CanCorrect = me.ID == signer || me.Is(people.Chief)
	var raw bytes.Buffer
	if err := json.Indent(&raw, e.Line, "", "  "); err != nil {
		return err
	}
	if v.Raw = raw.String(); len(v.Raw) > mostRaw {
		v.Raw = "" // the copy of the log has it
	}
	return s.pages.write(w, status, "record", v)
}

// mostRaw is how long a record may be, in bytes, for its page to show it as it
// was sealed.
const mostRaw = 16 << 10

// answersOnPage is how many questions a page shows.
const answersOnPage = 300

type answersView struct {
	frame
	N               int64
	Load, Status    string
	Record          string // address
	Places          []sealedPlace
	From, To, Count int
	Older           string // address of the next page; "" for none
}

// answersPage shows every answer of a record that has too many for its own page.
func (s *Server) answersPage(w http.ResponseWriter, r *http.Request) error {
	n, err := recordNumber(r)
	if err != nil {
		return err
	}
	from, err := strconv.Atoi(orSay(r.URL.Query().Get("from"), "0"))
	if err != nil || from < 0 {
		return refusal{http.StatusBadRequest, "Not understood", "A list begins at a number."}
	}
	e, later, err := s.School.Record(r.Context(), personOf(r), n)
	if errors.Is(err, fs.ErrNotExist) || err == nil && e.Kind != app.EntryInspection {
		return noRecord
	}
	if err != nil {
		return told(err)
	}
	p, err := s.paperOf(r, &e, later, "")
	if err != nil {
		return err
	}
	all := p.All()
	from = min(from, len(all))
	to := min(from+answersOnPage, len(all))
	v := &answersView{
		frame: frame{Title: "Record " + strconv.FormatInt(n, 10) + ", all answers", Result: true}, N: n, Load: p.Begin.Load, Status: capital(p.Status), Record: recordURL(n),
		Places: s.places(p, all[from:to]), From: from + 1, To: to, Count: len(all),
	}
	if to < len(all) {
		v.Older = recordURL(n) + "/answers?from=" + strconv.Itoa(to)
	}
	return s.pages.write(w, http.StatusOK, "record-answers", v)
}

// correct adds a record that corrects another.
func (s *Server) correct(w http.ResponseWriter, r *http.Request) error {
	if err := parseForm(r); err != nil {
		return err
	}
	n, err := recordNumber(r)
	if err != nil {
		return err
	}
	if r.PostFormValue("do") != "correct" {
		return refusal{http.StatusBadRequest, "Not understood", "The page asked for something that it cannot do."}
	}
	text := r.PostFormValue("text")
	_, err = s.School.Correct(r.Context(), personOf(r), n, text)
	if fields := fieldsOf(err); len(fields) > 0 {
		return s.record(w, r, http.StatusUnprocessableEntity, &recordView{Text: text, Fields: fields})
	}
	var no *app.NotAllowed
	switch {
	case errors.As(err, &no):
		return refusal{http.StatusForbidden, "Not for you", "Who made a record corrects it, or the chief instructor."}
	case errors.Is(err, fs.ErrNotExist):
		return noRecord
	case err != nil:
		return told(err)
	}
	http.Redirect(w, r, recordURL(n)+"?corrected", http.StatusSeeOther)
	return nil
}
