package document

import (
	"strconv"

	"go.yaml.in/yaml/v3"
)

// checker refuses what YAML allows and a file here may not have, wherever it
// stands, even under keys that no shape knows.
type checker struct {
	source   source
	limits   Limits
	nodes    int
	stopped  bool
	problems []Problem

	line  int // whose signs these are
	signs []rune
}

func (c *checker) add(n *yaml.Node, text, hint string) {
	c.problems = append(c.problems, fileProblem(c.source.within(n.Line), max(n.Column, 1), text, hint))
}

func (c *checker) check(n *yaml.Node, depth int) {
	if c.stopped {
		return
	}
	c.nodes++
	switch {
	case c.nodes > c.limits.Nodes:
		c.add(n, "the file has more than "+strconv.Itoa(c.limits.Nodes)+" values", "")
		c.stopped = true
		return
	case depth > c.limits.Depth:
		c.add(n, "lists and objects are nested more than "+strconv.Itoa(c.limits.Depth)+" deep", "")
		c.stopped = true
		return
	}
	if n.Kind == yaml.AliasNode {
		c.add(n, "an alias (*) is not read here", "write the value out, or put the text in quotes")
		return
	}
	if n.Anchor != "" {
		c.add(n, "an anchor (&) is not read here", "write the value out where it is needed, or put the text in quotes")
	}
	if n.Style&yaml.TaggedStyle != 0 || c.at(n) == '!' {
		c.add(n, "a tag (!) is not read here", "leave it out, or put the text in quotes")
	}
	if n.Kind == yaml.MappingNode {
		c.keys(n)
	}
	for _, child := range n.Content {
		c.check(child, depth+1)
	}
}

// keys checks the keys of a mapping: single words, each once.
func (c *checker) keys(n *yaml.Node) {
	first := map[string]int{}
	for i := 0; i+1 < len(n.Content); i += 2 {
		key := n.Content[i]
		switch {
		case key.Kind == yaml.AliasNode: // reported with all aliases
		case key.Kind != yaml.ScalarNode:
			c.add(key, "a key is a word, not a list or an object", "")
		case key.Tag == "!!merge":
			c.add(key, "a merge key (<<) is not read here", "write the keys out")
		case isNull(key):
			c.add(key, "a key is missing before the colon", "write key: value")
		default:
			if line, twice := first[key.Value]; twice {
				c.add(key, "the key "+shown(key.Value)+" is written twice", "the first is in line "+strconv.Itoa(line))
				continue
			}
			first[key.Value] = key.Line
		}
	}
}

// at gives the sign at which a node begins. The parser drops a lone ! without
// a trace, so the text itself is asked.
func (c *checker) at(n *yaml.Node) rune {
	if n.Line < 1 || n.Line > len(c.source.lines) {
		return 0
	}
	// Nodes come in the order of the file, so one line is kept: a file may be
	// one line long.
	if n.Line != c.line {
		c.line, c.signs = n.Line, []rune(c.source.lines[n.Line-1])
	}
	if n.Column < 1 || n.Column > len(c.signs) {
		return 0
	}
	return c.signs[n.Column-1]
}

// isNull reports whether a node is an unquoted null, ~ or nothing at all.
func isNull(n *yaml.Node) bool {
	return n.Kind == yaml.ScalarNode && plain(n) && n.Tag == "!!null"
}

// plain reports whether a scalar is written without quotes and block signs.
func plain(n *yaml.Node) bool {
	return n.Style&(yaml.DoubleQuotedStyle|yaml.SingleQuotedStyle|yaml.LiteralStyle|yaml.FoldedStyle) == 0
}
