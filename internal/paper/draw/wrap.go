package draw

import (
	"sort"
	"strings"
)

// Wrap breaks s into lines no longer than width mm in the style: at line feeds,
// at spaces, and inside a word only where the word alone is too long. Spaces at
// a break are dropped. It returns no lines for an empty string.
func Wrap(s string, width float64, style TextStyle) []string {
	if s == "" {
		return nil
	}
	face := style.Face()
	var lines []string
	for para := range strings.SplitSeq(strings.ReplaceAll(s, "\r\n", "\n"), "\n") {
		lines = append(lines, wrapLine(face.Clean(para), width, style)...)
	}
	return lines
}

func wrapLine(para string, width float64, style TextStyle) []string {
	var lines []string
	line := ""
	for word := range strings.FieldsFuncSeq(para, func(r rune) bool { return r == ' ' }) {
		next := word
		if line != "" {
			next = line + " " + word
		}
		if style.Width(next) <= width {
			line = next
			continue
		}
		if line != "" {
			lines = append(lines, line)
		}
		parts := breakWord(word, width, style)
		lines = append(lines, parts[:len(parts)-1]...)
		line = parts[len(parts)-1]
	}
	return append(lines, line)
}

// breakWord cuts a word into pieces that fit; a piece has at least one rune.
func breakWord(word string, width float64, style TextStyle) []string {
	var parts []string
	piece, used := "", 0.0
	for _, r := range word {
		w := style.Width(string(r))
		if piece != "" && used+w > width {
			parts = append(parts, piece)
			piece, used = "", 0
		}
		piece += string(r)
		used += w
	}
	return append(parts, piece)
}

// OneLine is s on one line no longer than width mm in the style. What is cut ends
// with an ellipsis, which is there even where nothing else fits.
func OneLine(s string, width float64, style TextStyle) string {
	s = strings.Join(strings.FieldsFunc(s, func(r rune) bool { return r == '\n' || r == '\r' || r == '\t' }), " ")
	if style.Width(s) <= width {
		return s
	}
	letters := []rune(s)
	n := sort.Search(len(letters), func(n int) bool { return style.Width(string(letters[:n+1])+"…") > width })
	return strings.TrimRight(string(letters[:n]), " ") + "…"
}

// TextHeight is the height in mm that [List.TextBox] will use.
func TextHeight(s string, width float64, style TextStyle) float64 {
	return float64(len(Wrap(s, width, style))) * style.LineHeight()
}

// TextBox writes s wrapped to width mm with the top of its first line at at.Y
// and returns the height used. With Anchor Start at.X is the left edge, with
// Middle the centre, with End the right edge. VAnchor is not used.
func (l *List) TextBox(at Point, width float64, s string, style TextStyle) float64 {
	lines := Wrap(s, width, style)
	step := style.LineHeight()
	style.VAnchor = Baseline
	for i, line := range lines {
		// The glyphs stand centred in their line, as a capital sits in it.
		y := at.Y + step*float64(i) + (step+CapHeight*style.Size)/2
		l.Text(Point{at.X, y}, line, style)
	}
	return step * float64(len(lines))
}
