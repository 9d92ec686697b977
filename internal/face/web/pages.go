package web

import (
	"bytes"
	"cmp"
	"embed"
	"encoding/json"
	"fmt"
	"html/template"
	"maps"
	"net/http"
	"slices"

	"hangtrue/internal/engine/rig"
)

//go:embed templates/*.gohtml
var templateFiles embed.FS

// frame is what the layout of every page needs. A page embeds it.
type frame struct {
	Title   string
	Result  bool // the page carries a result, so the caution stands on it
	Script  string
	Caution string
	Style   string
	Icon    string
	Top     []pageLink    // to the pages that belong to no rig
	Who     string        // is signed in
	Reads   bool          // who asks may not change what is kept of rigs
	School  string        // its name
	Inside  template.HTML // the page itself, which the layout goes around
}

// framed is a page of the shared layout.
type framed interface{ inFrame() *frame }

func (f *frame) inFrame() *frame { return f }

// pages are the templates.
type pages struct {
	assets *assets
	all    *template.Template
	shown  shown
}

func newPages(a *assets) *pages {
	functions := template.FuncMap{"short": func(v string) string { return v[:min(8, len(v))] }}
	return &pages{assets: a, all: template.Must(template.New("").Funcs(functions).Option("missingkey=error").ParseFS(templateFiles, "templates/*.gohtml"))}
}

// write sends a page. Nothing is sent where the template fails. What a form
// changed is shown by a page of its own, see [afterwards].
func (p *pages) write(w http.ResponseWriter, status int, name string, page any) error {
	if f, ok := page.(framed); ok {
		if a, ok := w.(*answered); ok {
			f.inFrame().top(a.school, a.person)
		}
	}
	text, err := p.render(name, page)
	if err != nil {
		return err
	}
	if a, ok := w.(*answered); ok && status == http.StatusOK && a.sendOn(p, text) {
		return nil
	}
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	w.WriteHeader(status)
	_, err = w.Write(text)
	return err
}

// render renders a page and the layout around it. They are two templates, one
// after the other: the templates with the layout in each of them, one for every
// page, take 100 MB.
func (p *pages) render(name string, page any) ([]byte, error) {
	f, ok := page.(framed)
	if !ok {
		return nil, fmt.Errorf("web: page %s has no frame", name)
	}
	in := f.inFrame()
	in.Style, in.Icon, in.Caution = p.assets.url("page.css"), p.assets.url("icon.svg"), rig.Caution
	if in.Script != "" {
		in.Script = p.assets.url(in.Script)
	}
	inside, err := p.part(name, page)
	if err != nil {
		return nil, err
	}
	in.Inside = template.HTML(inside) // escaped by its own template
	whole, err := p.part("layout", page)
	return []byte(whole), err
}

// part renders one part of a page alone.
func (p *pages) part(name string, page any) (string, error) {
	var b bytes.Buffer
	if err := p.all.ExecuteTemplate(&b, name, page); err != nil {
		return "", fmt.Errorf("web: part %s: %w", name, err)
	}
	return b.String(), nil
}

func writeJSON(w http.ResponseWriter, status int, value any) {
	text, err := json.Marshal(value)
	if err != nil {
		panic("web: a value of our own is no JSON: " + err.Error())
	}
	w.Header().Set("Content-Type", "application/json")
	w.WriteHeader(status)
	w.Write(text) // the browser is gone; the log has the bytes
}

func sortedKeys[K cmp.Ordered, V any](m map[K]V) []K { return slices.Sorted(maps.Keys(m)) }
