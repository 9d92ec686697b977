package web

import (
	"regexp"
	"slices"
	"strings"
	"testing"

	"hangtrue/docs"
	"hangtrue/internal/data/catalog"
	"hangtrue/internal/engine/equipment"
	"hangtrue/internal/engine/people"
)

// explains reports whether the glossary has a word or a word in it.
func explains(l *library, said string) bool {
	plain := plainly(said)
	return slices.ContainsFunc(l.words, func(w docWord) bool {
		return slices.ContainsFunc(w.Names, func(name string) bool { return hasWord(plain, plainly(name)) })
	})
}

// stressed are short pieces of the jobs that are set off in print and are no
// words of the trade; what is not used any more fails the test.
var stressed = []string{
	"and", "answered", "by hand", "can't tell", "completed", "each of these", "effects", "equal", "go on", "in pictures only", "name",
	"not entered", "now", "over", "p", "recorded here", "right", "shorter", "something is wrong", "the program", "unknown", "up",
	"with a class", "would do", "wrong",
}

var (
	setOff    = regexp.MustCompile(`\*\*([^*|]+)\*\*|\*([^*|]+)\*`)
	noCode    = regexp.MustCompile("(?s)```.*?```|`[^`]*`")
	inWords   = regexp.MustCompile(`^[a-z][a-z'’-]*( [a-z'’-]+){0,2}$`)
	withinAll = regexp.MustCompile(`\s+`)
)

// What a page of a job sets off in print, as words that mean something there, is
// in the glossary. Longer pieces, and what begins with a capital, are sentences
// and the names of buttons.
func TestDocs_GlossaryHasTheWordsOfTheJobs(t *testing.T) {
	l := theLibrary()
	looked, used := 0, map[string]bool{}
	for _, file := range sortedKeys(l.pages) {
		if !strings.HasPrefix(file, "jobs/") {
			continue
		}
		text, err := docs.Files.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		for _, m := range setOff.FindAllStringSubmatch(noCode.ReplaceAllString(string(text), ""), -1) {
			said := strings.TrimRight(withinAll.ReplaceAllString(m[1]+m[2], " "), ".:,")
			if !inWords.MatchString(said) {
				continue
			}
			if looked++; slices.Contains(stressed, said) {
				used[said] = true
				continue
			}
			if !explains(l, said) {
				t.Errorf("docs/%s sets off %q, which docs/glossary.md does not have", file, said)
			}
		}
	}
	if looked < 40 {
		t.Errorf("only %d words looked at", looked)
	}
	for _, said := range stressed {
		if !used[said] {
			t.Errorf("no page of a job sets off %q any more; take it out of the list", said)
		}
	}
}

// What the pages call parts, equipment and people is in the glossary.
func TestDocs_GlossaryHasTheWordsOfThePages(t *testing.T) {
	l := theLibrary()
	var all []string
	for _, k := range catalog.Shipped().Kinds {
		all = append(all, k.Name)
	}
	for _, k := range equipment.Kinds {
		all = append(all, string(k))
	}
	for _, r := range people.Roles {
		all = append(all, strings.ReplaceAll(string(r), "-", " "))
	}
	for _, name := range all {
		if name != string(equipment.Other) && !explains(l, name) {
			t.Errorf("docs/glossary.md does not have %q", name)
		}
	}
	if len(all) < 50 {
		t.Errorf("only %d words looked at", len(all))
	}
}

// Each word stands once, in its place.
func TestDocs_GlossaryIsInOrder(t *testing.T) {
	l := theLibrary()
	seen := map[string]bool{}
	for i, w := range l.words {
		if i > 0 && plainly(w.Name()) < plainly(l.words[i-1].Name()) {
			t.Errorf("%s stands behind %s", w.Name(), l.words[i-1].Name())
		}
		for _, name := range w.Names {
			if seen[plainly(name)] {
				t.Errorf("%s stands twice", name)
			}
			seen[plainly(name)] = true
		}
		if w.Meaning == "" || len(w.Meaning) > 260 {
			t.Errorf("%s has %d bytes of meaning", w.Name(), len(w.Meaning))
		}
	}
	if len(l.words) < 200 {
		t.Errorf("only %d words", len(l.words))
	}
}
