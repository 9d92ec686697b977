package main

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"runtime/debug"
	"slices"
	"strings"
	"time"

	"hangtrue/internal/data/licenses"
)

// bom is the list of what a program is made of, in the form CycloneDX 1.6
// (ECMA-424): the keys that it asks for, and those that we know.
// Source: https://cyclonedx.org/docs/1.6/json/
type bom struct {
	Schema       string       `json:"$schema"`
	Format       string       `json:"bomFormat"`
	SpecVersion  string       `json:"specVersion"`
	SerialNumber string       `json:"serialNumber"`
	Version      int          `json:"version"`
	Metadata     metadata     `json:"metadata"`
	Components   []component  `json:"components"`
	Dependencies []dependency `json:"dependencies"`
}

type metadata struct {
	Timestamp  string      `json:"timestamp"`
	Lifecycles []lifecycle `json:"lifecycles"`
	Component  component   `json:"component"`
}

type lifecycle struct {
	Phase string `json:"phase"`
}

type component struct {
	Type       string     `json:"type"`
	Ref        string     `json:"bom-ref"`
	Name       string     `json:"name"`
	Version    string     `json:"version"`
	Hashes     []digest   `json:"hashes,omitempty"`
	Licenses   []license  `json:"licenses"`
	PURL       string     `json:"purl"`
	Properties []property `json:"properties,omitempty"`
}

type digest struct {
	Algorithm string `json:"alg"`
	Content   string `json:"content"`
}

type license struct {
	License licenseName `json:"license"`
}

// licenseName has an SPDX identifier, or a name where SPDX has none.
type licenseName struct {
	ID   string `json:"id,omitempty"`
	Name string `json:"name,omitempty"`
}

type property struct {
	Name  string `json:"name"`
	Value string `json:"value"`
}

type dependency struct {
	Ref       string   `json:"ref"`
	DependsOn []string `json:"dependsOn"`
}

// Names of properties of ours. CycloneDX asks for a prefix of one's own.
const (
	propertyRevision = "hangtrue:revision" // the commit
	propertyPlatform = "hangtrue:platform"
	propertySum      = "hangtrue:go.sum" // the module's line in go.sum: a hash over the hashes of its files
	propertySetting  = "hangtrue:build:" // what the linker noted of the build
)

// purl names a Go module as the package URL specification does.
func purl(path, version string) string {
	return "pkg:golang/" + path + "@" + strings.ReplaceAll(version, "+", "%2B")
}

// madeOf lists the modules that are linked into a program, from what the linker
// noted in it, with the licences of their notices. Sums are the lines of go.sum,
// by module and version. A module without a notice, or with another sum than in
// go.sum, is refused.
func madeOf(p platform, s stamp, program []byte, info *debug.BuildInfo, sums map[string]string) ([]byte, error) {
	sum := sha256.Sum256(program)
	us := component{
		Type: "application", Name: "hangtrue", Version: s.version, PURL: purl(ourModule, "v"+s.version),
		Hashes:     []digest{{"SHA-256", hex.EncodeToString(sum[:])}},
		Licenses:   []license{{licenseName{ID: "Apache-2.0"}}},
		Properties: []property{{propertyRevision, s.revision}, {propertyPlatform, p.String()}},
	}
	us.Ref = us.PURL
	for _, x := range info.Settings {
		us.Properties = append(us.Properties, property{propertySetting + x.Key, x.Value})
	}
	std := strings.TrimPrefix(info.GoVersion, "go")
	parts := []component{{Type: "library", Name: "std", Version: std, PURL: purl("std", std)}}
	for _, m := range info.Deps {
		if want := sums[m.Path+" "+m.Version]; want == "" || want != m.Sum {
			return nil, fmt.Errorf("module %s %s was linked with the sum %q; go.sum has %q", m.Path, m.Version, m.Sum, want)
		}
		parts = append(parts, component{
			Type: "library", Name: m.Path, Version: m.Version, PURL: purl(m.Path, m.Version),
			Properties: []property{{propertySum, m.Sum}},
		})
	}
	depends := dependency{Ref: us.Ref}
	for i := range parts {
		c := &parts[i]
		var err error
		if c.Licenses, err = licensesOf(c.Name, c.Version); err != nil {
			return nil, err
		}
		c.Ref = c.PURL
		depends.DependsOn = append(depends.DependsOn, c.Ref)
	}
	text, err := json.MarshalIndent(bom{
		Schema: "http://cyclonedx.org/schema/bom-1.6.schema.json", Format: "CycloneDX", SpecVersion: "1.6",
		SerialNumber: serial(sum), Version: 1,
		Metadata: metadata{
			Timestamp: s.at.Format(time.RFC3339), Lifecycles: []lifecycle{{"build"}}, Component: us,
		},
		Components: parts, Dependencies: []dependency{depends},
	}, "", "  ")
	return append(text, '\n'), err
}

// serial is a UUID of version 8, whose bits are the maker's own choice (RFC 9562
// section 5.8): here the first of the program's hash, so that the same program
// has the same number.
func serial(sum [sha256.Size]byte) string {
	b := sum[:16]
	b[6] = b[6]&0x0f | 0x80
	b[8] = b[8]&0x3f | 0x80
	return fmt.Sprintf("urn:uuid:%x-%x-%x-%x-%x", b[:4], b[4:6], b[6:8], b[8:10], b[10:16])
}

// phrase is words that every text of a licence has, and no other of the list.
type phrase struct {
	words *regexp.Regexp
	id    string // in the SPDX list
}

// known are the phrases by which licences are told. One file may hold two.
var known = []phrase{
	{regexp.MustCompile(`Bitstream Vera Fonts Copyright`), "Bitstream-Vera"},
	{regexp.MustCompile(`Apache License\s+Version 2\.0|Licensed under the Apache License, Version 2\.0`), "Apache-2.0"},
	{regexp.MustCompile(`(?s)Redistribution and use in source and binary forms.*Neither the name`), "BSD-3-Clause"},
	{regexp.MustCompile(`Redistribution and use in source and binary forms`), "BSD-2-Clause"}, // unless it is the one before
	{regexp.MustCompile(`Permission is hereby granted, free of charge, to any person obtaining\s+a\s+copy\s+of\s+this\s+software`), "MIT"},
	{regexp.MustCompile(`Permission to use, copy, modify, and/or distribute`), "ISC"},
}

// told are the licences in a text, by their SPDX identifiers.
func told(text string) []string {
	var out []string
	for _, k := range known {
		if k.words.MatchString(text) && (k.id != "BSD-2-Clause" || !slices.Contains(out, "BSD-3-Clause")) {
			out = append(out, k.id)
		}
	}
	return out
}

// several are files that hold more than one licence; noLicense are files kept
// beside one that are none.
var (
	several   = regexp.MustCompile(`3RD-PARTY`)
	noLicense = regexp.MustCompile(`^(PATENTS|NOTICE.*|LICENSE-LOGO)$`)
)

// licensesOf are the licences of a module's notices, as far as their words tell;
// a text of a kind not known goes by the file's name. All hold together.
func licensesOf(module, version string) ([]license, error) {
	all := licenses.Modules()
	i := slices.IndexFunc(all, func(m licenses.Module) bool {
		return m.Path == module && m.Version == version || m.Path == "Go" && module == "std"
	})
	if i < 0 {
		return nil, fmt.Errorf("module %s %s has no notice; run go generate ./internal/data/licenses", module, version)
	}
	var out []license
	add := func(n licenseName) {
		if l := (license{n}); !slices.Contains(out, l) {
			out = append(out, l)
		}
	}
	for _, f := range all[i].Files {
		if noLicense.MatchString(f.Name) {
			continue
		}
		ids := told(f.Text)
		if len(ids) == 0 || several.MatchString(f.Name) {
			add(licenseName{Name: "see " + f.Name + " of the module"})
			continue
		}
		for _, id := range ids {
			add(licenseName{ID: id})
		}
	}
	if len(out) == 0 {
		return nil, fmt.Errorf("module %s %s has notices and no licence among them", module, version)
	}
	return out, nil
}

// goSums reads the hashes of modules in a folder's go.sum, by "module version".
func goSums(source string) (map[string]string, error) {
	text, err := os.ReadFile(filepath.Join(source, "go.sum"))
	if err != nil {
		return nil, err
	}
	out := map[string]string{}
	for line := range strings.Lines(string(text)) {
		if f := strings.Fields(line); len(f) == 3 && !strings.HasSuffix(f[1], "/go.mod") {
			out[f[0]+" "+f[1]] = f[2]
		}
	}
	return out, nil
}
