package cli

import (
	"context"
	"errors"
	"fmt"
	"io"
	"regexp"
	"strings"

	"github.com/alecthomas/kong"

	"hangtrue/internal/engine/spelling"
	"hangtrue/internal/face/app"
)

// Program is what the command line needs of the outside.
type Program struct {
	Args   []string // without the program's name
	Stdin  io.Reader
	Stdout io.Writer
	Stderr io.Writer
	// Demos are the rigs that the demo command writes.
	Demos []Demo
	// Beside are the documents that the demo command writes beside them: Name is
	// the file with its folder, such as briefs/crate.yaml.
	Beside []Demo
	// Serve shows the rigs of a folder as pages until ctx ends; nil where this
	// program has no pages.
	Serve func(ctx context.Context, o Serving) error
	// Extra are commands that other faces bring, such as serve.
	Extra []Extra
}

// Demo is a rig file that is built in. Name is its file name.
type Demo struct {
	Name string
	Data []byte
}

// Serving says what is to be shown as pages, and where.
type Serving struct {
	Folder string
	School *SchoolServing // instead of a folder
	Addr   string         // host:port of this machine; "" is any free port
	Open   bool           // open the user's browser, where there is one
	Tool   string
	Out    io.Writer // where the address is printed
	Log    io.Writer
}

// Extra is a command from outside this package. Run is a pointer to a struct
// whose tagged fields are the command's flags and arguments and which has the
// method Run(*Program) error.
type Extra struct {
	Name, Help string
	Run        any
}

// commands is the grammar of the command line.
type commands struct {
	Solve      solveCommand      `cmd:"" help:"Hang a rig and say how it comes out."`
	Check      checkCommand      `cmd:"" help:"Hang many rigs, one line each."`
	Draw       drawCommand       `cmd:"" help:"Draw a rig as it hangs, or as it stands on the ground."`
	Sheet      sheetCommand      `cmd:"" help:"Print a rig's sheet as PDF."`
	Counts     countsCommand     `cmd:"" help:"Search the link counts that hang a rig within its limits."`
	Spread     spreadCommand     `cmd:"" help:"Solve a rig over the spread of its inputs: how sure is it?"`
	Faults     faultsCommand     `cmd:"" help:"Work out what one thing gone wrong does to a rig."`
	Flight     flightCommand     `cmd:"" help:"Study a rig in steady flight: trail, pulls and swing. No plan."`
	Parts      partsCommand      `cmd:"" help:"List the parts of a rig that a person can look at."`
	Sequence   sequenceCommand   `cmd:"" help:"Suggest an inspection sequence for a rig, or say how far one goes."`
	Brief      briefCommand      `cmd:"" help:"Print a load brief: placard, aircrew sheet and hook-up team card."`
	Trace      traceCommand      `cmd:"" help:"Say who hangs where: each leg from its seat to its points, as planned or as found."`
	Effects    effectsCommand    `cmd:"" help:"Say what every deficiency of a rig would do."`
	Lesson     lessonCommand     `cmd:"" help:"Print the walk-round of a rig as a lesson."`
	Quiz       quizCommand       `cmd:"" help:"Print a picture quiz of a rig's parts from a seed, and its key."`
	Closeup    closeupCommand    `cmd:"" help:"Draw one part close up, in any of its states."`
	Weigh      weighCommand      `cmd:"" help:"Mass and CG from axle or scale readings."`
	Liquid     liquidCommand     `cmd:"" help:"What a fill of liquid weighs, and its room to expand."`
	Air        airCommand        `cmd:"" help:"Density altitude, and rotor wash by distance."`
	Aircraft   aircraftCommand   `cmd:"" help:"Check and plot aircraft files."`
	Lift       liftCommand       `cmd:"" help:"Ask whether an aircraft can carry a rig."`
	Day        dayCommand        `cmd:"" help:"Plan a day's lifts for one aircraft."`
	Procedures proceduresCommand `cmd:"" help:"Hold rigs against the register of procedures."`
	Records    recordsCommand    `cmd:"" help:"Check sealed records against what was sealed."`
	New        newCommand        `cmd:"" help:"Print a rig file to start from."`
	Serve      serveCommand      `cmd:"" help:"Show a folder of rigs as pages."`
	Demo       demoCommand       `cmd:"" help:"Write the invented demo rigs to a new folder, hang them and show them as pages."`
	Audit      auditCommand      `cmd:"" help:"Check a solution against its rig by a second route."`
	Selftest   selftestCommand   `cmd:"" help:"Check the program against values known from outside it."`
	Schema     schemaCommand     `cmd:"" help:"Print the schema of a file format."`
	Version    versionCommand    `cmd:"" help:"Print the program's version and the formats it knows."`
	Licenses   licensesCommand   `cmd:"" help:"Print the notices of the work of others that is linked in."`
}

const description = `Hangs a load under a helicopter by computation: tensions, attitude and hook loads, held against the limits entered.

A result is one of four: within the limits entered, over a limit, cannot tell, does not stand. It is never a clearance to lift.`

// Outcome is the error of a command that has said all there is to say and only
// wants its exit status.
type Outcome int

func (o Outcome) Error() string { return fmt.Sprintf("exit status %d", int(o)) }

// Run reads the command line, does what it says and returns the exit status.
func (p *Program) Run() int {
	err := p.dispatch()
	var outcome Outcome
	switch {
	case err == nil:
		return app.ExitWithin
	case errors.As(err, &outcome):
		return int(outcome)
	}
	fmt.Fprintf(p.Stderr, "hangtrue: %v\n", err)
	return app.ExitBadInput
}

func (p *Program) dispatch() error {
	var grammar commands
	helped := false
	options := []kong.Option{
		kong.Name("hangtrue"),
		kong.Description(description),
		kong.Writers(p.Stdout, p.Stderr),
		kong.Exit(func(int) { helped = true }),
		kong.ConfigureHelp(kong.HelpOptions{Compact: true, WrapUpperBound: 88}),
	}
	for _, x := range p.Extra {
		options = append(options, kong.DynamicCommand(x.Name, x.Help, "", x.Run))
	}
	parser, err := kong.New(&grammar, options...)
	if err != nil {
		return err
	}
	args, err := p.args(parser)
	if err != nil {
		return err
	}
	context, err := parser.Parse(negatives(args))
	if helped {
		return nil
	}
	if err != nil {
		return usage(err)
	}
	return context.Run(p)
}

// args puts right what people type before they know the commands, and names
// the nearest command for one that is not known.
func (p *Program) args(parser *kong.Kong) ([]string, error) {
	var names []string
	for _, n := range parser.Model.Children {
		names = append(names, n.Name)
	}
	if len(p.Args) == 0 {
		return nil, fmt.Errorf("name a command: %s; hangtrue --help says what each does", strings.Join(names, ", "))
	}
	first := p.Args[0]
	switch {
	case first == "help":
		return append(append([]string{}, p.Args[1:]...), "--help"), nil
	case first == "--version" || first == "-v" || first == "-V":
		return append([]string{"version"}, p.Args[1:]...), nil
	case strings.HasPrefix(first, "-"):
		return p.Args, nil
	}
	for _, n := range names {
		if n == first {
			return p.Args, nil
		}
	}
	if near := spelling.Nearest(first, names); near != "" {
		return nil, fmt.Errorf("there is no command %q; did you mean %q?", first, near)
	}
	hint := "commands are: " + strings.Join(names, ", ")
	if strings.HasSuffix(first, ".yaml") || strings.HasSuffix(first, ".yml") {
		hint = "to hang a rig file: hangtrue solve " + first
	}
	return nil, fmt.Errorf("there is no command %q; %s", first, hint)
}

// negatives joins a flag to a value below zero, such as --at '-5 degC', which
// would else be read as a flag of its own. No flag here begins with a digit.
func negatives(args []string) []string {
	var out []string
	for i := 0; i < len(args); i++ {
		if args[i] == "--" {
			return append(out, args[i:]...)
		}
		flag := strings.HasPrefix(args[i], "--") && !strings.Contains(args[i], "=")
		if flag && i+1 < len(args) && len(args[i+1]) > 1 && args[i+1][0] == '-' && strings.ContainsRune("0123456789.", rune(args[i+1][1])) {
			out = append(out, args[i]+"="+args[i+1])
			i++
			continue
		}
		out = append(out, args[i])
	}
	return out
}

// expected is how the reader of the command line says that a number is none.
var expected = regexp.MustCompile(`expected an? (?:valid )?(?:\d+ bit )?(int|uint|float)(?: value)? but got`)

// usage adds to a mistake on the command line where to read on.
func usage(err error) error {
	command := "hangtrue"
	var parse *kong.ParseError
	if errors.As(err, &parse) && parse.Context != nil {
		if n := parse.Context.Selected(); n != nil {
			command += " " + n.Name
		}
	}
	text := expected.ReplaceAllStringFunc(err.Error(), func(s string) string {
		if strings.Contains(s, "float") {
			return "a number is needed, not"
		}
		return "a whole number is needed, not"
	})
	return fmt.Errorf("%s; see %s --help", strings.TrimSuffix(text, " (string)"), command)
}
