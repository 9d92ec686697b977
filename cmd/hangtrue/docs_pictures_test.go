package main

import (
	"flag"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"hangtrue/docs"
)

var update = flag.Bool("update", false, "draw docs/pictures anew")

// pictures are the drawings of the documents, each with the command that makes
// it, in a folder with the demo rigs and the first rig file of two documents.
var pictures = []struct{ file, command string }{
	{"trailer.svg", "hangtrue draw trailer-front-and-rear.yaml -o trailer.svg"},
	{"fault.svg", "hangtrue faults crate-off-centre.yaml --fault leg-lost.FL --view side --picture fault.svg"},
	{"flight.svg", "hangtrue flight crate-off-centre.yaml --to '80 kt' --trail '10 deg' -o flight.svg"},
	{"ground.svg", "hangtrue draw pump.yaml --ground --view side -o ground.svg"},
	{"result.svg", "hangtrue draw crate-off-centre.yaml --view side -o result.svg"},
	{"not-rated.svg", "hangtrue draw pole.yaml --view side -o not-rated.svg"},
	{"counts.svg", "hangtrue counts trailer-front-and-rear.yaml --map counts.svg"},
	{"lift.svg", "hangtrue lift trailer-front-and-rear.yaml --aircraft twin --pick-up '620 m, 1016 hPa, 14 degC, 600 kg'" +
		" --drop-off '1840 m, 1016 hPa, 8 degC' --flight '7 min' --hook front --ring '60 mm, 25 mm' -o lift.svg"},
	{"day.svg", "hangtrue day huts.yaml -o day.svg"},
	{"cg.svg", "hangtrue draw trailer-front-and-rear.yaml --ground --view side -o cg.svg"},
	{"walk.svg", "hangtrue sequence crate-off-centre.yaml --map walk.svg"},
	{"hangs.svg", "hangtrue trace crate-off-centre.yaml -o hangs.svg"},
	{"grab-hook.svg", "hangtrue closeup grab-hook shape=opened --staff -o grab-hook.svg"},
	{"beams.svg", "hangtrue draw beams-choked.yaml --view side -o beams.svg"},
}

var (
	firstRig  = regexp.MustCompile("(?s)```yaml\n(format: hangtrue.rig/1\n.*?)```")
	styleOf   = regexp.MustCompile(`(?s)<style>.*?</style>`)
	wordsOf   = regexp.MustCompile(`>([^<>]*[^<>\s][^<>]*)<`)
	versionOf = regexp.MustCompile(`version [0-9a-f]{8,}`)
)

// TestDocs_PicturesSayWhatTheProgramSays draws each picture anew and compares
// the words and numbers on it. Lines may lie a hair elsewhere on another
// machine.
func TestDocs_PicturesSayWhatTheProgramSays(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "rigs")
	if status, said := runLine(t, filepath.Dir(dir), "hangtrue demo rigs --no-serve"); status != 0 {
		t.Fatal(said)
	}
	if status, said := runLine(t, dir, "hangtrue new day -o huts.yaml"); status != 0 {
		t.Fatal(said)
	}
	for file, page := range map[string]string{"pump.yaml": "jobs/enter-a-load.md", "pole.yaml": "jobs/cannot-tell.md"} {
		text, err := docs.Files.ReadFile(page)
		if err != nil {
			t.Fatal(err)
		}
		found := firstRig.FindSubmatch(text)
		if found == nil {
			t.Fatalf("%s shows no rig file", page)
		}
		if err := os.WriteFile(filepath.Join(dir, file), found[1], 0o666); err != nil {
			t.Fatal(err)
		}
	}
	var known []string
	for _, p := range pictures {
		known = append(known, p.file)
		if status, said := runLine(t, dir, p.command); status == 2 {
			t.Errorf("%s: %s", p.command, said)
			continue
		}
		drawn, err := os.ReadFile(filepath.Join(dir, p.file))
		if err != nil {
			t.Errorf("%s: %v", p.command, err)
			continue
		}
		if *update {
			if err := os.WriteFile(filepath.Join("..", "..", "docs", "pictures", p.file), drawn, 0o666); err != nil {
				t.Fatal(err)
			}
			continue
		}
		shown, err := docs.Files.ReadFile("pictures/" + p.file)
		if err != nil {
			t.Error(err)
			continue
		}
		got, want := saidOn(shown), saidOn(drawn)
		if len(want) < 2 {
			t.Errorf("%s has only the words %q", p.file, want)
		}
		if !slices.Equal(got, want) {
			t.Errorf("docs/pictures/%s is not what the program draws now: it says %q, the program %q; go test ./cmd/hangtrue -run Pictures -update, and look",
				p.file, without(got, want), without(want, got))
		}
	}
	entries, err := docs.Files.ReadDir("pictures")
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range entries {
		// Photographs of pages and papers are made and listed by a test of the pages.
		if filepath.Ext(e.Name()) != ".png" && !slices.Contains(known, e.Name()) {
			t.Errorf("docs/pictures/%s: nothing says how it was made", e.Name())
		}
	}
}

// saidOn are the words on a drawing, in alphabetical order.
func saidOn(svg []byte) []string {
	var out []string
	for _, m := range wordsOf.FindAllSubmatch(styleOf.ReplaceAll(svg, nil), -1) {
		out = append(out, versionOf.ReplaceAllString(strings.TrimSpace(string(m[1])), "version"))
	}
	slices.Sort(out)
	return out
}

// without are the elements of a that are not in b.
func without(a, b []string) []string {
	return slices.DeleteFunc(slices.Clone(a), func(s string) bool { return slices.Contains(b, s) })
}
