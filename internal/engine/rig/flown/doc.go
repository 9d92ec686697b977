// Package flown reads and writes what was weighed and seen of a rig once it was
// lifted, format hangtrue.flown/1, puts it beside what the rig gives, and says
// how far the two have agreed.
//
// # The format
//
// A strict subset of YAML (see package document). A reader that sees another
// name or number stops. One file belongs to one rig; lifts stand in the order in
// which they were entered.
//
//	format: hangtrue.flown/1
//	lifts:
//	  - date: 2026-11-20
//	    who: A. Gruber
//	    version: 5f0c…                # SHA-256 of the rig file that it was rigged from
//	    weighed: 1450 kg              # what the load cell showed at rest
//	    hover: {pitch: -2 deg, roll: 0.5 deg}
//	    flight: {airspeed: 45 kt, pitch: -3 deg, trail: 6 deg}
//	    remarks: gusty, load turned slowly
//
// Every lift has a date, who entered it, a version, and at least one of weighed,
// hover and flight. Pitch is positive nose up, roll positive right side down,
// of the rig's first body; trail is from the vertical. The computed numbers are
// not kept: they follow from the version.
//
// Keys may be added to flown/1 until release 1.0; afterwards a new key means
// flown/2.
package flown
