package web

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"io/fs"
	"net/http"
	"path"
	"slices"
	"strings"
	"time"

	"hangtrue/docs"
)

// docsIndexPage is the list of all documents, or what a search found.
type docsIndexPage struct {
	frame
	Asked  string // as typed
	Groups []docGroup
	Found  []docFound
	More   int // pages found and not shown
}

// docsOnePage is one document.
type docsOnePage struct {
	frame
	Asked string
	Doc   *docPage
	Group string
	Shelf []pageLink // the pages of its group
}

func (s *Server) docsIndex(w http.ResponseWriter, r *http.Request) error {
	l := theLibrary()
	p := &docsIndexPage{frame: frame{Title: "Help", Result: true}, Asked: strings.TrimSpace(r.FormValue("q"))}
	found, words, more := l.search(p.Asked)
	if words == nil {
		p.Asked, p.Groups = "", l.groups
		return s.pages.write(w, http.StatusOK, "docs", p)
	}
	p.Title, p.Found, p.More = "Search: "+p.Asked, found, more
	return s.pages.write(w, http.StatusOK, "docs", p)
}

func (s *Server) docsPage(w http.ResponseWriter, r *http.Request) error {
	name := r.PathValue("page")
	address := path.Join("/docs", strings.TrimSuffix(name, ".md"))
	if path.Base(address) == "README" {
		address = path.Dir(address)
	}
	if kind := docFileKinds[path.Ext(name)]; kind != "" {
		return docFile(w, r, name, kind)
	}
	l := theLibrary()
	found := l.address[address]
	switch {
	case found == nil:
		return refusal{http.StatusNotFound, "Nothing here", "There is no such document. The list of all is at /docs."}
	case address != r.URL.Path || found.file == docsIndexFile: // another spelling of the address
		http.Redirect(w, r, address, http.StatusMovedPermanently)
		return nil
	}
	p := &docsOnePage{frame: frame{Title: found.Title, Result: true}, Doc: found, Group: groupOf(found.file)}
	i := slices.IndexFunc(l.groups, func(g docGroup) bool { return g.Name == p.Group })
	for _, other := range l.groups[i].Pages {
		p.Shelf = append(p.Shelf, pageLink{other.Address, other.Title, other == found})
	}
	return s.pages.write(w, http.StatusOK, "docs-page", p)
}

// docFileKinds are the files beside the documents that are served as they are.
var docFileKinds = map[string]string{
	".svg": "image/svg+xml",
	".png": "image/png",
	".txt": "text/plain; charset=utf-8",
}

// pictureStyle lets a picture carry the style and the font that its file has in
// it, and still nothing from elsewhere.
const pictureStyle = "default-src 'none'; style-src 'unsafe-inline'; font-src data:; img-src data:; frame-ancestors 'none'"

func docFile(w http.ResponseWriter, r *http.Request, name, kind string) error {
	if !fs.ValidPath(name) {
		return refusal{http.StatusNotFound, "Nothing here", "There is no such file."}
	}
	data, err := docs.Files.ReadFile(name)
	if err != nil {
		return refusal{http.StatusNotFound, "Nothing here", "There is no such file."}
	}
	sum := sha256.Sum256(data)
	h := w.Header()
	h.Set("Content-Type", kind)
	h.Set("Cache-Control", "no-cache") // kept, and asked for again by its tag
	h.Set("ETag", `"`+hex.EncodeToString(sum[:8])+`"`)
	if kind == "image/svg+xml" {
		h.Set("Content-Security-Policy", pictureStyle)
	}
	http.ServeContent(w, r, "", time.Time{}, bytes.NewReader(data))
	return nil
}
