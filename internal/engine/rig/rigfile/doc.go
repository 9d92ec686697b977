// Package rigfile reads rig files, format hangtrue.rig/1: bytes to a document
// that knows its lines, and from there to a valid [rig.Rig].
//
// # The format
//
// A strict subset of YAML (see package document). The first key is
//
//	format: hangtrue.rig/1
//
// A reader that sees another name or number stops. Quantities are a number, a
// space and a unit. Frames: x forward, y left, z up; apexes in the hook frame,
// bodies where they stand on the ground; a body's own origin is the centre of
// its base.
//
//	format: hangtrue.rig/1
//	title: Compressor crate
//	bodies:
//	  - id: crate
//	    shape: {box: [2.4 m, 1.6 m, 1.2 m]}
//	    mass: 2100 kg
//	    cg: [0.25 m, 0.05 m, 0.55 m]
//	    points: {F: [1.2 m, 0 m, 1.2 m], R: [-1.2 m, 0 m, 1.2 m]}
//	legs:
//	  - {id: F, to: crate.F, length: 4.6 m, stretch: 1 % at 20 kN, rated: 30 kN}
//	  - {id: R, to: crate.R, length: 4.6 m, stretch: 1 % at 20 kN, rated: 30 kN}
//
// Keys that may be left out and what then holds stand with each key in the
// schema ([Schema]), which is made from the same declaration that the reader
// follows. Keys may be added to rig/1 until release 1.0; afterwards a new key
// means rig/2.
//
// # Lengths
//
// A count n is the link held by the grab hook, from the chain's free end, the
// last link being 1. The loop then has C = (links − n)·pitch of chain. A leg
// to one point is rope + fittings + C/2 long. In a loop through several points
// the runs between points are as long as the points stand apart on the ground,
// and the two outer runs share the rest of C equally; together they must be
// longer than the first and last points stand apart.
package rigfile
