package web

import (
	"testing"
	"text/template/parse"
)

// A template that is named and not there is found only when its page is shown.
func TestTemplates_AllThatAreNamedAreThere(t *testing.T) {
	p := newPages(newAssets())
	named := 0
	for _, one := range p.all.Templates() {
		if one.Tree == nil {
			continue
		}
		var walk func(n parse.Node)
		list := func(l *parse.ListNode) {
			if l != nil {
				for _, n := range l.Nodes {
					walk(n)
				}
			}
		}
		walk = func(n parse.Node) {
			switch n := n.(type) {
			case *parse.TemplateNode:
				named++
				if p.all.Lookup(n.Name) == nil {
					t.Errorf("template %s names %s, which there is not", one.Name(), n.Name)
				}
			case *parse.IfNode:
				list(n.List)
				list(n.ElseList)
			case *parse.RangeNode:
				list(n.List)
				list(n.ElseList)
			case *parse.WithNode:
				list(n.List)
				list(n.ElseList)
			}
		}
		list(one.Tree.Root)
	}
	if named < 50 {
		t.Errorf("only %d names looked up", named)
	}
}
