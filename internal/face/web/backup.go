package web

import (
	"fmt"
	"io"
	"net/http"
	"strconv"
	"time"

	"hangtrue/internal/face/app"
)

// backupFile makes a checked copy of the school and gives it out. It is noted as
// made when all of it was sent.
func (s *Server) backupFile(w http.ResponseWriter, r *http.Request) error {
	if err := parseForm(r); err != nil {
		return err
	}
	sent := false
	err := s.School.Backup(r.Context(), personOf(r), func(f io.Reader, c app.BackupContents) error {
		// Longer than other answers may take: it is the whole school.
		if err := http.NewResponseController(w).SetWriteDeadline(time.Now().Add(30 * time.Minute)); err != nil {
			s.Log.Info("a backup is sent within the time of other answers", "reason", err)
		}
		h := w.Header()
		h.Set("Content-Type", "application/octet-stream")
		h.Set("Content-Disposition", fmt.Sprintf(`attachment; filename="school-%s.db"`, s.Now().Format("2006-01-02-1504")))
		h.Set("Content-Length", strconv.FormatInt(c.Bytes, 10))
		sent = true
		_, err := io.Copy(w, f)
		return err
	})
	if err != nil && sent {
		s.Log.Error("a backup was not sent or not noted", "error", err)
		panic(http.ErrAbortHandler) // the browser must not take half a file for a whole one
	}
	return told(err)
}

// backupView is what pages say of the last backup.
type backupView struct {
	Made string // when; "" for never
	Days string // how long ago
	Due  bool
	Most int // days without one, before it is due
}

func (s *Server) lastBackup(r *http.Request, settings *app.Settings) (*backupView, error) {
	b, err := s.School.LastBackup(r.Context(), settings)
	if err != nil {
		return nil, err
	}
	v := &backupView{Due: b.Due, Most: settings.BackupDays}
	if !b.At.IsZero() {
		v.Made = s.when(b.At)
		switch b.Days {
		case 0:
			v.Days = "less than a day ago"
		case 1:
			v.Days = "one day ago"
		default:
			v.Days = strconv.Itoa(b.Days) + " days ago"
		}
	}
	return v, nil
}
