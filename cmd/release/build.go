package main

import (
	"bytes"
	"debug/buildinfo"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"runtime/debug"
	"slices"
	"strings"
	"time"
)

// platform is a system and a processor, as the go command names them.
type platform struct{ system, processor string }

func (p platform) String() string { return p.system + "/" + p.processor }

// platforms are those that releases are made for.
var platforms = []platform{
	{"darwin", "amd64"},
	{"darwin", "arm64"},
	{"linux", "amd64"},
	{"linux", "arm64"},
	{"windows", "amd64"},
	{"windows", "arm64"},
}

// chosen are the platforms of that name, all if none is named.
func chosen(names []string) ([]platform, error) {
	if len(names) == 0 {
		return platforms, nil
	}
	var out []platform
	for _, name := range names {
		i := slices.IndexFunc(platforms, func(p platform) bool { return p.String() == name })
		if i < 0 {
			return nil, fmt.Errorf("%q is none of the platforms: %v", name, platforms)
		}
		out = append(out, platforms[i])
	}
	return out, nil
}

// program is the file name of the program on a platform.
func (p platform) program() string {
	if p.system == "windows" {
		return "hangtrue.exe"
	}
	return "hangtrue"
}

// stamp is what a program says of itself.
type stamp struct {
	version  string // without v
	revision string
	at       time.Time
}

// setting is a variable of the environment that changes what the compiler
// makes, with the value that releases have. Build notes a variable only where
// it means something for the processor.
type setting struct{ name, value string }

func settings(p platform) []setting {
	return []setting{
		{"CGO_ENABLED", "0"},
		{"GOARCH", p.processor},
		{"GOOS", p.system},
		{"GOAMD64", "v1"},
		{"GOARM64", "v8.0"},
		{"GOEXPERIMENT", ""},
		{"GOFIPS140", "off"},
		{"GOFLAGS", ""},
		{"GOWORK", "off"},
	}
}

// build compiles the program from the source in a folder with the Go that is
// named (local for the one installed), and returns its bytes and what it is
// made of. Extra is added to the environment.
func build(source string, p platform, s stamp, with string, extra ...string) ([]byte, *debug.BuildInfo, error) {
	dir, err := os.MkdirTemp("", "release-build-")
	if err != nil {
		return nil, nil, err
	}
	defer os.RemoveAll(dir)
	file := filepath.Join(dir, p.program())
	link := []string{"-s", "-w", "-buildid="}
	for _, x := range [][2]string{{"releaseVersion", s.version}, {"releaseRevision", s.revision}, {"releaseTime", s.at.Format(time.RFC3339)}} {
		if strings.ContainsAny(x[1], "'\" ") {
			return nil, nil, fmt.Errorf("%q cannot be stamped: it has a quote or a space", x[1])
		}
		link = append(link, "-X", ourModule+"/internal/face/cli."+x[0]+"="+x[1])
	}
	c := exec.Command("go", "build", "-trimpath", "-buildvcs=false", "-mod=readonly", "-ldflags", strings.Join(link, " "), "-o", file, "./cmd/hangtrue")
	c.Dir = source
	c.Env = append(os.Environ(), "GOTOOLCHAIN="+with)
	for _, x := range settings(p) {
		c.Env = append(c.Env, x.name+"="+x.value)
	}
	c.Env = append(c.Env, extra...)
	var complaint bytes.Buffer
	c.Stderr = &complaint
	if err := c.Run(); err != nil {
		return nil, nil, fmt.Errorf("building for %s: %w\n%s", p, err, complaint.Bytes())
	}
	data, err := os.ReadFile(file)
	if err != nil {
		return nil, nil, err
	}
	info, err := buildinfo.Read(bytes.NewReader(data))
	if err != nil {
		return nil, nil, err
	}
	if err := asAsked(info, p); err != nil {
		return nil, nil, fmt.Errorf("the program for %s: %w", p, err)
	}
	for _, place := range []string{source, dir} {
		if bytes.Contains(data, []byte(place)) {
			return nil, nil, fmt.Errorf("the program for %s holds the name of the folder %s, and would differ elsewhere", p, place)
		}
	}
	return data, info, nil
}

// asAsked compares what the linker noted in the program with what was asked
// for: a user's own settings of the go command may have come between.
func asAsked(info *debug.BuildInfo, p platform) error {
	var errs []error
	trimmed := false
	for _, s := range info.Settings {
		trimmed = trimmed || s.Key == "-trimpath" && s.Value == "true"
		if strings.HasPrefix(s.Key, "vcs") || s.Key == "-tags" {
			errs = append(errs, fmt.Errorf("it was built with %s=%s; a release has no such mark", s.Key, s.Value))
		}
		for _, x := range settings(p) {
			if x.name == s.Key && x.value != s.Value {
				errs = append(errs, fmt.Errorf("%s is %q where releases have %q", s.Key, s.Value, x.value))
			}
		}
	}
	if !trimmed {
		errs = append(errs, errors.New("it was built without -trimpath"))
	}
	for _, m := range info.Deps {
		if m.Replace != nil {
			errs = append(errs, fmt.Errorf("module %s is replaced by %s", m.Path, m.Replace.Path))
		}
	}
	return errors.Join(errs...)
}
