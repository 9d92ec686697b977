package web

import (
	"cmp"
	"fmt"
	"html/template"
	"io/fs"
	"path"
	"slices"
	"strings"
	"sync"

	"hangtrue/docs"
)

// docPage is one document as the pages show it.
type docPage struct {
	file     string // in the folder of documents: jobs/faults.md
	Address  string // on this server: /docs/jobs/faults
	Title    string
	Lead     string // its first paragraph, as plain text
	Body     template.HTML
	Sections []docSection // headings of the second level
	Words    []docWord    // of the glossary, that it uses
	blocks   []docBlock
	links    []docLink
	anchors  []string
}

type docSection struct{ Anchor, Words string }

// docBlock is a piece that a search finds: a paragraph, a row of a table, an
// item, a heading, a block of code.
type docBlock struct {
	anchor  string // of the heading above it; "" above the first
	heading string
	text    string
	plain   string // for comparing
	kind    blockKind
}

// blockKind is what a block is, in the order in which a search shows them.
type blockKind int

const (
	proseBlock blockKind = iota
	codeBlock
	headBlock
)

// docLink is a link as written, with what it comes to.
type docLink struct {
	written, address string
	file, anchor     string // of ours; "" where it leads elsewhere
	picture          bool
}

// docGroup is a shelf of documents.
type docGroup struct {
	Name  string
	Pages []*docPage
}

// library is all documents.
type library struct {
	groups  []docGroup
	pages   map[string]*docPage // by file
	address map[string]*docPage // by address
	words   []docWord
}

// docGroups are the shelves in their order: what a person comes for first stands
// first. The folder "" is everything beside the folders.
var docGroups = []struct{ folder, name string }{
	{"jobs", "Doing a job"},
	{"", "Looking something up"},
	{"method", "How it is computed"},
	{"formats", "Files"},
	{"decisions", "Why it is built so"},
}

// theLibrary reads the documents once; they are part of the program.
var theLibrary = sync.OnceValue(func() *library {
	l, err := readLibrary(docs.Files)
	if err != nil {
		panic("web: embedded documents: " + err.Error())
	}
	return l
})

const docsIndexFile = "README.md"

// readLibrary reads all documents of a folder.
func readLibrary(files fs.FS) (*library, error) {
	l := &library{pages: map[string]*docPage{}, address: map[string]*docPage{}}
	err := fs.WalkDir(files, ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || path.Ext(name) != ".md" {
			return err
		}
		text, err := fs.ReadFile(files, name)
		if err != nil {
			return err
		}
		p, words, err := readDocument(name, text)
		if err != nil {
			return fmt.Errorf("%s: %w", name, err)
		}
		l.pages[name], l.address[p.Address] = p, p
		if len(words) > 0 {
			l.words = words
		}
		return nil
	})
	if err != nil {
		return nil, err
	}
	for _, p := range l.pages {
		p.Words = l.wordsOf(p)
	}
	l.shelve()
	return l, nil
}

// shelve puts the pages into their groups: those that the index names in its
// order, then all others by title.
func (l *library) shelve() {
	rank := map[string]int{}
	if index := l.pages[docsIndexFile]; index != nil {
		for _, link := range index.links {
			if _, seen := rank[link.file]; !seen && link.file != "" {
				rank[link.file] = len(rank) - len(l.pages) // before the unranked, which have 0
			}
		}
	}
	for _, g := range docGroups {
		group := docGroup{Name: g.name}
		for file, p := range l.pages {
			if groupOf(file) == g.name && file != docsIndexFile {
				group.Pages = append(group.Pages, p)
			}
		}
		slices.SortFunc(group.Pages, func(a, b *docPage) int {
			return cmp.Or(cmp.Compare(rank[a.file], rank[b.file]), strings.Compare(a.Title, b.Title))
		})
		if len(group.Pages) > 0 {
			l.groups = append(l.groups, group)
		}
	}
}

// groupOf is the name of the shelf that a file stands on.
func groupOf(file string) string {
	folder, _, inFolder := strings.Cut(file, "/")
	other := ""
	for _, g := range docGroups {
		switch {
		case inFolder && g.folder == folder:
			return g.name
		case g.folder == "":
			other = g.name
		}
	}
	return other
}

// docsAddress is where a file of the documents stands on this server.
func docsAddress(file string) string {
	name := strings.TrimSuffix(file, ".md")
	if path.Base(file) == docsIndexFile {
		name = path.Dir(file)
	}
	return path.Join("/docs", name)
}
