package policy

import (
	"errors"
	"fmt"
	"path"
	"slices"
	"strings"
)

// module is the path of our module.
const module = "hangtrue"

// policy is the parsed form of arrows. Packages go by their folder beneath
// internal, as in engine/rig.
type policy struct {
	packages  []string
	testsOnly map[string]bool
	may       map[string]map[string]bool // importer → imported, closed over paths
	never     map[string]map[string]bool // importer → imported
}

// folder is where a package lies, from the module's root.
func folder(pkg string) string {
	switch {
	case strings.HasPrefix(pkg, "cmd/"):
		return pkg
	case pkg == "data/docs": // the documents lie where people look for them
		return "docs"
	}
	return "internal/" + pkg
}

func ring(pkg string) string {
	first, _, _ := strings.Cut(pkg, "/")
	return first
}

// beneath lists for each ring the rings that its tests may import; every
// ring's tests may also import the data ring.
var beneath = map[string][]string{
	"engine": {"data"},
	"paper":  {"data", "engine"},
	"keep":   {"data", "engine", "paper"},
	"data":   {"engine"},
	"face":   {"data", "engine", "paper", "keep"},
	"cmd":    {"data", "engine", "paper", "keep", "face"},
	"policy": {},
}

// parsePolicy reads a text in the form described at arrows.
func parsePolicy(text string) (*policy, error) {
	p := &policy{
		testsOnly: map[string]bool{},
		may:       map[string]map[string]bool{},
		never:     map[string]map[string]bool{},
	}
	var bare strings.Builder
	for line := range strings.Lines(text) {
		line, _, _ = strings.Cut(line, "#")
		bare.WriteString(line + "\n")
	}
	byName := map[string]string{}
	var errs []error
	var rules []string
	for statement := range strings.SplitSeq(bare.String(), ";") {
		statement = strings.Join(strings.Fields(statement), " ")
		head, tail, isList := strings.Cut(statement, ":")
		switch {
		case statement == "":
		case isList && (head == "tests only" || strings.HasPrefix(head, "in ")):
			for _, name := range splitList(tail) {
				pkg := name
				if head == "tests only" {
					p.testsOnly[pkg] = true
				} else {
					pkg = strings.TrimPrefix(head, "in ") + "/" + name
				}
				if slices.Contains(p.packages, pkg) {
					continue // a ring's package that is also for tests only
				}
				if other := byName[path.Base(pkg)]; other != "" {
					errs = append(errs, fmt.Errorf("two packages go by the name %s: %s and %s", path.Base(pkg), other, pkg))
				}
				byName[path.Base(pkg)] = pkg
				p.packages = append(p.packages, pkg)
			}
		case strings.Contains(statement, "<"):
			rules = append(rules, statement)
		default:
			errs = append(errs, fmt.Errorf("%q is neither a list nor an arrow", statement))
		}
	}

	// expand turns the list on one side of an arrow into packages.
	expand := func(list string, onLeft bool) []string {
		var out []string
		for _, name := range splitList(list) {
			switch {
			case name == "NONE" && onLeft:
			case name == strings.ToUpper(name):
				before := len(out)
				for _, pkg := range p.packages {
					if ring(pkg) == strings.ToLower(name) && !p.testsOnly[pkg] {
						out = append(out, pkg)
					}
				}
				if len(out) == before {
					errs = append(errs, fmt.Errorf("%s is no ring", name))
				}
				if !onLeft {
					errs = append(errs, fmt.Errorf("%s may stand only on the left of an arrow", name))
				}
			case byName[name] == "":
				errs = append(errs, fmt.Errorf("%s is no package listed", name))
			default:
				out = append(out, byName[name])
			}
		}
		return out
	}

	for _, rule := range rules {
		into, sides := p.may, strings.Split(rule, "<")
		if strings.Contains(rule, "!<") {
			into, sides = p.never, strings.Split(rule, "!<")
			if len(sides) != 2 {
				errs = append(errs, fmt.Errorf("%q: a refusal has one arrow", rule))
			}
		}
		for i := 1; i < len(sides); i++ {
			left := expand(sides[i-1], true)
			for _, importer := range expand(sides[i], false) {
				if into[importer] == nil {
					into[importer] = map[string]bool{}
				}
				for _, imported := range left {
					into[importer][imported] = true
				}
			}
		}
	}
	for _, pkg := range p.packages {
		if p.may[pkg] == nil {
			errs = append(errs, fmt.Errorf("%s has no rule", pkg))
		}
	}
	errs = append(errs, p.close()...)
	return p, errors.Join(errs...)
}

// close adds to every importer what its imports may import.
func (p *policy) close() []error {
	for _, through := range p.packages {
		for _, importer := range p.packages {
			if !p.may[importer][through] {
				continue
			}
			for imported := range p.may[through] {
				p.may[importer][imported] = true
			}
		}
	}
	var errs []error
	for _, pkg := range p.packages {
		if p.may[pkg][pkg] {
			errs = append(errs, fmt.Errorf("the arrows from %s lead back to it in a circle", pkg))
		}
	}
	return errs
}

func splitList(list string) []string {
	var out []string
	for name := range strings.SplitSeq(list, ",") {
		out = append(out, strings.TrimSpace(name))
	}
	return out
}

// name is the policy's name of the package in a folder, "" if it has none.
func (p *policy) name(dir string) string {
	for _, pkg := range p.packages {
		if folder(pkg) == dir {
			return pkg
		}
	}
	return ""
}

// mayImport says whether the package in one folder may import that in another.
func (p *policy) mayImport(from, to string) bool {
	importer, imported := p.name(from), p.name(to)
	return p.may[importer][imported] && !p.never[importer][imported]
}

// testMayImport says the same of its test files.
func (p *policy) testMayImport(from, to string) bool {
	importer, imported := p.name(from), p.name(to)
	if imported == "" {
		return false
	}
	return from == to || p.mayImport(from, to) || p.testsOnly[imported] ||
		ring(importer) == ring(imported) || slices.Contains(beneath[ring(importer)], ring(imported))
}

// existing are the folders that hold a package; a folder with nothing but tests
// is one only where the policy says so.
func (p *policy) existing(sources []source) map[string]bool {
	exists := map[string]bool{}
	for _, s := range sources {
		if !s.isTest || p.testsOnly[p.name(s.dir())] {
			exists[s.dir()] = true
		}
	}
	return exists
}

// breaches lists all that is wrong with the sources under this policy.
func (p *policy) breaches(sources []source, planned []string) []string {
	var out []string
	exists := p.existing(sources)
	for _, s := range sources {
		from := s.dir()
		importer := p.name(from)
		if importer == "" {
			continue // reported once below
		}
		for i, to := range s.imports() {
			to, ours := strings.CutPrefix(to, module+"/")
			if !ours {
				continue
			}
			spec := s.file.Imports[i]
			imported := strings.TrimPrefix(to, "internal/")
			if s.isTest && !p.testMayImport(from, to) {
				out = append(out, fmt.Sprintf("%s: tests of %s may not import %s", s.at(spec), importer, imported))
			}
			if !s.isTest && !p.mayImport(from, to) {
				out = append(out, fmt.Sprintf("%s: %s may not import %s (see arrows in arrows_test.go)", s.at(spec), importer, imported))
			}
		}
	}
	for dir := range exists {
		if p.name(dir) == "" {
			out = append(out, dir+" has no rule in arrows_test.go: say there who may import it and whom it may import")
		}
	}
	for _, pkg := range p.packages {
		there, isPlanned := exists[folder(pkg)], slices.Contains(planned, pkg)
		if !there && !isPlanned {
			out = append(out, pkg+" has a rule, does not exist and is not listed as planned in planned.txt")
		}
		if there && isPlanned {
			out = append(out, pkg+" is listed as planned and exists: take it out of planned.txt")
		}
	}
	for _, pkg := range planned {
		if !slices.Contains(p.packages, pkg) {
			out = append(out, pkg+" is listed as planned and has no rule in arrows_test.go")
		}
	}
	slices.Sort(out)
	return out
}
