package web

import (
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"net/http"

	"hangtrue/internal/engine/inspection"
)

// unsent is what a tablet could not send, as it writes it to a file, format
// hangtrue.unsent/1.
type unsent struct {
	Format string             `json:"format"`
	Made   string             `json:"made"` // by the tablet's clock
	Events []inspection.Event `json:"events"`
	Photos []unsentPhoto      `json:"photos"`
}

type unsentPhoto struct {
	Hash string `json:"hash"`
	Data []byte `json:"data"` // base64
}

const unsentFormat = "hangtrue.unsent/1"

type importView struct {
	frame
	Done    bool
	Taken   int
	Photos  int
	Refused []takenOutcome
	Problem string
}

func (s *Server) importPage(w http.ResponseWriter, r *http.Request) error {
	return s.pages.write(w, http.StatusOK, "inspect-import", &importView{frame: frame{Title: "A tablet’s entries", Script: "inspect-import.js"}})
}

// takeImport takes a tablet's file in. A script sends a large one in pieces, each
// of this format; without it a file of up to a mebibyte is taken.
func (s *Server) takeImport(w http.ResponseWriter, r *http.Request) error {
	v := &importView{frame: frame{Title: "A tablet’s entries", Script: "inspect-import.js"}, Done: true}
	status := http.StatusOK
	switch err := s.takeFile(r, v); {
	case errors.Is(err, errNoFile):
		v.Problem, v.Done, status = capital(err.Error())+".", false, http.StatusUnprocessableEntity
	case errors.Is(err, fs.ErrNotExist):
		v.Problem, status = "Entries are of a person whom this school does not have. Nothing of that person was taken.", http.StatusUnprocessableEntity
	case err != nil:
		return told(err)
	}
	if wantsJSON(r) {
		if v.Problem != "" {
			writeJSON(w, status, map[string]string{"refused": v.Problem})
			return nil
		}
		if v.Refused == nil {
			v.Refused = []takenOutcome{}
		}
		writeJSON(w, status, map[string]any{"taken": v.Taken, "photos": v.Photos, "refused_entries": v.Refused})
		return nil
	}
	return s.pages.write(w, status, "inspect-import", v)
}

var errNoFile = errors.New("this is no file of entries that a tablet wrote, format " + unsentFormat)

func (s *Server) takeFile(r *http.Request, v *importView) error {
	if err := parseForm(r); err != nil {
		return err
	}
	file, _, err := r.FormFile("file")
	if err != nil {
		return errNoFile
	}
	defer file.Close()
	var in unsent
	if err := json.NewDecoder(file).Decode(&in); err != nil || in.Format != unsentFormat || compacted(in.Events) != nil {
		return errNoFile
	}
	if err := checkDelivered(in.Events); err != nil {
		return err
	}
	for _, p := range in.Photos {
		hash, err := s.School.AddPhoto(r.Context(), personOf(r), p.Data)
		if err != nil {
			return err
		}
		if p.Hash != hash {
			return fmt.Errorf("%w; a photo in it is damaged", errNoFile)
		}
		v.Photos++
	}
	out, err := s.School.DeliverFile(r.Context(), personOf(r), in.Events)
	for _, o := range outcomes(out) {
		if o.Refused == "" {
			v.Taken++
			continue
		}
		v.Refused = append(v.Refused, o)
	}
	return err
}
