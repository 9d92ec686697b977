package look

import (
	"fmt"
	"strings"

	"hangtrue/internal/paper/draw"
)

// dark is the colour of each role on a dark screen: paper and ink change
// places, hues grow lighter so that they keep their contrast.
var dark = map[string]draw.Color{
	"ink":       {R: 232, G: 232, B: 228},
	"faint":     {R: 160, G: 164, B: 168},
	"grid":      {R: 66, G: 70, B: 74},
	"paper":     {R: 22, G: 24, B: 26},
	"shade":     {R: 36, G: 39, B: 42},
	"load":      {R: 52, G: 58, B: 63},
	"load-b":    {R: 40, G: 45, B: 49},
	"metal":     {R: 98, G: 105, B: 111},
	"rope":      {R: 98, G: 86, B: 58},
	"accent":    {R: 86, G: 180, B: 233},
	"note":      {R: 86, G: 180, B: 233},
	"over":      {R: 255, G: 142, B: 66},
	"leg-low":   {R: 148, G: 166, B: 176},
	"leg-mid":   {R: 86, G: 180, B: 233},
	"leg-high":  {R: 240, G: 240, B: 236},
	"leg-slack": {R: 160, G: 164, B: 168},
	"series-1":  {R: 232, G: 232, B: 228},
	"series-2":  {R: 86, G: 180, B: 233},
	"series-3":  {R: 255, G: 142, B: 66},
	"series-4":  {R: 222, G: 150, B: 190},
	"series-5":  {R: 230, G: 159, B: 0},
	"series-6":  {R: 130, G: 190, B: 225},
	"wash":      {R: 24, G: 52, B: 70},
	"over-wash": {R: 74, G: 42, B: 22},
}

// Dark is the colour of a role on a dark screen; ok is false for an unknown role.
func Dark(role string) (c draw.Color, ok bool) {
	c, ok = dark[role]
	return c, ok
}

// DarkCSS is the rules by which a page recolours its drawings for a dark screen:
// one for each role as a fill and as a stroke, beneath scope, a selector such as
// ".dark" or "" for none. A page puts them in its stylesheet, most likely inside
// a media query; no drawing contains them.
func DarkCSS(scope string) string {
	if scope != "" {
		scope += " "
	}
	var b strings.Builder
	for _, p := range Paints() {
		c := dark[p.Role]
		fmt.Fprintf(&b, "%ssvg .fill-%s{fill:#%02x%02x%02x}\n", scope, p.Role, c.R, c.G, c.B)
		fmt.Fprintf(&b, "%ssvg .stroke-%s{stroke:#%02x%02x%02x}\n", scope, p.Role, c.R, c.G, c.B)
	}
	return b.String()
}
