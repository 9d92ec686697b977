package main

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

func TestPermitted(t *testing.T) {
	for _, c := range []struct{ name, text, want string }{
		{"BSD", "Redistribution and use in source and binary forms, with or without", ""},
		{"MIT", "Permission is hereby granted, free of charge, to any person", ""},
		{"Apache", "Apache License\n                           Version 2.0, January 2004", ""},
		{"none", "", "no licence file"},
		{"unknown", "All rights reserved.", "none that the generator knows"},
		{"copyleft", "Permission is hereby granted, free of charge\nGNU Lesser General Public License", "mentions the GNU Lesser"},
	} {
		t.Run(c.name, func(t *testing.T) {
			err := permitted([]byte(c.text))
			if (err == nil) != (c.want == "") || err != nil && !strings.Contains(err.Error(), c.want) {
				t.Errorf("got error %v, want one that mentions %q", err, c.want)
			}
		})
	}
}

func TestNoticeFiles_LooksFromTheRootDownToLinkedPackages(t *testing.T) {
	root := t.TempDir()
	for _, name := range []string{"LICENSE", "NOTICE.txt", "license.go", "README", "a/b/COPYING", "a/LICENSE-3RD-PARTY.md", "other/LICENSE"} {
		file := filepath.Join(root, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(file), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(file, []byte("x"), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	files, err := noticeFiles(linkedModule{dir: root, packages: []string{root, filepath.Join(root, "a", "b")}})
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, f := range files {
		name, err := filepath.Rel(root, f)
		if err != nil {
			t.Fatal(err)
		}
		got = append(got, filepath.ToSlash(name))
	}
	want := []string{"LICENSE", "NOTICE.txt", "a/LICENSE-3RD-PARTY.md", "a/b/COPYING"}
	if !slices.Equal(got, want) {
		t.Errorf("found %v, want %v", got, want)
	}
}
