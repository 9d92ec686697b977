// Package statics finds how a set of heavy rigid bodies hangs from fixed
// points by lines that can only pull.
//
// # Concept
//
// A [Model] is a list of rigid bodies, massless free nodes, fixed points,
// elastic tension-only lines and, where bodies are round, elastic contacts
// without friction. All of these forces have a potential energy, so a hanging
// position is a minimum of that energy. [Solver.Solve] starts from the ground
// position, or from a position handed in, goes downhill, and returns the
// position together with a certificate: the largest unbalanced force and
// moment, and the lowest stiffness eigenvalue outside the directions that are
// neutral by their nature.
//
// # Frames and units
//
// SI units: metres, newtons, kilograms, radians. The world frame is
// right-handed with z up. A body's own frame is whatever its points are given
// in; a pose turns it into the world. All rotations are unit quaternions that
// turn body vectors into world vectors.
//
// # Glossary
//
//   - line: an elastic thread through two or more anchors in order; it slides
//     without friction through the anchors between its ends. It carries
//     tension k·(l − L) when its length l exceeds its unstretched length L and
//     nothing otherwise.
//   - anchor: a fixed point, a free node, or a point of a body.
//   - coordinates: for each body the displacement of its centre of gravity and
//     a rotation vector in the world frame, then the displacement of each
//     node. Rotations count as metres at 1 m from the centre of gravity.
//   - residual: the largest component of the energy's gradient in these
//     coordinates, in newtons (moments divided by 1 m).
//   - neutral direction: a motion that costs no energy by the nature of the
//     model: a group turning about the vertical through its only fixed point,
//     and a node whose lines are all slack.
//
// # Invariants
//
//   - A Model is not changed by solving.
//   - The energy never rises from one accepted step to the next, beyond
//     rounding.
//   - A result says whether it converged and whether it is stable; nothing is
//     returned quietly at an iteration limit.
//   - The package knows no word of any trade and no unit but SI.
package statics
