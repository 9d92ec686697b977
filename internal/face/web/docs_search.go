package web

import (
	"cmp"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"
)

// The bounds of a search. Most people type two words.
const (
	mostAsked      = 200 // bytes of what is typed
	mostFoundPages = 20
	mostFoundHere  = 4 // pieces shown of one page
	longestPiece   = 320
)

// docFound is a page that a search found.
type docFound struct {
	Page   *docPage
	Pieces []docPiece
	More   int // pieces that also match and are not shown
	rank   int
}

// docPiece is one piece of it, with the words marked.
type docPiece struct {
	Address string
	Heading string
	Parts   []docPart
}

type docPart struct {
	Text string
	Mark bool
}

// search finds the pages that have every word asked for, at the beginning of a
// word, and of each the pieces that have the most of them. It returns the words
// looked for, and how many pages there are beside those returned.
func (l *library) search(asked string) (found []docFound, words []string, more int) {
	if len(asked) > mostAsked {
		asked = strings.ToValidUTF8(asked[:mostAsked], "")
	}
	for _, w := range strings.Fields(plainly(asked)) {
		if w = singular(w); !slices.Contains(words, w) {
			words = append(words, w)
		}
	}
	if len(words) == 0 {
		return nil, nil, 0
	}
	for _, g := range l.groups {
		for _, p := range g.Pages {
			if f, ok := p.find(words); ok {
				found = append(found, f)
			}
		}
	}
	slices.SortStableFunc(found, func(a, b docFound) int { return cmp.Compare(b.rank, a.rank) })
	if len(found) > mostFoundPages {
		found, more = found[:mostFoundPages], len(found)-mostFoundPages
	}
	return found, words, more
}

// singular takes the s of a plural off, so that legs finds leg.
func singular(w string) string {
	if len(w) > 3 && strings.HasSuffix(w, "s") && !strings.HasSuffix(w, "ss") {
		return w[:len(w)-1]
	}
	return w
}

// find looks for the words in a page. A page whose title has them ranks first,
// then one with a heading or an entry of the glossary that has, then one with a
// piece that has them all, then one that has them apart.
func (p *docPage) find(words []string) (docFound, bool) {
	type hit struct {
		block *docBlock
		words int
	}
	var hits []hit
	there := map[string]bool{}
	for i := range p.blocks {
		b := &p.blocks[i]
		n := 0
		for _, w := range words {
			if strings.Contains(" "+b.plain, " "+w) {
				n++
				there[w] = true
			}
		}
		if n > 0 {
			hits = append(hits, hit{b, n})
		}
	}
	if len(there) < len(words) {
		return docFound{}, false
	}
	slices.SortStableFunc(hits, func(a, b hit) int {
		return cmp.Or(cmp.Compare(b.words, a.words), cmp.Compare(a.block.kind, b.block.kind))
	})
	f := docFound{Page: p}
	if hits[0].words == len(words) {
		f.rank = 1
	}
	var shown []hit
	for _, h := range hits {
		if h.words < hits[0].words {
			break
		}
		title := h.block.kind == headBlock && h.block.anchor == ""
		entry := p.file == "glossary.md" && hasWord(h.block.plain[:min(len(h.block.plain), 40)], strings.Join(words, " "))
		switch {
		case h.words < len(words):
		case title:
			f.rank = 3
		case h.block.kind == headBlock || entry:
			f.rank = max(f.rank, 2)
		}
		if h.block.kind != headBlock { // it stands above what is beneath it anyway
			shown = append(shown, h)
		}
	}
	if strings.HasPrefix(p.file, "decisions/") { // who looks for how is not helped by why
		f.rank = min(f.rank, 1)
	}
	if len(shown) == 0 { // only headings
		shown = hits[:1]
	}
	f.More = max(0, len(shown)-mostFoundHere)
	for _, h := range shown[:min(len(shown), mostFoundHere)] {
		piece := docPiece{Address: p.Address, Heading: h.block.heading, Parts: marked(h.block.text, words)}
		if h.block.anchor != "" {
			piece.Address += "#" + h.block.anchor
		}
		f.Pieces = append(f.Pieces, piece)
	}
	return f, true
}

// marked cuts a text into parts that are marked and parts that are not. A long
// one is cut to what lies about the first word.
func marked(text string, words []string) []docPart {
	var parts []docPart
	from := 0 // of what is not in parts yet
	said := 0 // bytes in parts
	for at, was := 0, ' '; at < len(text); {
		r, size := utf8.DecodeRuneInString(text[at:])
		end := 0
		if !unicode.IsLetter(was) && !unicode.IsDigit(was) {
			end = begins(text[at:], words)
		}
		if end == 0 {
			at, was = at+size, r
			continue
		}
		if len(parts) == 0 && at > longestPiece/2 && len(text) > longestPiece {
			from = max(from, startOfWord(text, at-longestPiece/2))
			parts = append(parts, docPart{Text: "… "})
		}
		if at > from {
			parts = append(parts, docPart{Text: text[from:at]})
		}
		parts = append(parts, docPart{text[at : at+end], true})
		said += at + end - from
		at += end
		from, was = at, 'x'
		if at > longestPiece && said > longestPiece {
			break
		}
	}
	rest, most := text[from:], max(0, longestPiece-said)
	if len(text) > longestPiece && len(rest) > most {
		if cut := startOfWord(rest, most); cut < len(rest) {
			rest = rest[:cut] + "…"
		}
	}
	return append(parts, docPart{Text: rest})
}

// begins is the length of the word of text that begins with one of words; 0 for
// none.
func begins(text string, words []string) int {
	end := strings.IndexFunc(text, func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) })
	if end < 0 {
		end = len(text)
	}
	word := strings.ToLower(text[:end])
	for _, w := range words {
		if strings.HasPrefix(word, w) {
			return end
		}
	}
	return 0
}

// startOfWord is the first place at or after at where a word begins.
func startOfWord(text string, at int) int {
	if i := strings.IndexByte(text[at:], ' '); i >= 0 {
		return at + i + 1
	}
	return len(text)
}
