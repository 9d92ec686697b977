// Package inspect walks round a rig: it lists the parts that a person can look
// at, every deficiency that the catalogue knows of them, what each would do to
// the load, and how far an inspection sequence asks about them.
//
// # Concept
//
// [Of] makes a [Survey] of a rig and a catalogue: its parts and, in a stable
// order, its possible deficiencies. [Survey.Effects] hangs the rig once for
// every deficiency with a mechanical meaning. [Suggest] makes a [Sequence] of
// checkpoints; [Cover] says which deficiencies a sequence does not ask about,
// and which checkpoints can see nothing.
//
// # The claim
//
// Coverage is the deficiencies of the catalogue that at least one checkpoint
// asks about, over all that this rig can have. Faults that are not in the
// catalogue, and faults looked at but not seen, are not covered; every
// sequence ends with "anything else?", whose answers feed the catalogue.
//
// # Frames
//
// As in package rig. On the ground the bodies stand where the rig has them,
// in its ground frame; hung, everything is in the hook frame. The walk is made
// while the load stands on the ground and nothing hangs from the hook: no
// place to stand is under a hanging load or between load and aircraft.
package inspect
