package web

import (
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"hangtrue/internal/engine/inspect"
	"hangtrue/internal/engine/part"
	"hangtrue/internal/paper/closeup"
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/look"
	"hangtrue/internal/paper/draw/svg"
)

// closeupURL is the address of the drawing of a part in one state; "" where
// there is none, and where it would show a plan that is not this rig's. The
// address names all that is drawn, so a browser asks for each once.
func closeupURL(v *inspect.Survey, p *inspect.Part, a *part.Attribute, s *part.State) string {
	figure, ok := v.Figure(p, a, s)
	if !ok {
		return ""
	}
	f, ok := closeup.Find(figure.Name)
	if !ok {
		return ""
	}
	i := slices.IndexFunc(f.Views, func(w closeup.View) bool {
		return slices.ContainsFunc(w.Attributes, func(x closeup.Attribute) bool {
			return x.ID == a.ID && slices.Contains(x.States, figure.Params[x.ID])
		})
	})
	if i < 0 {
		return ""
	}
	q := url.Values{}
	for _, x := range f.Views[i].Attributes {
		if state := figure.Params[x.ID]; slices.Contains(x.States, state) {
			q.Set(x.ID, state)
		}
	}
	for _, n := range f.Views[i].Numbers {
		k, known := plannedNumber(v, p, n.ID)
		if !known || k < n.Least || k > n.Most {
			return ""
		}
		q.Set(n.ID, strconv.Itoa(k))
	}
	return "/closeup/" + url.PathEscape(figure.Name) + "?" + q.Encode()
}

// plannedNumber is the number that the plan has for what a drawing counts: the
// link in the hook of the part's leg, or of the left or right one of its two.
func plannedNumber(v *inspect.Survey, p *inspect.Part, number string) (n int, ok bool) {
	leg := p.On.Leg
	switch number {
	case "left", "right":
		if len(p.Legs) != 2 {
			return 0, false
		}
		scene := inspect.SceneOf(v.Rig, nil)
		y := func(i int) float64 { return scene.Ground(inspect.Place{Leg: p.Legs[i], Along: 1})[1] }
		if leg = p.Legs[1]; (y(0) > y(1)) == (number == "left") {
			leg = p.Legs[0]
		}
	case "planned-count":
	default:
		return 0, false
	}
	l, ok := v.Rig.Leg(leg)
	if !ok || l.Count == nil {
		return 0, false
	}
	return *l.Count, true
}

// closeup draws a part for staff. It names the state in words, so it is no
// picture for a student.
func (s *Server) closeup(w http.ResponseWriter, r *http.Request) error {
	params := map[string]string{}
	for key, values := range r.URL.Query() {
		params[key] = values[0]
	}
	p, err := closeup.Draw(r.PathValue("figure"), params, closeup.Options{Staff: true})
	if err != nil {
		return refusal{http.StatusNotFound, "Not there", "There is no such drawing: " + strings.TrimPrefix(err.Error(), "closeup: ") + "."}
	}
	return writeSVG(w, p, "private, max-age=3600")
}

// nightStyle recolours a drawing that a page shows as an image, where the page's
// own style does not reach it.
var nightStyle = "<style>@media (prefers-color-scheme:dark){" + strings.ReplaceAll(look.DarkCSS(""), "\n", "") + "}</style>"

// writeSVG sends a drawing as a file of its own.
func writeSVG(w http.ResponseWriter, p *draw.Picture, keep string) error {
	text, err := svg.String(p)
	if err != nil {
		return err
	}
	head, body, _ := strings.Cut(text, "\n")
	w.Header().Set("Content-Type", "image/svg+xml")
	w.Header().Set("Cache-Control", keep)
	_, err = w.Write([]byte(head + "\n" + nightStyle + body))
	return err
}
