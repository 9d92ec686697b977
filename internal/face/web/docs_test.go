package web

import (
	"html"
	"io/fs"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"hangtrue/docs"
)

// Every link in the documents leads to a page, a heading or a picture that is
// there; what leads out of their folder is a file of the source.
func TestDocs_EveryLinkLeadsSomewhere(t *testing.T) {
	l := theLibrary()
	links, pictures := 0, 0
	for _, file := range sortedKeys(l.pages) {
		for _, link := range l.pages[file].links {
			links++
			if link.picture {
				pictures++
			}
			switch target := l.pages[link.file]; {
			case link.file == "":
				if !strings.HasPrefix(link.written, "https://") {
					t.Errorf("%s: %s is neither a document nor an https address", file, link.written)
				}
			case target != nil && (link.anchor == "" || slices.Contains(target.anchors, link.anchor)):
			case target != nil:
				t.Errorf("%s: %s: %s has no heading #%s, only %v", file, link.written, link.file, link.anchor, target.anchors)
			default:
				if _, err := fs.Stat(docs.Files, link.file); err != nil {
					t.Errorf("%s: %s: there is no %s in the documents", file, link.written, link.file)
				}
			}
		}
	}
	if links < 80 || pictures < 2 {
		t.Errorf("only %d links and %d pictures", links, pictures)
	}
}

// Whoever reads the documents as files finds each from the first.
func TestDocs_FirstPageNamesEveryOther(t *testing.T) {
	l := theLibrary()
	named := map[string]bool{}
	for _, link := range l.pages[docsIndexFile].links {
		named[link.file] = true
	}
	for _, file := range sortedKeys(l.pages) {
		if file != docsIndexFile && !strings.HasPrefix(file, "decisions/") && !named[file] {
			t.Errorf("docs/README.md does not lead to %s", file)
		}
	}
}

// italics are what a document sets off as somebody reads it on a page.
var italics = regexp.MustCompile(`(?:^|[^*])\*([A-Z][^*|]{2,60})\*(?:[^*]|$)`)

// notOnPages are pieces of the jobs that begin with a capital and that no page
// says in one piece.
var notOnPages = []string{
	"The clock of the school’s machine was set back: it shows 2026-11-23 10:00, and something was kept at 2026-11-25 10:00 already",
	"The disk of the school’s machine is full. What you just sent is NOT kept",
}

// What a job names as it stands on a button or a page, stands there.
func TestDocs_JobsNameWhatIsOnThePages(t *testing.T) {
	var all strings.Builder
	for _, root := range []string{"../../face", "../../engine", "../../paper"} {
		err := fs.WalkDir(os.DirFS(root), ".", func(name string, d fs.DirEntry, err error) error {
			if err != nil || d.IsDir() || strings.HasSuffix(name, "_test.go") || !slices.Contains([]string{".go", ".js", ".gohtml"}, filepath.Ext(name)) {
				return err
			}
			text, err := os.ReadFile(filepath.Join(root, name))
			all.Write(text)
			return err
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	evenly := func(s string) string {
		return strings.ToLower(strings.Join(strings.Fields(strings.ReplaceAll(html.UnescapeString(s), "’", "'")), " "))
	}
	said := evenly(all.String())
	looked := 0
	for _, file := range sortedKeys(theLibrary().pages) {
		if !strings.HasPrefix(file, "jobs/") {
			continue
		}
		text, err := docs.Files.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		for _, m := range italics.FindAllStringSubmatch(noCode.ReplaceAllString(string(text), ""), -1) {
			piece := strings.TrimRight(m[1], ".:,")
			if slices.Contains(notOnPages, strings.Join(strings.Fields(piece), " ")) {
				continue
			}
			if looked++; !strings.Contains(said, evenly(piece)) {
				t.Errorf("docs/%s: no page says %q", file, piece)
			}
		}
	}
	if looked < 60 {
		t.Errorf("only %d pieces looked at", looked)
	}
}

// Every file in the folder is a document, a picture that one shows, or a list
// that one names.
func TestDocs_NothingIsLeftLying(t *testing.T) {
	l := theLibrary()
	used := map[string]bool{}
	for _, p := range l.pages {
		for _, link := range p.links {
			used[link.file] = true
		}
	}
	pages := 0
	err := fs.WalkDir(os.DirFS("../../../docs"), ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || filepath.Ext(name) == ".go" {
			return err
		}
		if l.pages[name] != nil {
			pages++
			return nil
		}
		if docFileKinds[filepath.Ext(name)] == "" {
			t.Errorf("docs/%s is no kind of file that the pages serve", name)
		}
		if _, err := fs.Stat(docs.Files, name); err != nil {
			t.Errorf("docs/%s is not in the program", name)
		}
		if !used[name] && name != "pictures/trailer.svg" { // that one is shown by README.md above
			t.Errorf("docs/%s is on no page", name)
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	if pages != len(l.pages) || pages < 30 {
		t.Errorf("%d documents in the folder, %d in the program", pages, len(l.pages))
	}
}

var (
	inlineStyle = regexp.MustCompile(`\sstyle=|<style|<script|\son[a-z]+=`)
	hrefs       = regexp.MustCompile(`(?:href|src)="([^"]*)"`)
	ids         = regexp.MustCompile(`\sid="([^"]*)"`)
)

func TestDocs_EveryPageIsServed(t *testing.T) {
	s, _ := serving(t, nil)
	index := ask(t, s, "GET", "/docs", nil)
	if index.Code != 200 {
		t.Fatalf("the index: status %d", index.Code)
	}
	if body := index.Body.String(); !(strings.Index(body, "Doing a job") < strings.Index(body, "Looking something up")) {
		t.Error("the jobs do not stand first")
	}
	known := map[string]int{}
	status := func(target string) int {
		if known[target] == 0 {
			known[target] = ask(t, s, "GET", target, nil).Code
		}
		return known[target]
	}
	l := theLibrary()
	for _, file := range sortedKeys(l.pages) {
		p := l.pages[file]
		if file == docsIndexFile {
			continue
		}
		if !strings.Contains(index.Body.String(), `href="`+p.Address+`"`) {
			t.Errorf("the index does not name %s", p.Address)
		}
		w := ask(t, s, "GET", p.Address, nil)
		body := w.Body.String()
		if w.Code != 200 || !strings.Contains(body, "<h1") || !strings.Contains(html.UnescapeString(body), p.Title) {
			t.Errorf("%s: status %d", p.Address, w.Code)
		}
		_, article, _ := strings.Cut(body, `<article`)
		article, _, _ = strings.Cut(article, `</article>`)
		if found := inlineStyle.FindString(article); found != "" {
			t.Errorf("%s: %q, which the pages' policy refuses", p.Address, found)
		}
		for _, m := range hrefs.FindAllStringSubmatch(body, -1) {
			to, _, _ := strings.Cut(m[1], "#")
			if to == "" || strings.HasPrefix(to, "https://") {
				continue
			}
			if status(to) != 200 {
				t.Errorf("%s names %s: status %d", p.Address, to, status(to))
			}
		}
		seen := map[string]bool{}
		for _, m := range ids.FindAllStringSubmatch(body, -1) {
			if seen[m[1]] {
				t.Errorf("%s: twice the id %s", p.Address, m[1])
			}
			seen[m[1]] = true
		}
	}
	if len(known) < 30 {
		t.Errorf("only %d addresses tried", len(known))
	}
}

func TestDocs_OtherSpellingsAndWhatIsNotThere(t *testing.T) {
	s, _ := serving(t, nil)
	for target, want := range map[string]struct {
		status   int
		location string
	}{
		"/docs/jobs/faults":                 {200, ""},
		"/docs/jobs/faults.md":              {301, "/docs/jobs/faults"},
		"/docs/jobs/faults/":                {301, "/docs/jobs/faults"},
		"/docs/README.md":                   {301, "/docs"},
		"/docs/":                            {301, "/docs"},
		"/docs/rigs/README.md":              {301, "/docs/rigs"},
		"/docs/pictures/fault.svg":          {200, ""},
		"/docs/pictures/none.svg":           {404, ""},
		"/docs/..%2fgo.txt":                 {404, ""},
		"/docs/%2e%2e/%2e%2e/etc/x.txt":     {404, ""},
		"/docs/docs.go":                     {404, ""},
		"/docs/nowhere":                     {404, ""},
		"/docs/formats/solution-1.keys.txt": {200, ""},
	} {
		w := ask(t, s, "GET", target, nil)
		if got := w.Header().Get("Location"); w.Code != want.status || got != want.location {
			t.Errorf("%s: status %d to %q, want %d to %q", target, w.Code, got, want.status, want.location)
		}
	}
	w := ask(t, s, "GET", "/docs/pictures/fault.svg", nil)
	if got := w.Header().Get("Content-Type"); got != "image/svg+xml" {
		t.Errorf("a picture is of type %q", got)
	}
	again := ask(t, s, "GET", "/docs/pictures/fault.svg", nil, "If-None-Match", w.Header().Get("ETag"))
	if again.Code != 304 {
		t.Errorf("asked for again by its tag: status %d", again.Code)
	}
}

func TestDocs_SearchFindsPlainWords(t *testing.T) {
	s, _ := serving(t, nil)
	for _, c := range []struct{ asked, first, piece string }{
		{"grab hook", "/docs/glossary", "the hook at the rope"},
		{"GRAB HOOKS", "/docs/glossary", "the hook at the rope"},
		{"cannot tell", "/docs/jobs/cannot-tell", "is a result like the others"},
		{"link counts", "/docs/jobs/choose-counts", ""},
		{"weighing axles scale", "", "Two axles"},
	} {
		found, _, _ := theLibrary().search(c.asked)
		if len(found) == 0 || c.first != "" && found[0].Page.Address != c.first {
			t.Errorf("%q: %d pages, the first %v", c.asked, len(found), addresses(found))
			continue
		}
		body := markless(ask(t, s, "GET", "/docs?q="+url.QueryEscape(c.asked), nil).Body.String())
		if !strings.Contains(body, c.piece) {
			t.Errorf("%q: %q is not shown", c.asked, c.piece)
		}
	}
	if w := ask(t, s, "GET", "/docs?q=zzyzx", nil); !strings.Contains(w.Body.String(), "No page has all of these words") {
		t.Error("nothing found is not said")
	}
	for _, nothing := range []string{"", "  ", "…", "%2F"} {
		if w := ask(t, s, "GET", "/docs?q="+url.QueryEscape(nothing), nil); w.Code != 200 {
			t.Errorf("%q: status %d", nothing, w.Code)
		}
	}
	hostile := `<script>alert("x")</script> leg`
	w := ask(t, s, "GET", "/docs?q="+url.QueryEscape(hostile), nil)
	if strings.Contains(w.Body.String(), "<script>a") {
		t.Error("what was typed comes back as it is")
	}
	if w := ask(t, s, "GET", "/docs?q="+url.QueryEscape(strings.Repeat("ünder ", 4000)), nil); w.Code != 200 {
		t.Errorf("a long question: status %d", w.Code)
	}
}

func addresses(found []docFound) []string {
	var out []string
	for _, f := range found {
		out = append(out, f.Page.Address)
	}
	return out
}

func markless(body string) string {
	return strings.NewReplacer("<mark>", "", "</mark>", "").Replace(body)
}

func FuzzMarked(f *testing.F) {
	f.Add("The leg carries; legs carry. "+strings.Repeat("ä ", 400)+"leg", "leg carr")
	f.Fuzz(func(t *testing.T, text, asked string) {
		words := strings.Fields(plainly(asked))
		if len(words) == 0 {
			return
		}
		var all strings.Builder
		for _, part := range marked(text, words) {
			all.WriteString(part.Text)
		}
		if len(text) <= longestPiece && all.String() != text {
			t.Errorf("%q became %q", text, all.String())
		}
	})
}

func TestReadLibrary_OwnAddressesAnchorsAndNoRawHTML(t *testing.T) {
	l, err := readLibrary(fstest.MapFS{
		"README.md":      {Data: []byte("# Docs\n\n[b](jobs/b.md) then [a](jobs/a.md)\n")},
		"jobs/a.md":      {Data: []byte("# A job\n\nFirst <b>words</b> of the apex.\n\n<script>x</script>\n\n## Two words\n\n## Two words\n\n[g](../glossary.md#word-apex) [here](#two-words-1) ![p](../pictures/p.svg)\n")},
		"jobs/b.md":      {Data: []byte("# B\n")},
		"jobs/0.md":      {Data: []byte("# 0\n")},
		"glossary.md":    {Data: []byte("# Words\n\n| word | here |\n|:--|--:|\n| apex, top | where legs meet |\n| body (*own*) | a thing |\n")},
		"pictures/p.svg": {Data: []byte("<svg/>")},
	})
	if err != nil {
		t.Fatal(err)
	}
	a := l.address["/docs/jobs/a"]
	body := string(a.Body)
	for _, want := range []string{`href="/docs/glossary#word-apex"`, `href="#two-words-1"`, `id="two-words"`, `id="two-words-1"`, `src="/docs/pictures/p.svg"`} {
		if !strings.Contains(body, want) {
			t.Errorf("no %s in\n%s", want, body)
		}
	}
	if strings.Contains(body, "script") || strings.Contains(body, "<b>") {
		t.Errorf("raw HTML in\n%s", body)
	}
	if a.Lead != "First words of the apex." || len(a.Words) != 1 || a.Words[0].Anchor != "word-apex" {
		t.Errorf("lead %q, words %v", a.Lead, a.Words)
	}
	if g := string(l.pages["glossary.md"].Body); !strings.Contains(g, `<tr id="word-body">`) || strings.Contains(g, "style=") {
		t.Errorf("the glossary is\n%s", g)
	}
	var order []string
	for _, p := range l.groups[0].Pages {
		order = append(order, p.Title)
	}
	if want := []string{"B", "A job", "0"}; !slices.Equal(order, want) {
		t.Errorf("the jobs stand as %v, want %v", order, want)
	}
}
