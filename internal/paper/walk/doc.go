// Package walk draws the walk round a load on paper: the map of the walk, what
// an inspection sequence asks about, how the legs run from the apex pin to their
// points, and the sequence as a printed checklist.
//
// # Frame
//
// Maps are seen from above in the ground frame: the load's front is to the
// right, its left is up. A traced apex is seen by someone who stands before the
// load and faces its front: the front is at the bottom, the load's left to the
// right. Sizes are in mm of paper.
//
// # Rules
//
//   - Numbers, shapes, dashes and words tell things apart; colour only helps.
//   - No mark stands for good. A sheet has boxes for a person to fill in, and
//     what no checkpoint asks about is named.
package walk
