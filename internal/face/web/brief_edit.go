package web

import (
	"fmt"
	"net/http"
	"strings"

	"hangtrue/internal/engine/brief/brieffile"
	"hangtrue/internal/engine/document"
	"hangtrue/internal/face/app"
)

// briefFormView is the form for all that the school enters.
type briefFormView struct {
	rigHead
	Base     string // version that it was begun from; "" for a first one
	Sections []formSectionView
	Rest     []fieldProblem
	Wrong    int
	Kept     []briefKept
	Stop     string // why nothing was saved
}

// briefKept is a value that the form has no field for and sends along.
type briefKept struct{ Name, Value string }

func (s *Server) briefForm(w http.ResponseWriter, r *http.Request) error {
	head, _, err := s.subpage(r, "brief")
	if err != nil {
		return err
	}
	text, err := s.briefText(head.Name)
	if err != nil {
		return err
	}
	v := &briefFormView{rigHead: head}
	var problems []document.Problem
	if text != nil {
		v.Base = app.Version(text)
		_, problems = brieffile.Read(text)
	}
	return s.writeBriefForm(w, http.StatusOK, v, typed(brieffile.Typed(text)), problems)
}

// saveBrief saves what was typed as a new version, or sends the form back with
// all of it and with what is wrong beside it.
func (s *Server) saveBrief(w http.ResponseWriter, r *http.Request) error {
	if err := parseForm(r); err != nil {
		return err
	}
	head, _, err := s.subpage(r, "brief")
	if err != nil {
		return err
	}
	keeper, err := s.keeper(briefTexts)
	if err != nil {
		return err
	}
	v := &briefFormView{rigHead: head, Base: r.PostFormValue("base")}
	data, at := brieffile.Write(postedFields(r.PostForm))
	_, problems := brieffile.Read(data)
	switch {
	case len(data) > app.MostBytes:
		return tooLarge
	case r.PostFormValue("do") == "rows": // only more room is asked for
		return s.writeBriefForm(w, http.StatusOK, v, at, problems)
	case len(problems) > 0:
		v.Stop = "Not saved: " + counted(len(problems), "entry is wrong. It is named below; everything typed is still here.", "entries are wrong. Each is named below; everything typed is still here.")
		return s.writeBriefForm(w, http.StatusUnprocessableEntity, v, at, problems)
	}
	current, saved, err := keeper.Save(head.Name, v.Base, data)
	if err != nil {
		return err
	}
	if !saved {
		v.Stop = fmt.Sprintf("Not saved: version %s was saved by somebody since this form was opened. Both are kept. Save once more to put yours on top of it.", app.ShortVersion(current))
		v.Base = current
		return s.writeBriefForm(w, http.StatusConflict, v, at, nil)
	}
	http.Redirect(w, r, head.Address+"/brief?saved", http.StatusSeeOther)
	return nil
}

func (s *Server) writeBriefForm(w http.ResponseWriter, status int, v *briefFormView, t typed, problems []document.Problem) error {
	v.Script, v.Title, v.Wrong = "brief.js", "What is entered – "+v.RigTitle, len(problems)
	aircraft, err := s.aircraftNames()
	if err != nil {
		return err
	}
	where := placedOf(problems)
	for _, section := range briefSections(aircraft) {
		values := t
		if section.List {
			values = withSpare(t, section)
		}
		x := section.view(values, where)
		x.Was = ""
		for i := range x.Entries {
			e := &x.Entries[i]
			e.New = section.List && i >= t.entries(section.Key)
			for k := range e.Fields {
				field := &e.Fields[k]
				if field.Name == fieldName("authority.rig") {
					field.Example = app.ShortVersion(v.Version) + " is the current one"
				}
			}
		}
		v.Sections = append(v.Sections, x)
	}
	v.Rest = where.rest()
	for _, path := range sortedKeys(t) {
		if strings.HasPrefix(path, "done[") {
			v.Kept = append(v.Kept, briefKept{fieldName(path), t[path]})
		}
	}
	return s.pages.write(w, status, "brief-edit", v)
}

// withSpare gives a list empty entries at its end.
func withSpare(t typed, s formSection) typed {
	out := typed{}
	for k, x := range t {
		out[k] = x
	}
	out[s.path(t.entries(s.Key)+briefSpare-2, s.Field[0].Key)] = ""
	return out
}
