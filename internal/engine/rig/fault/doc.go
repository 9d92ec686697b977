// Package fault works out what one thing gone wrong does to a rig: a leg held
// some links off, two legs led to each other's points or sitting in each
// other's seats, a leg, a lift point or a hook lost.
//
// Each fault is made on the rig and the changed rig is hung and judged like any
// other ([hangtrue/internal/engine/rig.Hang]); nothing is written by hand. The
// table puts first what may end gravest, and only within that goes by numbers:
// a share of rating that looks harmless is no comfort where a leg lies across
// another.
//
// # What it leaves out
//
// Everything is at rest before and after. A leg, point or hook that lets go
// does so at once, and the load then falls into its new position: for a moment
// far more pulls on what is left than any number here ([Shock]).
//
// # Units
//
// SI: metres, newtons, radians. Frames and signs as in package rig.
package fault
