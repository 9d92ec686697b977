package web

import (
	"fmt"
	"math"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"hangtrue/internal/engine/lift"
	"hangtrue/internal/engine/quantity"
)

// hoverTables are the keys of the hover tables and what they are called.
var hoverTables = []struct{ key, title string }{
	{"oge", "Hover out of ground effect"},
	{"ige", "Hover in ground effect"},
}

// grid is a hover table as it is typed: numbers go with the units chosen for
// the table, unless a cell has one of its own.
type grid struct {
	key                         string
	source                      string
	altitude, temperature, mass string // units
	altitudes, temperatures     []string
	gross                       [][]string // by altitude, then temperature
}

var gridUnits = map[string][]string{"altitude": {"ft", "m"}, "temperature": {"degC", "degF"}, "mass": {"kg", "lb", "t"}}

// mostGrid bounds rows and columns, as the format does.
const mostGrid = 60

func gridPath(key string) string { return "hover." + key }

// gridTyped is the grid of fields by path, as they stand.
func gridTyped(t typed, key string) grid {
	at := gridPath(key)
	g := grid{key: key, source: t[at+".source"], altitude: "ft", temperature: "degC", mass: "kg"}
	column := func(list string) []string {
		var out []string
		for i := range min(t.entries(at+"."+list), mostGrid) {
			out = append(out, t[fmt.Sprintf("%s.%s[%d]", at, list, i)])
		}
		return out
	}
	g.altitudes, g.temperatures = column("altitudes"), column("temperatures")
	for i := range min(t.entries(at+".gross"), mostGrid) {
		var row []string
		for j := range min(t.entries(fmt.Sprintf("%s.gross[%d]", at, i)), mostGrid) {
			row = append(row, t[fmt.Sprintf("%s.gross[%d][%d]", at, i, j)])
		}
		g.gross = append(g.gross, row)
	}
	g.square()
	return g
}

// gridOf makes the grid of what was typed in a file.
func gridOf(t typed, key string, show quantity.System) grid {
	g := gridTyped(t, key)
	if show == quantity.US {
		g.mass = "lb"
	}
	g.altitude, g.altitudes = bareNumbers(g.altitude, "altitude", g.altitudes)
	g.temperature, g.temperatures = bareNumbers(g.temperature, "temperature", g.temperatures)
	all := slices.Concat(g.gross...)
	g.mass, _ = bareNumbers(g.mass, "mass", all)
	for _, row := range g.gross {
		for j, x := range row {
			if row[j] = strings.TrimSuffix(x, " "+g.mass); x == "none" {
				row[j] = ""
			}
		}
	}
	g.square()
	return g
}

// bareNumbers picks the unit that most of the texts have and takes it off them.
func bareNumbers(usual, kind string, texts []string) (string, []string) {
	count := map[string]int{}
	for _, x := range texts {
		if _, unit, ok := strings.Cut(x, " "); ok && slices.Contains(gridUnits[kind], unit) {
			count[unit]++
		}
	}
	for _, unit := range gridUnits[kind] {
		if count[unit] > count[usual] {
			usual = unit
		}
	}
	out := slices.Clone(texts)
	for i := range out {
		out[i] = strings.TrimSuffix(out[i], " "+usual)
	}
	return usual, out
}

// postedGrid is a grid as the page sends it.
func postedGrid(form url.Values, key string) grid {
	g := gridTyped(postedFields(form), key)
	unit := func(kind string, into *string) {
		if u := form.Get("u." + gridPath(key) + "." + kind); slices.Contains(gridUnits[kind], u) {
			*into = u
		}
	}
	unit("altitude", &g.altitude)
	unit("temperature", &g.temperature)
	unit("mass", &g.mass)
	return g
}

// square gives every row as many cells as there are columns, and takes off rows
// and columns at the end in which nothing stands.
func (g *grid) square() {
	columns, rows := len(g.temperatures), max(len(g.altitudes), len(g.gross))
	for _, row := range g.gross {
		columns = max(columns, len(row))
	}
	for len(g.altitudes) < rows {
		g.altitudes = append(g.altitudes, "")
	}
	for len(g.temperatures) < columns {
		g.temperatures = append(g.temperatures, "")
	}
	for len(g.gross) < rows {
		g.gross = append(g.gross, nil)
	}
	for i := range g.gross {
		for len(g.gross[i]) < columns {
			g.gross[i] = append(g.gross[i], "")
		}
	}
	for rows > 0 && strings.TrimSpace(g.altitudes[rows-1]) == "" && blank(g.gross[rows-1]) {
		rows--
	}
	empty := func(j int) bool {
		for i := range rows {
			if strings.TrimSpace(g.gross[i][j]) != "" {
				return false
			}
		}
		return strings.TrimSpace(g.temperatures[j]) == ""
	}
	for columns > 0 && empty(columns-1) {
		columns--
	}
	g.altitudes, g.temperatures, g.gross = g.altitudes[:rows], g.temperatures[:columns], g.gross[:rows]
	for i := range g.gross {
		g.gross[i] = g.gross[i][:columns]
	}
}

func blank(texts []string) bool {
	return !slices.ContainsFunc(texts, func(x string) bool { return strings.TrimSpace(x) != "" })
}

// without takes a row or a column out.
func (g *grid) without(row bool, at int) {
	switch {
	case row && at >= 0 && at < len(g.altitudes):
		g.altitudes = slices.Delete(g.altitudes, at, at+1)
		g.gross = slices.Delete(g.gross, at, at+1)
	case !row && at >= 0 && at < len(g.temperatures):
		g.temperatures = slices.Delete(g.temperatures, at, at+1)
		for i := range g.gross {
			g.gross[i] = slices.Delete(g.gross[i], at, at+1)
		}
	}
}

// pasted reads a table as spreadsheets copy it: temperatures in the first row,
// then one row for each altitude with the altitude first. It says what is wrong
// in people's words; "" where nothing is.
func (g *grid) pasted(text string) (wrong string) {
	var rows [][]string
	for line := range strings.Lines(text) {
		if line = strings.TrimRight(line, "\r\n"); strings.TrimSpace(line) == "" {
			continue
		}
		by := "\t"
		if !strings.Contains(line, by) {
			by = ";"
		}
		cells := strings.Split(line, by)
		for i := range cells {
			cells[i] = strings.TrimSpace(cells[i])
		}
		rows = append(rows, cells)
	}
	switch {
	case len(rows) < 3 || len(rows[0]) < 3:
		return "What was pasted is no table. Copy the whole table from the spreadsheet: temperatures in the first row, altitudes in the first column, two of each at least, cells apart by tabs or semicolons."
	case len(rows)-1 > mostGrid || len(rows[0])-1 > mostGrid:
		return fmt.Sprintf("What was pasted has more than %d rows or columns.", mostGrid)
	}
	g.temperatures = rows[0][1:]
	g.altitudes, g.gross = nil, nil
	for i, row := range rows[1:] {
		if len(row) > len(rows[0]) {
			return fmt.Sprintf("Row %d of what was pasted has %d cells, and the first row has %d.", i+2, len(row), len(rows[0]))
		}
		g.altitudes = append(g.altitudes, row[0])
		g.gross = append(g.gross, row[1:])
	}
	g.square()
	return ""
}

// empty reports whether nothing is typed in the grid.
func (g *grid) empty() bool {
	return len(g.altitudes) == 0 && len(g.temperatures) == 0 && strings.TrimSpace(g.source) == ""
}

// table makes a hover table of the grid where every figure can be read, whatever
// else of the aircraft is still missing.
func (g *grid) table() (*lift.Table, bool) {
	t := &lift.Table{Source: g.source}
	axis := func(texts []string, unit string, kind quantity.Kind, rises bool) ([]float64, bool) {
		out := make([]float64, len(texts))
		for i, x := range texts {
			if x = strings.TrimSpace(x); x == "" && !rises {
				out[i] = math.NaN()
				continue
			}
			q, err := quantity.Parse(withUnit(x, unit), kind)
			if err != nil || !rises && !(q.Value > 0) || rises && i > 0 && !(q.Value > out[i-1]) {
				return nil, false
			}
			out[i] = q.Value
		}
		return out, len(out) >= 2
	}
	var ok bool
	if t.Altitudes, ok = axis(g.altitudes, g.altitude, quantity.Length, true); !ok {
		return nil, false
	}
	if t.Temperatures, ok = axis(g.temperatures, g.temperature, quantity.Temperature, true); !ok {
		return nil, false
	}
	for _, row := range g.gross {
		masses, ok := axis(row, g.mass, quantity.Mass, false)
		if !ok {
			return nil, false
		}
		t.Gross = append(t.Gross, masses)
	}
	return t, true
}

// withUnit gives a bare number the unit of its table.
func withUnit(x, unit string) string {
	if strings.ContainsFunc(x, func(c rune) bool { return c >= 'a' && c <= 'z' && c != 'e' || c >= 'A' && c <= 'Z' && c != 'E' }) {
		return x
	}
	return x + " " + unit
}

// write writes the grid as YAML beneath the key hover.
func (g *grid) write() string {
	if g.empty() {
		return ""
	}
	var b strings.Builder
	fmt.Fprintf(&b, "  %s:\n", g.key)
	if s := strings.TrimSpace(g.source); s != "" {
		fmt.Fprintf(&b, "    source: %s\n", yamlScalar(s))
	}
	list := func(texts []string, unit, empty string) string {
		out := make([]string, len(texts))
		for i, x := range texts {
			if x = strings.TrimSpace(x); x == "" {
				out[i] = empty
				continue
			}
			out[i] = yamlScalar(withUnit(x, unit))
		}
		return "[" + strings.Join(out, ", ") + "]"
	}
	fmt.Fprintf(&b, "    altitudes: %s\n", list(g.altitudes, g.altitude, `""`))
	fmt.Fprintf(&b, "    temperatures: %s\n    gross:\n", list(g.temperatures, g.temperature, `""`))
	for _, row := range g.gross {
		fmt.Fprintf(&b, "      - %s\n", list(row, g.mass, "none"))
	}
	return b.String()
}

// writeHover writes all tables under their key; "" where there is none.
func writeHover(grids []grid) string {
	text := ""
	for i := range grids {
		text += grids[i].write()
	}
	if text == "" {
		return ""
	}
	return "hover:\n" + text
}

// gridView is a hover table on the page.
type gridView struct {
	Key, Title, Name string
	Source           formFieldView
	Units            []unitView
	Columns          []gridCell
	Rows             []gridRow
	Slips            []string // about the whole table
	Problems         []fieldProblem
	Pasted           string // what stands in the field for a whole table
	PasteProblem     string // why it could not be read
}

type unitView struct {
	Name, ID, Label string
	Choices         []formChoiceView
}

type gridRow struct {
	N        int // from 0, for the button that takes it out
	Head     gridCell
	Cells    []gridCell
	Slips    []string
	Problems []fieldProblem
	New      bool
}

type gridCell struct {
	N           int
	Name, Label string
	Value       string
	Wrong, Slip bool
	New         bool
}

// view makes the grid with an empty row and column at its end, slips and
// problems each at their row.
func (g *grid) view(title string, slips []lift.Slip, problems *placed) gridView {
	at := gridPath(g.key)
	v := gridView{Key: g.key, Title: title, Name: at}
	v.Source = formFieldView{Name: fieldName(at + ".source"), ID: fieldID(at + ".source"), Label: "Page or figure of the manual", Value: g.source, Wide: true, Problems: problems.under(at + ".source")}
	for _, u := range []struct{ kind, label, unit string }{
		{"altitude", "Altitudes in", g.altitude}, {"temperature", "Temperatures in", g.temperature}, {"mass", "Masses in", g.mass},
	} {
		x := unitView{Name: "u." + at + "." + u.kind, ID: "u-" + g.key + "-" + u.kind, Label: u.label}
		for _, unit := range gridUnits[u.kind] {
			x.Choices = append(x.Choices, formChoiceView{unit, unit, unit == u.unit})
		}
		v.Units = append(v.Units, x)
	}
	get := func(list []string, i int) string {
		if i < len(list) {
			return list[i]
		}
		return ""
	}
	rows, columns := min(len(g.altitudes)+1, mostGrid), min(len(g.temperatures)+1, mostGrid)
	for j := range columns {
		path := fmt.Sprintf("%s.temperatures[%d]", at, j)
		said := problems.under(path)
		v.Problems = append(v.Problems, said...)
		v.Columns = append(v.Columns, gridCell{
			N: j, Name: fieldName(path), Value: get(g.temperatures, j), Wrong: len(said) > 0, New: j == len(g.temperatures),
			Label: fmt.Sprintf("temperature %d, %s", j+1, g.temperature),
		})
	}
	for i := range rows {
		path := fmt.Sprintf("%s.altitudes[%d]", at, i)
		r := gridRow{N: i, New: i == len(g.altitudes)}
		r.Problems = problems.under(path)
		r.Head = gridCell{Name: fieldName(path), Value: get(g.altitudes, i), Wrong: len(r.Problems) > 0, New: r.New, Label: fmt.Sprintf("altitude %d, %s", i+1, g.altitude)}
		for j := range columns {
			path := fmt.Sprintf("%s.gross[%d][%d]", at, i, j)
			said := problems.under(path)
			r.Problems = append(r.Problems, said...)
			c := gridCell{Name: fieldName(path), Wrong: len(said) > 0, New: r.New || j == len(g.temperatures), Label: "mass at " + g.words(i, j)}
			if i < len(g.gross) {
				c.Value = get(g.gross[i], j)
			}
			r.Cells = append(r.Cells, c)
		}
		r.Problems = append(r.Problems, problems.under(fmt.Sprintf("%s.gross[%d]", at, i))...)
		v.Rows = append(v.Rows, r)
	}
	v.Problems = append(v.Problems, problems.under(at)...)
	for _, s := range slips {
		if s.Row < 0 || s.Row >= len(v.Rows) {
			v.Slips = append(v.Slips, capital(s.Text))
			continue
		}
		row := &v.Rows[s.Row]
		row.Slips = append(row.Slips, capital(s.Text))
		if s.Column >= 0 && s.Column < len(row.Cells) {
			row.Cells[s.Column].Slip = true
		}
	}
	return v
}

// words names a cell by its altitude and temperature.
func (g *grid) words(i, j int) string {
	name := func(list []string, at int, unit, what string) string {
		if at < len(list) && list[at] != "" {
			return list[at] + " " + unit
		}
		return what + " " + strconv.Itoa(at+1)
	}
	return name(g.altitudes, i, g.altitude, "altitude") + " and " + name(g.temperatures, j, g.temperature, "temperature")
}
