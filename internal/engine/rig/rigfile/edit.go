package rigfile

import (
	"bytes"
	"fmt"
	"strconv"
	"strings"

	"hangtrue/internal/engine/document"
)

// SetCount returns the file with another count for one leg. Only the characters
// of the number change: comments, order, spaces and line ends stay as they
// were typed. The file may have other faults, which stay too; n is not held
// against the chain, which reading the result does.
//
// It fails where n is less than 1, where the file cannot be read as YAML at
// all, and where the leg has no count written.
func SetCount(data []byte, leg string, n int) ([]byte, error) {
	if n < 1 {
		return nil, fmt.Errorf("rigfile: count %d of leg %s: the lowest is 1, the last link of the chain", n, leg)
	}
	count, err := countOf(data, leg)
	if err != nil {
		return nil, err
	}
	start, end, err := scalarAt(data, count.Line(), count.Column())
	if err != nil {
		return nil, fmt.Errorf("rigfile: count of leg %s: %w", leg, err)
	}
	out := bytes.Join([][]byte{data[:start], data[end:]}, []byte(strconv.Itoa(n)))
	// Reading it again is the proof that the right characters were changed.
	if again, err := countOf(out, leg); err != nil || again.Integer() != n {
		return nil, fmt.Errorf("rigfile: count of leg %s: line %d is written in a way that cannot be changed here; change it in the text", leg, count.Line())
	}
	return out, nil
}

// Counts returns the counts written in the file by leg, as far as they can be
// read; a count left open (find) is 0.
func Counts(data []byte) map[string]int {
	value, _ := document.Read(data, shape)
	counts := map[string]int{}
	for _, leg := range value.Get("legs").Items() {
		if c := leg.Get("count"); c.Valid() && leg.Get("id").Valid() {
			counts[leg.Get("id").Text()] = c.Integer()
		}
	}
	return counts
}

func countOf(data []byte, leg string) (*document.Value, error) {
	value, problems := document.Read(data, shape)
	if value == nil {
		return nil, fmt.Errorf("rigfile: line %d: %s", problems[0].Line, problems[0])
	}
	for _, x := range value.Get("legs").Items() {
		if x.Get("id").Text() != leg {
			continue
		}
		if c := x.Get("count"); c.Given() {
			return c, nil
		}
		return nil, fmt.Errorf("rigfile: leg %s has no count in the file", leg)
	}
	return nil, fmt.Errorf("rigfile: there is no leg %q in the file", leg)
}

const byteOrderMark = "\ufeff"

// scalarAt finds the bytes of the scalar that begins at a line and column, both
// counted from 1, columns in characters and without a byte order mark.
func scalarAt(data []byte, line, column int) (start, end int, err error) {
	if bytes.HasPrefix(data, []byte(byteOrderMark)) {
		start = len(byteOrderMark)
	}
	for range line - 1 {
		i := bytes.IndexByte(data[start:], '\n')
		if i < 0 {
			return 0, 0, fmt.Errorf("the file has no line %d", line)
		}
		start += i + 1
	}
	rest := string(data[start:])
	if i := strings.IndexByte(rest, '\n'); i >= 0 {
		rest = rest[:i]
	}
	skipped := 0
	for i := range rest {
		if skipped == column-1 {
			start, rest = start+i, rest[i:]
			break
		}
		skipped++
	}
	if skipped != column-1 || rest == "" {
		return 0, 0, fmt.Errorf("line %d has no column %d", line, column)
	}
	if q := rest[0]; q == '\'' || q == '"' {
		if i := strings.IndexByte(rest[1:], q); i >= 0 {
			return start, start + i + 2, nil
		}
	}
	length := strings.IndexAny(rest, ",}] \r\n")
	if length < 0 {
		length = len(rest)
	}
	return start, start + length, nil
}
