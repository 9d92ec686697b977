// Package draw holds a picture as a list of primitives, so that one drawing
// comes out alike on a page (SVG), on paper (PDF) and as pixels (PNG). The
// back-ends svg, pdf and png only replay the list; none of them decides
// anything, and none of them is known here. Nothing in this package knows what
// is being drawn.
//
// # Frame and units
//
// Lengths are millimetres on the paper. The origin is the top left corner, x
// runs right and y runs down. Angles are degrees from the x axis, positive from
// x towards y: clockwise as the reader sees it.
//
// # Concept
//
//   - A [Picture] has a size, a title, a description and a [List] of items.
//   - An [Item] is a [Path], a [Text] or a [*Group]. Arcs, circles and ellipses
//     are stored as cubic curves, so that every back-end draws the same curve.
//   - A [Group] moves, turns and scales its items alike in x and y; it may carry
//     an id and a title and may clip. Line widths and text scale with it.
//   - A [Paint] is a colour with a role. The colour is what paper and pixels
//     get; the role is what a page's stylesheet may recolour (see package look).
//
// # Invariants
//
//   - The zero [Paint] and the zero [Stroke] draw nothing.
//   - Items are drawn in order: later ones lie on top.
//   - Text is measured with the same outlines that every back-end uses (DejaVu
//     Sans without kerning and ligatures), so a width known here is the width
//     printed. It is laid out left to right, one glyph for each rune.
//   - [Picture.Check] refuses numbers that are not finite; every back-end calls
//     it first.
package draw
