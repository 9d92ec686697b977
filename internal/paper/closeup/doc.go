// Package closeup draws one part of a rig close up, in any of its states, as a
// person sees it who stands before it: black lines with pale fills and a scale
// bar.
//
// # Rules
//
//   - A good state differs from a bad one by nothing but what is drawn: one
//     frame, one scale, one layout for a figure, whatever the state.
//   - No colour, mark or word stands for good or bad. Words are on a drawing
//     only where they are on the part, or where a person on the spot knows what
//     the paper does not show, such as where the load's front is.
//   - A student's picture is a PNG of fixed size in pixels and bytes that
//     carries nothing but its pixels ([StudentPNG]). What may be read as text,
//     titles and numbers of links, is on a staff drawing only.
//
// The figures are our own, drawn from how such parts look in the world. Sizes
// are those of common parts, rounded (from memory); a figure is a likeness of
// its kind and not of one maker's part.
//
// # Names
//
// A figure has attributes, and each attribute has states, the first of which
// is drawn where nothing is asked for. [Figures] lists them.
package closeup
