package web

import (
	"bufio"
	"io"
	"net/http"
	"net/url"
	"time"

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

// resultsExport opens the results that a request wants written out; none are read
// yet.
func (s *Server) resultsExport(r *http.Request) (d *app.ResultDesk, err error) {
	if class := r.PathValue("class"); class != "" {
		d, err = s.School.ClassExport(r.Context(), personOf(r), class)
		return d, classRefusal(err)
	}
	from, err := countFrom(r)
	if err != nil {
		return nil, err
	}
	d, err = s.School.SchoolExport(r.Context(), personOf(r), from)
	return d, classRefusal(err)
}

// resultsTable sends all results as a table.
func (s *Server) resultsTable(w http.ResponseWriter, r *http.Request) error {
	d, err := s.resultsExport(r)
	if err != nil {
		return err
	}
	return s.streamed(w, "text/csv; charset=utf-8", forStaff("results", d), ".csv", func(out io.Writer) error { return d.WriteCSV(r.Context(), out) })
}

// statements sends all results as xAPI statements. Names stand in them only
// where the address asks for them.
func (s *Server) statements(w http.ResponseWriter, r *http.Request) error {
	d, err := s.resultsExport(r)
	if err != nil {
		return err
	}
	w.Header().Set("X-Experience-API-Version", app.XAPIVersion)
	ask := app.XAPIAsk{Origin: s.origin(r), Names: r.URL.Query().Get("names") == "yes"}
	return s.streamed(w, "application/json", forStaff("statements", d), ".json", func(out io.Writer) error { return d.WriteXAPI(r.Context(), out, ask) })
}

// forStaff marks the name of a file that says what is planted where the key was
// not shown yet.
func forStaff(name string, d *app.ResultDesk) string {
	if d.Hidden() > 0 {
		return name + "-NOT-FOR-STUDENTS"
	}
	return name
}

// streamed sends a file while it is made. What fails once some of it is sent
// breaks the connection off, so that half a file is not taken for the whole.
func (s *Server) streamed(w http.ResponseWriter, kind, name, ending string, write func(io.Writer) error) error {
	// Longer than other answers may take: it may be ten years of results.
	if err := http.NewResponseController(w).SetWriteDeadline(time.Now().Add(30 * time.Minute)); err != nil {
		s.Log.Info("a file is sent within the time of other answers", "reason", err)
	}
	attached(w, kind, name+"-"+s.Now().Format("2006-01-02")+ending)
	sent := &sentOnce{w: w}
	out := bufio.NewWriterSize(sent, 64<<10)
	err := write(out)
	if err == nil {
		err = out.Flush()
	}
	if err != nil && sent.begun {
		s.Log.Error("a file was broken off", "file", name, "error", err)
		panic(http.ErrAbortHandler)
	}
	if err != nil {
		w.Header().Del("Content-Disposition")
	}
	return err
}

// sentOnce remembers whether anything was sent.
type sentOnce struct {
	w     io.Writer
	begun bool
}

func (o *sentOnce) Write(p []byte) (int, error) {
	o.begun = true
	return o.w.Write(p)
}

func attached(w http.ResponseWriter, kind, file string) {
	h := w.Header()
	h.Set("Content-Type", kind)
	h.Set("Content-Disposition", "attachment; filename*=UTF-8''"+url.PathEscape(file))
}
