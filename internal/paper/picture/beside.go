package picture

import (
	"hangtrue/internal/engine/rig"
	"hangtrue/internal/paper/draw"
)

// Beside draws several answers from one side, each in an area of its own, at one
// scale, so that they can be compared. The larger picture that they are part of
// says INVENTED. There must be an area for each.
func Beside(l *draw.List, hung []*rig.Answer, v View, areas []draw.Rect) {
	var panels []panel
	for i, a := range hung {
		n := newPanel(a.Rig, a, v, false)
		n.at = areas[i]
		panels = append(panels, n)
	}
	drawPanels(l, panels, len(panels))
}
