package web

import (
	"bytes"
	"crypto/sha256"
	"embed"
	"encoding/hex"
	"fmt"
	"io/fs"
	"mime"
	"net/http"
	"path"
	"strings"
	"time"

	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/look"
	"hangtrue/internal/paper/draw/svg"
)

//go:embed assets
var assetFiles embed.FS

// assets are the style, the scripts and the fonts, each under the hash of its
// bytes, so that a browser asks for it once.
type assets struct {
	files map[string][]byte // file → bytes
	hash  string            // of all of them: one folder, so that scripts find each other
}

func newAssets() *assets {
	a := &assets{files: map[string][]byte{}}
	entries, err := fs.ReadDir(assetFiles, "assets")
	if err != nil {
		panic("web: embedded files: " + err.Error())
	}
	for _, e := range entries {
		data, err := assetFiles.ReadFile("assets/" + e.Name())
		if err != nil {
			panic("web: embedded files: " + err.Error())
		}
		a.files[e.Name()] = data
	}
	for _, f := range pageFonts {
		ttf, err := svg.PageFont(f.face)
		if err != nil {
			panic("web: embedded font: " + err.Error())
		}
		a.files[f.file] = ttf
	}
	style := append([]byte(tokens()), a.files["page.css"]...)
	for _, name := range sortedKeys(a.files) {
		if path.Ext(name) == ".css" && name != "page.css" {
			style = append(style, a.files[name]...)
			delete(a.files, name)
		}
	}
	a.files["page.css"] = style
	h := sha256.New()
	for _, name := range sortedKeys(a.files) {
		sum := sha256.Sum256(a.files[name])
		fmt.Fprintf(h, "%s %x\n", name, sum)
	}
	a.hash = hex.EncodeToString(h.Sum(nil))[:16]
	return a
}

// url is the address of a file; it panics for one that is not there.
func (a *assets) url(file string) string {
	if a.files[file] == nil {
		panic("web: there is no asset " + file)
	}
	return "/asset/" + a.hash + "/" + file
}

func (s *Server) asset(w http.ResponseWriter, r *http.Request) error {
	file := r.PathValue("file")
	data := s.assets.files[file]
	if data == nil || r.PathValue("hash") != s.assets.hash {
		return refusal{http.StatusNotFound, "Nothing here", "There is no such file."}
	}
	kind := mime.TypeByExtension(path.Ext(file))
	switch path.Ext(file) { // not left to what the machine has registered
	case ".js":
		kind = "text/javascript; charset=utf-8"
	case ".ttf":
		kind = "font/ttf"
	}
	w.Header().Set("Content-Type", kind)
	w.Header().Set("Cache-Control", "public, max-age=31536000, immutable")
	http.ServeContent(w, r, "", time.Time{}, bytes.NewReader(data))
	return nil
}

var pageFonts = []struct {
	face         draw.Face
	file         string
	family, bold string
}{
	{draw.Sans, "sans.ttf", svg.Family, "normal"},
	{draw.SansBold, "sans-bold.ttf", svg.Family, "bold"},
	{draw.Mono, "mono.ttf", svg.MonoFamily, "normal"},
}

// tokens writes the look as the first rules of the page's style: fonts, colours
// light and dark, and the sizes of type as shares of the body's.
func tokens() string {
	var b strings.Builder
	for _, f := range pageFonts {
		fmt.Fprintf(&b, "@font-face{font-family:%q;font-weight:%s;font-display:swap;src:url(%q) format(\"truetype\")}\n", f.family, f.bold, f.file)
	}
	light, dark := "", ""
	for _, p := range look.Paints() {
		light += fmt.Sprintf("--%s:#%02x%02x%02x;", p.Role, p.Color.R, p.Color.G, p.Color.B)
		d, _ := look.Dark(p.Role)
		dark += fmt.Sprintf("--%s:#%02x%02x%02x;", p.Role, d.R, d.G, d.B)
	}
	sizes := ""
	for _, s := range []struct {
		name string
		mm   float64
	}{
		{"small", look.SizeSmall}, {"body", look.SizeBody}, {"head", look.SizeHead}, {"title", look.SizeTitle}, {"loud", look.SizeLoud},
	} {
		sizes += fmt.Sprintf("--size-%s:%.4grem;", s.name, s.mm/look.SizeBody)
	}
	// One unit of the paper's spacing is a quarter of an em of its body type,
	// and so it is here.
	sizes += fmt.Sprintf("--unit:.25rem;--space:%.3grem;--wide:%.3grem;", look.Space/look.Unit/4, look.Wide/look.Unit/4)
	fmt.Fprintf(&b, ":root{color-scheme:light dark;%s%s--sans:%q,\"DejaVu Sans\",Verdana,sans-serif;--mono:%q,\"DejaVu Sans Mono\",monospace}\n",
		light, sizes, svg.Family, svg.MonoFamily)
	fmt.Fprintf(&b, "@media (prefers-color-scheme:dark){:root{%s}\n%s}\n", dark, look.DarkCSS(""))
	return b.String()
}
