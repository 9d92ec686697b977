package web

import (
	"bytes"
	"cmp"
	"embed"
	"encoding/json"
	"fmt"
	"html/template"
	"io/fs"
	"maps"
	"net/http"
	"slices"
	"strings"

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
	Top     []pageLink // to the pages that belong to no rig
	Who     string     // is signed in
	School  string     // its name
}

// framed is a page of the shared layout.
type framed interface{ inFrame() *frame }

func (f *frame) inFrame() *frame { return f }

// pages are the templates.
type pages struct {
	assets *assets
	all    *template.Template
	layout map[string]*template.Template // the layout around each page's content
}

// pageNames are the pages: templates that the layout goes around. A file in
// templates is one, unless it is the layout or begins with "shared-".
func pageNames() []string {
	entries, err := fs.ReadDir(templateFiles, "templates")
	if err != nil {
		panic("web: embedded files: " + err.Error())
	}
	var names []string
	for _, e := range entries {
		name := strings.TrimSuffix(e.Name(), ".gohtml")
		if name != "layout" && !strings.HasPrefix(name, "shared-") {
			names = append(names, name)
		}
	}
	return names
}

func newPages(a *assets) *pages {
	functions := template.FuncMap{"short": func(v string) string { return v[:min(8, len(v))] }}
	all := template.Must(template.New("").Funcs(functions).Option("missingkey=error").ParseFS(templateFiles, "templates/*.gohtml"))
	p := &pages{assets: a, all: all, layout: map[string]*template.Template{}}
	for _, name := range pageNames() {
		t := template.Must(all.Clone())
		p.layout[name] = template.Must(t.New("content").Parse(`{{template "` + name + `" .}}`))
	}
	return p
}

// write sends a page. Nothing is sent where the template fails.
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
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	w.WriteHeader(status)
	_, err = w.Write(text)
	return err
}

func (p *pages) render(name string, page any) ([]byte, error) {
	if f, ok := page.(framed); ok {
		in := f.inFrame()
		in.Style, in.Icon, in.Caution = p.assets.url("page.css"), p.assets.url("icon.svg"), rig.Caution
		if in.Script != "" {
			in.Script = p.assets.url(in.Script)
		}
	} else {
		return nil, fmt.Errorf("web: page %s has no frame", name)
	}
	var b bytes.Buffer
	if err := p.layout[name].ExecuteTemplate(&b, "layout", page); err != nil {
		return nil, fmt.Errorf("web: page %s: %w", name, err)
	}
	return b.Bytes(), nil
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
