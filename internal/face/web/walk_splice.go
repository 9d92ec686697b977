package web

import (
	"encoding/json"
	"slices"
	"strings"
)

// splice is one change of a text that can be taken back: where now there are
// some lines, others stood.
type splice struct {
	At  int      `json:"at"`  // the first line, from 0
	Now int      `json:"now"` // how many lines stand there
	Was []string `json:"was"`
}

// spliced is the change from one text to another.
func spliced(from, to string) splice {
	a, b := strings.Split(from, "\n"), strings.Split(to, "\n")
	start := 0
	for start < len(a) && start < len(b) && a[start] == b[start] {
		start++
	}
	end := 0
	for end < len(a)-start && end < len(b)-start && a[len(a)-1-end] == b[len(b)-1-end] {
		end++
	}
	return splice{At: start, Now: len(b) - start - end, Was: slices.Clone(a[start : len(a)-end])}
}

// back takes the change back. ok is false where the text is not the one that it
// led to.
func (s splice) back(text string) (was string, ok bool) {
	lines := strings.Split(text, "\n")
	if s.At < 0 || s.Now < 0 || s.At > len(lines) || s.Now > len(lines)-s.At {
		return text, false
	}
	return strings.Join(slices.Replace(lines, s.At, s.At+s.Now, s.Was...), "\n"), true
}

// splices are the changes that can be taken back, the latest last.
type splices []splice

// mostSplices and mostSplicedBytes bound what travels with every request.
const (
	mostSplices      = 40
	mostSplicedBytes = 40 << 10
)

func (h splices) with(s splice) splices {
	h = append(h[:len(h):len(h)], s)
	for len(h) > 1 && (len(h) > mostSplices || len(h.String()) > mostSplicedBytes) {
		h = h[1:]
	}
	return h
}

// String writes the changes for the page; "" is none.
func (h splices) String() string {
	if len(h) == 0 {
		return ""
	}
	text, err := json.Marshal(h)
	if err != nil {
		panic("web: a text that JSON cannot hold: " + err.Error())
	}
	return string(text)
}

// readSplices reads what String wrote; what it does not understand is none.
func readSplices(text string) splices {
	var h splices
	if json.Unmarshal([]byte(text), &h) != nil {
		return nil
	}
	return h
}
