// Package rig is the trade's model of a load as it hangs: bodies, the legs
// that carry them, the apexes they hang from, and the limits they are judged
// by.
//
// Three levels keep data honest. A [Spec] is what somebody entered, in SI
// units, and may be wrong. [New] turns it into a [Rig], which is valid or does
// not exist, and is never changed; the With methods make new ones. [Hang]
// turns a rig into an [Answer], which belongs to exactly that rig.
//
// # Frames and units
//
// Metres, newtons, kilograms, radians. World and body axes: x forward, y left,
// z up; the load's front is +x and is also the direction of flight. A body's
// origin is the centre of its base as it stands on the ground. Apex positions
// are in the hook frame, ground positions of bodies in a frame of their own of
// which only differences count; answers are in the hook frame. Heading is
// positive from x towards y, pitch positive nose up, roll positive right side
// down.
//
// # Results
//
// An answer is never a clearance. It says [Within] the limits entered, [Over] a
// limit, [CannotTell] when something in the load path has no limit entered, or
// [DoesNotStand].
package rig
