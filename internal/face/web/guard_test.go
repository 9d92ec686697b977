package web

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"net/http"
	"net/http/httptest"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// sample is an address for each row of the table.
func sample(r route) string {
	return strings.NewReplacer("{$}", "", "{name}", "crate", "{hash}", "0", "{file}", "page.css", "{page...}", "glossary", "{class}", "c", "{student}", "s", "{lane}", "l", "{version}", "v", "{run}", "r", "{paper}", "card", "{n}", "0").Replace(r.path)
}

func TestRoutes_NobodyComesInWithoutTheTable(t *testing.T) {
	s, _ := serving(t, map[string]string{"crate": crate})
	table := routes()
	for i := range table {
		if table[i].what == "" || table[i].handle == nil {
			t.Errorf("row %s %s lacks who, what or its handler", table[i].method, table[i].path)
		}
		table[i].who = access{school: true}
	}
	closed := s.guard(s.mux(table))
	n := 0
	for _, r := range table {
		method := r.method
		if method == "" {
			method = "DELETE"
		}
		q := httptest.NewRequest(method, sample(r), nil)
		q.Host = "127.0.0.1"
		w := httptest.NewRecorder()
		closed.ServeHTTP(w, q)
		if w.Code != http.StatusNotFound || !strings.Contains(w.Body.String(), "belongs to a school") {
			t.Errorf("%s %s: status %d, want it refused as a school's", method, sample(r), w.Code)
		}
		n++
	}
	if n < 8 {
		t.Errorf("only %d rows tried", n)
	}
}

// No handler is registered but by mux, and everything shaped like a handler of
// the table is in it.
func TestRoutes_NoHandlerBypassesTheTable(t *testing.T) {
	files, err := fs.Glob(os.DirFS("."), "*.go")
	if err != nil {
		t.Fatal(err)
	}
	registered, handlers := 0, []string{}
	var table string
	set := token.NewFileSet()
	for _, name := range files {
		if strings.HasSuffix(name, "_test.go") {
			continue
		}
		text, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		file, err := parser.ParseFile(set, name, text, 0)
		if err != nil {
			t.Fatal(err)
		}
		for _, d := range file.Decls {
			f, ok := d.(*ast.FuncDecl)
			if !ok {
				continue
			}
			if strings.HasSuffix(f.Name.Name, "Routes") {
				table += string(text[set.Position(f.Pos()).Offset:set.Position(f.End()).Offset])
			}
			if f.Recv != nil && f.Type.Results != nil && len(f.Type.Params.List) == 2 && len(f.Type.Results.List) == 1 {
				if p, ok := f.Type.Params.List[1].Type.(*ast.StarExpr); ok && isRequest(p.X) {
					handlers = append(handlers, f.Name.Name)
				}
			} else if f.Recv != nil && f.Type.Results != nil && len(f.Type.Params.List) == 1 && f.Name.Name == "nothingHere" {
				handlers = append(handlers, f.Name.Name)
			}
		}
		ast.Inspect(file, func(n ast.Node) bool {
			if sel, ok := n.(*ast.SelectorExpr); ok {
				switch sel.Sel.Name {
				case "Handle", "HandleFunc", "NewServeMux", "DefaultServeMux", "FileServer", "FileServerFS":
					registered++
					if name != "routes.go" {
						t.Errorf("%s: %s outside the table", set.Position(n.Pos()), sel.Sel.Name)
					}
				}
			}
			return true
		})
	}
	if registered != 2 {
		t.Errorf("%d registrations in routes.go, want one mux and one call", registered)
	}
	if len(handlers) < 7 {
		t.Errorf("only %d handlers found: %v", len(handlers), handlers)
	}
	for _, h := range handlers {
		if !strings.Contains(table, "(*Server)."+h+"}") {
			t.Errorf("handler %s is not in the table", h)
		}
	}
}

func isRequest(x ast.Expr) bool {
	sel, ok := x.(*ast.SelectorExpr)
	return ok && sel.Sel.Name == "Request"
}

func TestHost(t *testing.T) {
	s, _ := serving(t, map[string]string{"crate": crate})
	s.Name = "Rigs.example"
	for host, want := range map[string]int{
		"127.0.0.1": 200, "127.0.0.1:8086": 200, "localhost:1": 200, "[::1]:80": 200, "[::1]": 200, "rigs.example": 200, "RIGS.example:99": 200,
		"evil.example": 421, "127.0.0.1.evil.example": 421, "": 421, "192.168.0.1": 421, "127.0.0.2": 421,
	} {
		w := ask(t, s, "GET", "/", nil, "Host", host)
		if w.Code != want {
			t.Errorf("host %q: status %d, want %d", host, w.Code, want)
		}
	}
}

func TestCrossOrigin(t *testing.T) {
	s, _ := serving(t, map[string]string{"crate": crate})
	for _, c := range []struct {
		header []string
		want   int
	}{
		{nil, 200},
		{[]string{"Sec-Fetch-Site", "same-origin"}, 200},
		{[]string{"Sec-Fetch-Site", "cross-site"}, 403},
		{[]string{"Sec-Fetch-Site", "same-site"}, 403},
		{[]string{"Origin", "http://evil.example"}, 403},
		{[]string{"Origin", "http://127.0.0.1:8086"}, 200},
	} {
		form := draftOf(crate)
		form.Set("do", "read")
		if w := ask(t, s, "POST", "/rig/crate", form, c.header...); w.Code != c.want {
			t.Errorf("%v: status %d, want %d", c.header, w.Code, c.want)
		}
	}
}

func TestHeaders(t *testing.T) {
	s, _ := serving(t, map[string]string{"crate": crate})
	page := ask(t, s, "GET", "/rig/crate", nil)
	for _, target := range []string{"/", "/rig/crate", "/rig/none", "/nowhere", s.assets.url("page.css")} {
		h := ask(t, s, "GET", target, nil).Header()
		for name, want := range map[string]string{
			"X-Content-Type-Options": "nosniff", "Referrer-Policy": "no-referrer", "Content-Security-Policy": policy,
		} {
			if h.Get(name) != want {
				t.Errorf("%s: %s is %q", target, name, h.Get(name))
			}
		}
	}
	for _, want := range []string{"default-src 'none'", "frame-ancestors 'none'", "script-src 'self';"} {
		if !strings.Contains(policy, want) {
			t.Errorf("the policy lacks %s", want)
		}
	}
	if strings.Contains(policy, "unsafe") || strings.Contains(policy, "*") {
		t.Errorf("policy %s", policy)
	}
	// Everything that the page names is there, kept for good, and ours.
	named := regexp.MustCompile(`(?:href|src)="([^"#]*)"`).FindAllStringSubmatch(page.Body.String(), -1)
	assets := 0
	for _, m := range named {
		if !strings.HasPrefix(m[1], "/") || strings.HasPrefix(m[1], "//") {
			t.Errorf("the page names %s", m[1])
		}
		if !strings.HasPrefix(m[1], "/asset/") {
			continue
		}
		assets++
		w := ask(t, s, "GET", m[1], nil)
		if w.Code != 200 || !strings.Contains(w.Header().Get("Cache-Control"), "immutable") {
			t.Errorf("%s: status %d, %s", m[1], w.Code, w.Header().Get("Cache-Control"))
		}
	}
	if assets < 3 {
		t.Errorf("only %d assets named", assets)
	}
	if got := page.Header().Get("Cache-Control"); got != "no-store" {
		t.Errorf("the page may be kept: %s", got)
	}
	if w := ask(t, s, "GET", "/asset/0000/page.css", nil); w.Code != 404 {
		t.Errorf("a style of another hash: status %d", w.Code)
	}
}

func TestStyle(t *testing.T) {
	s, _ := serving(t, nil)
	css := string(s.assets.files["page.css"])
	var used []string
	for _, m := range regexp.MustCompile(`var\((--[a-z-]+)\)`).FindAllStringSubmatch(css, -1) {
		used = append(used, m[1])
	}
	slices.Sort(used)
	used = slices.Compact(used)
	if len(used) < 10 {
		t.Fatalf("only %d variables used", len(used))
	}
	for _, v := range used {
		if !strings.Contains(css, v+":") {
			t.Errorf("%s is used and not set", v)
		}
	}
	if strings.Contains(css, "http") || strings.Contains(css, "@import") {
		t.Error("the style reaches out")
	}
	for _, name := range []string{"rig.js", "turn.js", "editor.js", "unsaved.js"} {
		if text := string(s.assets.files[name]); strings.Contains(text, "http:") || strings.Contains(text, "https:") || strings.Contains(text, "eval(") {
			t.Errorf("%s reaches out", name)
		}
	}
}

func TestListen_OnlyThisMachine(t *testing.T) {
	for addr, ok := range map[string]bool{
		"127.0.0.1:0": true, "localhost:0": true, "0.0.0.0:0": false, ":0": false, "192.0.2.1:0": false, "example.org:0": false, "nonsense": false,
	} {
		s, _ := serving(t, nil)
		s.Addr = addr
		url, err := s.Listen()
		if (err == nil) != ok {
			t.Errorf("%s: %q, %v", addr, url, err)
		}
		if s.listener != nil {
			s.listener.Close()
		}
	}
}
