package web

import (
	"errors"
	"io"
	"net/http"
	"strconv"
	"strings"

	"golang.org/x/mod/sumdb/note"

	"hangtrue/internal/engine/record"
	"hangtrue/internal/face/app"
)

type verifyView struct {
	frame
	Heads, Mark string // as pasted
	Fields      map[string]string
	Asked       bool
	Fault       string // what is not as it was sealed
	Size        int64
	Against     string
	Paper       string // what a paper's mark comes to
	PaperFault  string
	Head        string // the newest signed head
	Day         string
}

func (s *Server) verifyPage(w http.ResponseWriter, r *http.Request) error {
	return s.writeVerify(w, r, http.StatusOK, &verifyView{})
}

func (s *Server) writeVerify(w http.ResponseWriter, r *http.Request, status int, v *verifyView) error {
	head, _, _, err := s.School.LogHead(r.Context(), personOf(r))
	if err != nil {
		return told(err)
	}
	v.frame, v.Head, v.Day = frame{Title: "Check the records"}, string(head), string(s.today())
	return s.pages.write(w, status, "records-verify", v)
}

// verify reads the whole log and holds it against heads that were kept
// elsewhere.
func (s *Server) verify(w http.ResponseWriter, r *http.Request) error {
	if err := parseForm(r); err != nil {
		return err
	}
	v := &verifyView{Heads: r.PostFormValue("heads"), Mark: strings.TrimSpace(r.PostFormValue("mark")), Asked: true, Fields: map[string]string{}}
	texts := []string{v.Heads}
	if r.MultipartForm != nil {
		for _, f := range r.MultipartForm.File["file"] {
			in, err := f.Open()
			if err != nil {
				return err
			}
			text, err := io.ReadAll(in)
			in.Close()
			if err != nil {
				return err
			}
			texts = append(texts, string(text))
		}
	}
	_, key, _, err := s.School.LogHead(r.Context(), personOf(r))
	if err != nil {
		return told(err)
	}
	verifier, err := note.NewVerifier(strings.TrimSpace(key))
	if err != nil {
		return err
	}
	var heads [][]byte
	for _, text := range texts {
		for _, one := range headsIn(text) {
			if _, err := record.OpenHead(one, verifier); err != nil {
				v.Fields["heads"] = "This is no head that the school's key has signed: " + strings.TrimPrefix(err.Error(), "record: ") + "."
				v.Asked = false
				return s.writeVerify(w, r, http.StatusUnprocessableEntity, v)
			}
			heads = append(heads, one)
		}
	}
	found, err := s.School.VerifyLog(r.Context(), personOf(r), heads...)
	var fault *record.Fault
	switch {
	case errors.As(err, &fault):
		v.Fault = capital(strings.TrimPrefix(fault.Error(), "record: ")) + "."
	case err != nil:
		return told(err)
	}
	v.Size = found.Size
	v.Against = "No head that was kept elsewhere was given, so this shows only that the log agrees with itself."
	if n := len(heads); n > 0 {
		v.Against = "Held against " + counted(n, "head", "heads") + " kept elsewhere."
	}
	if v.Mark != "" && v.Fault == "" {
		if err := s.verifyMark(r, v); err != nil {
			return err
		}
	}
	return s.writeVerify(w, r, http.StatusOK, v)
}

// verifyMark holds a printed record's mark against the log.
func (s *Server) verifyMark(r *http.Request, v *verifyView) error {
	copied, err := s.School.LogCopy(r.Context(), personOf(r))
	if err != nil {
		return told(err)
	}
	e, err := app.VerifyMark(copied, v.Mark)
	var fault *record.Fault
	switch {
	case errors.As(err, &fault):
		v.PaperFault = capital(strings.TrimPrefix(fault.Error(), "record: ")) + "."
	case err != nil:
		v.Fields["mark"] = "This is no mark of a printed record."
	default:
		v.Paper = recordURL(e.N)
	}
	return nil
}

// headsIn takes signed heads apart that stand one after another: each ends with
// its lines of signatures.
func headsIn(text string) [][]byte {
	var out [][]byte
	var one strings.Builder
	signed := false
	flush := func() {
		if strings.TrimSpace(one.String()) != "" {
			out = append(out, []byte(one.String()))
		}
		one.Reset()
		signed = false
	}
	for line := range strings.Lines(strings.ReplaceAll(text, "\r\n", "\n")) {
		line = strings.TrimRight(line, " \t\n")
		signature := strings.HasPrefix(line, "— ")
		if signed && !signature {
			flush()
		}
		if line == "" && one.Len() == 0 {
			continue
		}
		one.WriteString(line + "\n")
		signed = signature
	}
	flush()
	return out
}

// logCopy sends a copy of the log under the name that the command line's help
// uses.
func (s *Server) logCopy(w http.ResponseWriter, r *http.Request) error {
	data, err := s.School.LogCopy(r.Context(), personOf(r))
	if err != nil {
		return told(err)
	}
	return sendAs(w, "text/plain; charset=utf-8", "records.log", data)
}

func (s *Server) logHead(w http.ResponseWriter, r *http.Request) error {
	head, _, _, err := s.School.LogHead(r.Context(), personOf(r))
	if err != nil {
		return told(err)
	}
	size := strings.Split(string(head), "\n")[1]
	if _, err := strconv.ParseInt(size, 10, 64); err != nil {
		return err
	}
	return sendAs(w, "text/plain; charset=utf-8", "head-"+string(s.today())+"-"+size+".txt", head)
}

func (s *Server) logKey(w http.ResponseWriter, r *http.Request) error {
	_, key, _, err := s.School.LogHead(r.Context(), personOf(r))
	if err != nil {
		return told(err)
	}
	return sendAs(w, "text/plain; charset=utf-8", "records.key", []byte(strings.TrimSpace(key)+"\n"))
}
