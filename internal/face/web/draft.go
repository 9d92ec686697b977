package web

import (
	"bytes"
	"errors"
	"io/fs"
	"math"
	"net/http"
	"strconv"
	"strings"

	"hangtrue/internal/face/app"
	"hangtrue/internal/paper/picture"
)

// draft is what a rig's page holds: a text, the version it was begun from, the
// count changes that can be taken back, and where the picture is seen from.
// All of it travels with every request.
type draft struct {
	name    string
	data    []byte
	base    string // version that the text was begun from
	current string // version that is in the folder now
	undo    history
	redo    history
	seen    seen
}

// seen is where the picture is seen from and how large it is.
type seen struct {
	Azimuth, Elevation float64 // deg, as in picture.View
	Ground             bool
	Width, Height      float64 // mm
}

// A picture that nobody has asked a size for fits a telephone and a table
// computer; the script asks for the size that there is.
const (
	usualWidth, usualHeight   = 110, 92
	leastSize, mostSize       = 30, 400
	firstView                 = "three-quarter"
	anyAzimuth, highElevation = 360, 90
)

func firstSeen() seen {
	v, _ := picture.Named(firstView)
	return seen{Azimuth: v.Azimuth, Elevation: v.Elevation, Width: usualWidth, Height: usualHeight}
}

// view is the named view, where it is one.
func (s seen) view() picture.View {
	for _, name := range viewNames {
		if v, ok := picture.Named(name); ok && v.Azimuth == s.Azimuth && v.Elevation == s.Elevation {
			return v
		}
	}
	return picture.View{Azimuth: s.Azimuth, Elevation: s.Elevation}
}

var viewNames = []string{"side", "front", "top", "three-quarter"}

// opened is a fresh draft of a rig's current version, or of an older one.
func (s *Server) opened(name, version string) (*draft, error) {
	data, err := s.Keeper.Current(name)
	if err != nil {
		return nil, err
	}
	d := &draft{name: name, data: data, seen: firstSeen()}
	d.current = app.Version(data)
	d.base = d.current
	if version != "" && version != d.current {
		if d.data, err = s.Keeper.Version(name, version); err != nil {
			return nil, err
		}
	}
	return d, nil
}

// posted reads the draft that a page sends.
func (s *Server) posted(r *http.Request) (*draft, error) {
	if err := parseForm(r); err != nil {
		return nil, err
	}
	name := r.PathValue("name")
	d, err := s.opened(name, "")
	if err != nil {
		return nil, err
	}
	kept := d.data
	d.base = r.PostFormValue("base")
	if d.base != d.current {
		if kept, err = s.Keeper.Version(name, d.base); errors.Is(err, fs.ErrNotExist) {
			return nil, refusal{http.StatusBadRequest, "Not understood", "The page was begun from a version that is not kept here. Copy your text and open the rig again."}
		} else if err != nil {
			return nil, err
		}
	}
	if !r.PostForm.Has("text") {
		return nil, refusal{http.StatusBadRequest, "Not understood", "The page sent no text."}
	}
	d.data = withLineEnds(r.PostFormValue("text"), kept)
	if len(d.data) > app.MostBytes {
		return nil, tooLarge
	}
	d.undo, d.redo = readHistory(r.PostFormValue("undo")), readHistory(r.PostFormValue("redo"))
	number := func(key string, usual, least, most float64) float64 {
		x, err := strconv.ParseFloat(r.PostFormValue(key), 64)
		if err != nil || math.IsNaN(x) {
			return usual
		}
		return min(max(x, least), most)
	}
	first := firstSeen()
	d.seen = seen{
		Azimuth:   math.Mod(number("azimuth", first.Azimuth, -1e6, 1e6), anyAzimuth),
		Elevation: number("elevation", first.Elevation, -highElevation, highElevation),
		Ground:    r.PostFormValue("ground") == "yes",
		Width:     number("width", usualWidth, leastSize, mostSize),
		Height:    number("height", usualHeight, leastSize, mostSize),
	}
	return d, nil
}

func parseForm(r *http.Request) error {
	// What is wrong with a form that has no files, ParseMultipartForm forgets.
	err := r.ParseForm()
	if err == nil {
		err = r.ParseMultipartForm(2 * mostBody)
	}
	var large *http.MaxBytesError
	switch {
	case err == nil || errors.Is(err, http.ErrNotMultipart):
		return nil
	case errors.As(err, &large) || strings.Contains(err.Error(), "message too large"):
		return tooLarge
	}
	return refusal{http.StatusBadRequest, "Not understood", "What was sent is not the form of this page."}
}

// withLineEnds gives the text the line ends of the version it was begun from:
// browsers send every line with a carriage return.
func withLineEnds(text string, kept []byte) []byte {
	text = strings.ReplaceAll(text, "\r\n", "\n")
	if strings.ReplaceAll(string(kept), "\r\n", "\n") == text {
		return bytes.Clone(kept)
	}
	if bytes.Contains(kept, []byte("\r\n")) {
		text = strings.ReplaceAll(text, "\n", "\r\n")
	}
	return []byte(text)
}

// step is what one press changed: a leg, or the legs of a group.
type step []app.CountChange

// history is the steps that can be taken back, the latest last.
type history []step

// mostSteps that are remembered.
const mostSteps = 50

func (h history) with(s step) history {
	h = append(h[:len(h):len(h)], s)
	if len(h) > mostSteps {
		h = h[len(h)-mostSteps:]
	}
	return h
}

// String writes the history for the page: FL:10>11,FR:10>11;RL:4>5.
func (h history) String() string {
	var b strings.Builder
	for i, s := range h {
		if i > 0 {
			b.WriteByte(';')
		}
		for k, c := range s {
			if k > 0 {
				b.WriteByte(',')
			}
			b.WriteString(c.Leg + ":" + strconv.Itoa(c.From) + ">" + strconv.Itoa(c.To))
		}
	}
	return b.String()
}

// readHistory reads what String wrote; what it does not understand is left out.
func readHistory(text string) history {
	var h history
	for part := range strings.SplitSeq(text, ";") {
		var s step
		for one := range strings.SplitSeq(part, ",") {
			leg, counts, ok1 := strings.Cut(one, ":")
			from, to, ok2 := strings.Cut(counts, ">")
			a, err1 := strconv.Atoi(from)
			b, err2 := strconv.Atoi(to)
			if ok1 && ok2 && err1 == nil && err2 == nil {
				s = append(s, app.CountChange{Leg: leg, From: a, To: b})
			}
		}
		if len(s) > 0 {
			h = h.with(s)
		}
	}
	return h
}
