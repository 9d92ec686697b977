package cli

import (
	"fmt"

	"hangtrue/internal/engine/rig"
	"hangtrue/internal/engine/spelling"
	"hangtrue/internal/face/app"
)

type effectsCommand struct {
	Rig     string `arg:"" help:"Rig file; - for standard input."`
	Catalog string `placeholder:"DIR" help:"Folder with a school's own catalogue files, read over the shipped ones."`
	JSON    bool   `name:"json" help:"Print the table as data."`
}

// Help is the command's long help.
func (effectsCommand) Help() string {
	return `Examples:

  hangtrue effects crate.yaml
  hangtrue effects crate.yaml --catalog kinds
  hangtrue effects crate.yaml --json

The rig is hung once for every deficiency with a mechanical meaning; of the others the catalogue's hazard is shown. The order is that of the gravest thing each may end in.

Exit status: 0 printed; 2 bad input; 3 cannot tell, counts are still to be found.`
}

// Run prints the deficiency table of one rig.
func (c *effectsCommand) Run(p *Program) error {
	s, v, err := p.survey(c.Rig, c.Catalog)
	if err != nil {
		return err
	}
	if s.Answer == nil {
		fmt.Fprintf(p.Stderr, "%s: %s\n", shownName(c.Rig), openWords(s))
		return outcome(s.Exit())
	}
	d, err := app.Effects(s, v)
	if err != nil {
		return fmt.Errorf("%s: %w", shownName(c.Rig), err)
	}
	if c.JSON {
		return p.writeJSON(d)
	}
	return p.write("", []byte(effectsTable(s, &d)))
}

func effectsTable(s *app.Solved, d *app.EffectsDocument) string {
	p := page{show: s.Rig.Show()}
	p.standing(s.Rig)
	p.WriteString(hanging(d.Words+": "+d.Reason, "\nAs planned: ", "  "))
	p.list(d.Geometry)

	groups := grouped(d.Effects)
	p.section(spelling.Count(len(d.Effects), "deficiency", "deficiencies") + " of the catalogue that this rig can have, by the gravest each may end in")
	var rows [][]string
	for _, g := range groups {
		computed, fallen, over := 0, 0, 0
		for i := range g {
			switch x := &g[i]; {
			case !x.Computed:
				continue
			case x.Result == rig.DoesNotStand.String():
				fallen++
			case x.Result == rig.Over.String():
				over++
			}
			computed++
		}
		rows = append(rows, []string{endWords(&g[0]), fmt.Sprint(len(g)), fmt.Sprint(computed), fmt.Sprint(fallen), fmt.Sprint(over)})
	}
	p.rows([]string{"may end in", "deficiencies", "computed", "does not stand", "over a limit"}, rows)

	for _, g := range groups {
		p.section("May end in: " + endWords(&g[0]))
		for i := range g {
			x := &g[i]
			how := "not computed; "
			if x.Computed {
				how = "computed; "
			}
			p.list([]string{x.Text})
			p.WriteString(hanging(fmt.Sprintf("%s (%s%s)", x.Effect, how, x.ActWords), "      ", "      "))
		}
	}
	p.WriteString("\n" + wrapped(rig.Caution, ""))
	return p.String()
}

// grouped parts the effects, which are in that order, by the gravest end.
func grouped(list []app.ListedEffect) [][]app.ListedEffect {
	var out [][]app.ListedEffect
	for i := range list {
		if i == 0 || list[i].EndWords != list[i-1].EndWords {
			out = append(out, nil)
		}
		out[len(out)-1] = append(out[len(out)-1], list[i])
	}
	return out
}

func endWords(x *app.ListedEffect) string {
	if x.EndWords == "" {
		return "nothing stated"
	}
	return x.EndWords
}
