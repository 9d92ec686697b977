package cli

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/alecthomas/kong"
)

// names lists the commands there are.
func names(t *testing.T) []string {
	t.Helper()
	parser, err := kong.New(&commands{})
	if err != nil {
		t.Fatal(err)
	}
	var out []string
	for _, n := range parser.Model.Children {
		out = append(out, n.Name)
	}
	if len(out) < 10 {
		t.Fatalf("only %d commands", len(out))
	}
	return out
}

// run runs one command line with the given standard input.
func run(stdin string, args ...string) (status int, stdout, stderr string) {
	var out, errs bytes.Buffer
	p := Program{
		Args: args, Stdin: strings.NewReader(stdin), Stdout: &out, Stderr: &errs,
		Demos: []Demo{{Name: "crate.yaml", Data: must(starters.ReadFile("starter/crate.yaml"))}},
	}
	return p.Run(), out.String(), errs.String()
}

func must(data []byte, err error) []byte {
	if err != nil {
		panic(err)
	}
	return data
}

func TestHelp_OfEveryCommandHasExamplesAndStatuses(t *testing.T) {
	for _, name := range names(t) {
		status, out, errs := run("", name, "--help")
		if status != 0 || errs != "" {
			t.Errorf("%s --help: status %d, errors %q", name, status, errs)
		}
		for _, want := range []string{"Usage: hangtrue " + name, "Example", "    hangtrue " + name, "Exit status: 0"} {
			if !strings.Contains(out, want) {
				t.Errorf("%s --help does not have %q:\n%s", name, want, out)
			}
		}
	}
}

var (
	exitIs = regexp.MustCompile(`\s+# exit (\d)$`)
	quoted = regexp.MustCompile(`'[^']*'|\S+`)
)

// TestCommandsPage runs every example of docs/commands.md in one folder, holds
// the lines under it against its output, and wants a heading for each command.
func TestCommandsPage(t *testing.T) {
	page := string(must(os.ReadFile(filepath.Join("..", "..", "..", "docs", "commands.md"))))
	for _, name := range names(t) {
		if !strings.Contains(page, "\n## "+name+"\n") {
			t.Errorf("the page has no heading for %s", name)
		}
	}
	t.Chdir(t.TempDir())
	var ran []string
	said, inside := "", false
	for line := range strings.Lines(page) {
		line = strings.TrimSuffix(line, "\n")
		command, isCommand := strings.CutPrefix(line, "$ ")
		switch {
		case strings.HasPrefix(line, "```"):
			inside = line == "```console"
		case !inside:
		case isCommand:
			want := 0
			if m := exitIs.FindStringSubmatch(command); m != nil {
				want, _ = strconv.Atoi(m[1])
				command = strings.TrimSuffix(command, m[0])
			}
			status := 0
			status, said = pipe(t, command)
			if status != want {
				t.Errorf("%s\nexit status %d, want %d\n%s", command, status, want, said)
			}
			ran = append(ran, quoted.FindAllString(command, -1)[1])
		default:
			if !strings.Contains(said, line+"\n") {
				t.Errorf("not said: %s\nbut:\n%s", line, said)
			}
		}
	}
	if len(ran) < 25 {
		t.Errorf("only %d examples", len(ran))
	}
	for _, name := range names(t) {
		if !slices.Contains(ran, name) {
			t.Errorf("the page has no example of %s", name)
		}
	}
}

// pipe runs commands joined by |, and returns the status of the last and all
// that it said.
func pipe(t *testing.T, line string) (status int, said string) {
	t.Helper()
	stdin := ""
	for part := range strings.SplitSeq(line, " | ") {
		words := quoted.FindAllString(part, -1)
		if words[0] != "hangtrue" {
			t.Fatalf("%s does not begin with hangtrue", part)
		}
		for i, w := range words {
			words[i] = strings.Trim(w, "'")
		}
		errs := ""
		status, stdin, errs = run(stdin, words[1:]...)
		said = stdin + errs
	}
	return status, said
}

// An extra command takes its flags and gives its status like ours.
type lamp struct {
	Bright int `default:"3" help:"How bright."`
}

func (l *lamp) Run(p *Program) error {
	if l.Bright > 9 {
		return fmt.Errorf("%d is too bright", l.Bright)
	}
	fmt.Fprintln(p.Stdout, l.Bright)
	return Outcome(l.Bright)
}

func TestExtra_IsACommandLikeOthers(t *testing.T) {
	for _, c := range []struct {
		args   []string
		status int
		out    string
		errs   string
	}{
		{[]string{"lamp"}, 3, "3\n", ""},
		{[]string{"lamp", "--bright", "1"}, 1, "1\n", ""},
		{[]string{"lamp", "--bright", "10"}, 2, "", "hangtrue: 10 is too bright\n"},
		{[]string{"lmap"}, 2, "", "hangtrue: there is no command \"lmap\"; did you mean \"lamp\"?\n"},
	} {
		var out, errs bytes.Buffer
		p := Program{Args: c.args, Stdout: &out, Stderr: &errs, Extra: []Extra{{Name: "lamp", Help: "Shine.", Run: &lamp{}}}}
		if status := p.Run(); status != c.status || out.String() != c.out || errs.String() != c.errs {
			t.Errorf("%v: status %d, output %q, errors %q", c.args, status, out.String(), errs.String())
		}
	}
}

func TestWorse_OrdersBadInputOverAndCannotTell(t *testing.T) {
	order := []int{0, 3, 1, 2}
	for i, a := range order {
		for k, b := range order {
			if got := worse(a, b); got != order[max(i, k)] {
				t.Errorf("worse(%d, %d) = %d", a, b, got)
			}
		}
	}
}
