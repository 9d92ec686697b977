package web

import (
	"bufio"
	"net/http"
	"net/url"

	"hangtrue/internal/face/app"
	"hangtrue/internal/paper/results"
)

func (s *Server) resultsStamp() results.Stamp {
	return results.Stamp{Date: s.Now().Format("2006-01-02 15:04"), Tool: s.Tool}
}

// reportPaper sends the report as a PDF.
func (s *Server) reportPaper(w http.ResponseWriter, r *http.Request) error {
	d, _, err := s.resultsDesk(r)
	if err != nil {
		return err
	}
	data, err := d.ReportPaper(s.School.title(), s.resultsStamp())
	if err != nil {
		return err
	}
	return sendPDF(w, "report-"+s.Now().Format("2006-01-02")+".pdf", data)
}

// studentResults sends what a student found and missed as a PDF.
func (s *Server) studentResults(w http.ResponseWriter, r *http.Request) error {
	d, _, err := s.resultsDesk(r)
	if err != nil {
		return err
	}
	student := r.PathValue("student")
	if _, ok := d.Class.Student(student); !ok {
		return refusal{http.StatusNotFound, "Not there", "That student is not in this class."}
	}
	data, err := d.StudentPaper(s.School.title(), student, s.resultsStamp())
	if err != nil {
		return err
	}
	return sendPDF(w, "found-and-missed.pdf", data)
}

// resultsTable sends all results as a table.
func (s *Server) resultsTable(w http.ResponseWriter, r *http.Request) error {
	d, _, err := s.resultsDesk(r)
	if err != nil {
		return err
	}
	attached(w, "text/csv; charset=utf-8", "results-"+s.Now().Format("2006-01-02")+".csv")
	out := bufio.NewWriter(w)
	if err := d.WriteCSV(out); err != nil {
		return err
	}
	return out.Flush()
}

// statements sends all results as xAPI statements. Names stand in them only
// where the address asks for them.
func (s *Server) statements(w http.ResponseWriter, r *http.Request) error {
	d, _, err := s.resultsDesk(r)
	if err != nil {
		return err
	}
	attached(w, "application/json", "statements-"+s.Now().Format("2006-01-02")+".json")
	out := bufio.NewWriter(w)
	if err := d.WriteXAPI(out, app.XAPIAsk{Origin: s.origin(r), Names: r.URL.Query().Get("names") == "yes"}); err != nil {
		return err
	}
	return out.Flush()
}

func attached(w http.ResponseWriter, kind, file string) {
	h := w.Header()
	h.Set("Content-Type", kind)
	h.Set("Content-Disposition", "attachment; filename*=UTF-8''"+url.PathEscape(file))
}
