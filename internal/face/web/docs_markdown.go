package web

import (
	"bytes"
	"fmt"
	"html/template"
	"net/url"
	"path"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"github.com/yuin/goldmark"
	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/extension"
	tabular "github.com/yuin/goldmark/extension/ast"
	"github.com/yuin/goldmark/renderer"
	"github.com/yuin/goldmark/text"
	"github.com/yuin/goldmark/util"
)

// markdown reads what our documents are written in: CommonMark with tables. Raw
// HTML is left out, and no style stands on an element, which the policy of the
// pages would refuse.
var markdown = goldmark.New(
	goldmark.WithExtensions(extension.NewTable(extension.WithTableCellAlignMethod(extension.TableCellAlignAttribute))),
	goldmark.WithRendererOptions(renderer.WithNodeRenderers(util.Prioritized(docBoxes{}, 100))),
)

// docBoxes puts tables, code and pictures into boxes of their own, in which they
// scroll where the screen is narrower than they are, with keys too.
type docBoxes struct{}

// RegisterFuncs is called by the renderer.
func (docBoxes) RegisterFuncs(r renderer.NodeRendererFuncRegisterer) {
	r.Register(tabular.KindTable, func(w util.BufWriter, _ []byte, _ ast.Node, entering bool) (ast.WalkStatus, error) {
		if entering {
			w.WriteString(`<div class="docs-box" role="group" aria-label="Table" tabindex="0"><table>` + "\n")
		} else {
			w.WriteString("</table></div>\n")
		}
		return ast.WalkContinue, nil
	})
	code := func(w util.BufWriter, source []byte, n ast.Node, entering bool) (ast.WalkStatus, error) {
		if entering {
			fmt.Fprintf(w, "<pre tabindex=\"0\"><code>%s</code></pre>\n", template.HTMLEscapeString(codeOf(n, source)))
		}
		return ast.WalkSkipChildren, nil
	}
	r.Register(ast.KindCodeBlock, code)
	r.Register(ast.KindFencedCodeBlock, code)
	r.Register(ast.KindImage, func(w util.BufWriter, source []byte, n ast.Node, entering bool) (ast.WalkStatus, error) {
		if entering {
			to := template.HTMLEscapeString(string(n.(*ast.Image).Destination))
			fmt.Fprintf(w, `<a class="docs-picture" href="%s"><img src="%[1]s" alt="%s" loading="lazy"></a>`, to, template.HTMLEscapeString(plainText(n, source)))
		}
		return ast.WalkSkipChildren, nil
	})
}

// readDocument reads one document: what it shows, what a search finds in it, and
// the words that it explains.
func readDocument(file string, source []byte) (*docPage, []docWord, error) {
	p := &docPage{file: file, Address: docsAddress(file)}
	tree := markdown.Parser().Parse(text.NewReader(source))
	var words []docWord
	var remove []ast.Node
	heading := ""
	anchor := ""
	add := func(said string, kind blockKind) {
		if said != "" {
			p.blocks = append(p.blocks, docBlock{anchor: anchor, heading: heading, text: said, plain: plainly(said), kind: kind})
		}
	}
	err := ast.Walk(tree, func(n ast.Node, entering bool) (ast.WalkStatus, error) {
		if !entering {
			return ast.WalkContinue, nil
		}
		switch n := n.(type) {
		case *ast.HTMLBlock, *ast.RawHTML:
			remove = append(remove, n)
			return ast.WalkSkipChildren, nil
		case *ast.Heading:
			heading = plainText(n, source)
			anchor = p.newAnchor(slug(heading))
			n.SetAttributeString("id", []byte(anchor))
			switch {
			case n.Level == 1 && p.Title == "":
				p.Title, anchor, heading = heading, "", ""
				add(p.Title, headBlock)
			default:
				if n.Level == 2 {
					p.Sections = append(p.Sections, docSection{anchor, heading})
				}
				add(heading, headBlock)
			}
		case *ast.Paragraph:
			said := plainText(n, source)
			if p.Lead == "" && n.Parent() == tree {
				p.Lead = said
			}
			add(said, proseBlock)
		case *ast.TextBlock:
			add(plainText(n, source), proseBlock)
		case *ast.FencedCodeBlock, *ast.CodeBlock:
			add(codeOf(n, source), codeBlock)
		case *tabular.TableRow:
			cells := cellsOf(n, source)
			if file == "glossary.md" && len(cells) >= 2 {
				word := newWord(cells[0], cells[1])
				word.Anchor = p.newAnchor("word-" + slug(word.Names[0]))
				n.SetAttributeString("id", []byte(word.Anchor))
				words = append(words, word)
			}
			was := anchor
			if len(words) > 0 {
				anchor = words[len(words)-1].Anchor
			}
			add(strings.Join(slices.DeleteFunc(cells, func(c string) bool { return c == "" }), " – "), proseBlock)
			anchor = was
		case *ast.Link:
			link := resolveLink(file, string(n.Destination))
			p.links = append(p.links, link)
			n.Destination = []byte(link.address)
		case *ast.Image:
			link := resolveLink(file, string(n.Destination))
			link.picture = true
			p.links = append(p.links, link)
			n.Destination = []byte(link.address)
		}
		return ast.WalkContinue, nil
	})
	if err != nil {
		return nil, nil, err
	}
	if p.Title == "" {
		return nil, nil, fmt.Errorf("there is no heading of the first level")
	}
	for _, n := range remove {
		n.Parent().RemoveChild(n.Parent(), n)
	}
	var b bytes.Buffer
	if err := markdown.Renderer().Render(&b, source, tree); err != nil {
		return nil, nil, err
	}
	p.Body = template.HTML(b.String()) // our own documents, raw HTML left out
	return p, words, nil
}

// newAnchor makes an anchor that the page does not have yet.
func (p *docPage) newAnchor(base string) string {
	name := base
	for n := 1; slices.Contains(p.anchors, name); n++ {
		name = base + "-" + strconv.Itoa(n)
	}
	p.anchors = append(p.anchors, name)
	return name
}

// slug is the anchor of a heading, as places that show Markdown commonly make
// it: lower case, no punctuation, a hyphen for each space.
func slug(heading string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case r == ' ':
			return '-'
		case unicode.IsLetter(r) || unicode.IsNumber(r) || r == '-' || r == '_':
			return unicode.ToLower(r)
		}
		return -1
	}, heading)
}

// resolveLink finds out where a link in a document leads. Links between
// documents become addresses of this server.
func resolveLink(from, to string) docLink {
	link := docLink{written: to, address: to}
	u, err := url.Parse(to)
	if err != nil || u.Scheme != "" || u.Host != "" || strings.HasPrefix(u.Path, "/") {
		return link
	}
	link.file, link.anchor = from, u.Fragment
	if u.Path != "" {
		link.file = path.Join(path.Dir(from), u.Path)
		link.address = docsAddress(link.file)
		if u.Fragment != "" {
			link.address += "#" + u.Fragment
		}
	}
	return link
}

// plainText is what a person reads of a node, on one line.
func plainText(n ast.Node, source []byte) string {
	var b strings.Builder
	ast.Walk(n, func(c ast.Node, entering bool) (ast.WalkStatus, error) { // the function below never fails
		if !entering {
			return ast.WalkContinue, nil
		}
		switch c := c.(type) {
		case *ast.Text:
			b.Write(util.UnescapePunctuations(c.Segment.Value(source)))
			if c.SoftLineBreak() || c.HardLineBreak() {
				b.WriteByte(' ')
			}
		case *ast.String:
			b.Write(c.Value)
		case *ast.AutoLink:
			b.Write(c.Label(source))
		}
		return ast.WalkContinue, nil
	})
	return strings.Join(strings.Fields(b.String()), " ")
}

func codeOf(n ast.Node, source []byte) string {
	var b strings.Builder
	for i := range n.Lines().Len() {
		line := n.Lines().At(i)
		b.Write(line.Value(source))
	}
	return strings.TrimRight(b.String(), "\n")
}

func cellsOf(row ast.Node, source []byte) []string {
	var cells []string
	for c := row.FirstChild(); c != nil; c = c.NextSibling() {
		cells = append(cells, plainText(c, source))
	}
	return cells
}
