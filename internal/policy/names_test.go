package policy

import (
	"fmt"
	"path"
	"slices"
	"strings"
	"testing"
)

// nameless are names that say nothing of their subject, for a folder, a
// package or a file.
var nameless = []string{"util", "utils", "common", "helper", "helpers", "misc", "types"}

func TestNames(t *testing.T) {
	report(t, namelessBreaches(ourSources(t)))
}

func namelessBreaches(sources []source) []string {
	var out []string
	for _, s := range sources {
		base := strings.TrimSuffix(strings.TrimSuffix(path.Base(s.path), ".go"), "_test")
		names := append(strings.Split(s.dir(), "/"), base, strings.TrimSuffix(s.file.Name.Name, "_test"))
		for _, name := range names {
			if slices.Contains(nameless, name) {
				out = append(out, fmt.Sprintf("%s: %q says nothing of the subject; name the file and its package for what they hold", s.path, name))
				break
			}
		}
	}
	return out
}

func TestNames_FindsEachPlaceOfAName(t *testing.T) {
	mustFind(t, namelessBreaches(madeUp(t, map[string]string{
		"a/helpers_test.go": "package a",
		"a/types.go":        "package a",
		"misc/a.go":         "package b",
		"c/a.go":            "package util",
		"d/commonplace.go":  "package d",
	})), `a/helpers_test.go: "helpers"`, `a/types.go: "types"`, `misc/a.go: "misc"`, `c/a.go: "util"`)
}

// TestPackageComments asks for exactly one package comment a package, so that
// there is one place to read and one to change.
func TestPackageComments(t *testing.T) {
	report(t, packageCommentBreaches(ourSources(t)))
}

func packageCommentBreaches(sources []source) []string {
	comments := map[string][]string{}
	var dirs, out []string
	for _, s := range sources {
		if s.isTest {
			if s.file.Doc != nil {
				out = append(out, s.path+": a package comment in a test file is read by nobody; leave an empty line before the package clause or move it")
			}
			continue
		}
		if !slices.Contains(dirs, s.dir()) {
			dirs = append(dirs, s.dir())
		}
		if s.file.Doc == nil {
			continue
		}
		comments[s.dir()] = append(comments[s.dir()], s.path)
		start := "Package " + s.file.Name.Name + " "
		if s.file.Name.Name == "main" {
			start = "Command " + path.Base(s.dir()) + " "
		}
		if text := strings.Join(strings.Fields(s.file.Doc.Text()), " ") + " "; !strings.HasPrefix(text, start) {
			out = append(out, fmt.Sprintf("%s: the package comment does not start with %q", s.path, start))
		}
	}
	for _, dir := range dirs {
		switch n := len(comments[dir]); n {
		case 0:
			out = append(out, dir+": no package comment; say in one what the package is for")
		case 1:
		default:
			out = append(out, fmt.Sprintf("%s: %d package comments (%s); keep one", dir, n, strings.Join(comments[dir], ", ")))
		}
	}
	return out
}

func TestPackageComments_FindsNoneTwoAndMisplaced(t *testing.T) {
	mustFind(t, packageCommentBreaches(madeUp(t, map[string]string{
		"good/a.go":       "// Package good is.\npackage good",
		"good/b.go":       "// A remark.\n\npackage good",
		"cmd/tool/m.go":   "// Command tool runs.\npackage main",
		"none/a.go":       "package none",
		"two/a.go":        "// Package two is.\npackage two",
		"two/b.go":        "// Package two is also.\npackage two",
		"start/a.go":      "// This package is.\npackage start",
		"tests/a.go":      "// Package tests is.\npackage tests",
		"tests/a_test.go": "// Package tests is.\npackage tests",
	})), "none: no package comment", "two: 2 package comments", `start/a.go: the package comment does not start with "Package start "`,
		"tests/a_test.go: a package comment in a test file")
}
