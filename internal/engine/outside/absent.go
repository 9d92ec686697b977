package outside

// Absence is a published figure that the project knows and that no check uses.
type Absence struct {
	Figure string // what is published
	Source string // by whom
	Known  string // seen | memory | derived
	Why    string // why no check uses it
}

// Absent lists the figures known to the project that no check uses, each with
// its reason, so that what is missing from [All] is missing on purpose.
func Absent() []Absence {
	return []Absence{
		{"OSHA withdrew its sling tables (2011 and 2012): the sling's own marking governs", "76 FR 33590; 77 FR 23117", Seen, "it holds no number. The tables are used as arithmetic only; ratings are entered from the marking."},
		{"Leg lengths that do not fit their distances (4,444 and 3,111 lb)", "a course example whose name is not known here", Seen, "no input takes a length, a distance and a height at once, so that they cannot disagree: lengths and points are entered and the rest follows. The lengths and pulls that are right are checked under statics."},
		{"Skew load factor 1.25 on each diagonal pair; wire rope of E 80,000 N/mm² on 0.785 d²", "GL Noble Denton 0027/ND", Seen, "stretch is entered, not worked out of a diameter. In place of a factor, each leg in turn is solved shorter and longer by the rig's tolerance."},
		{"Legs of at least 12 ft and 45°, a cone of 120° between provisions, the apex at most 24 ft up", "MIL-STD-209K", Seen, "these are duties of whoever builds a vehicle's lift provisions; a rig may break them and still be what its procedure asks for. The angle limit of a rig is entered. Its table A-1 of load factors was not seen."},
		{"Sets marked 10,000, 15,000, 25,000 and 40,000 lb; rope of 12 ft, chain of 8 ft with 110–115 or 86–88 links; apex pins of 1-1/8 and 1-1/2 in", "FM 10-450-3 and the like", Seen + ", links and pins from " + Memory, "the set's own plate is entered; no such set is built in. What one count changes is checked under figures."},
		{"Counts, front/rear: 3/11 for a water trailer, 5/5 for an extinguisher, 3/3 for a mixer", "FM 10-450-4 and the like", Seen, "the publication gives no places of points and CG to compute them from."},
		{"Webbing slings of 2, 3, 4 and 6 loops as a pendant and as a leg", "FM 3-21.38, table 5-1", Seen, "ratings are entered from the sling's marking; none is built in."},
		{"Collapsible drums of 250 and 500 gal: sizes and empty weights", "MIL-D-23119F for some lengths, seen; the rest common practice, no source", Memory, "a drum's size and mass are entered; none is built in."},
		{"Cotton webbing of 80 lb, nylon cord of 550 lb", "FM 10-450-3 and the like", Seen, "words of the catalogue of parts; nothing is computed from them."},
		{"Up to 40,000 V between a hovering aircraft and a grounded load", "FM 10-450-3 and the like", Seen, "a caution in words; nothing is computed from it."},
		{"Outer legs 1 and 2 to the front, inner legs 3 and 4 to the rear; 1 and 3 on the left", "FM 10-450-3 and the like", Seen, "a convention without a number; tests of the rig's seats and crossing legs follow it."},
		{"A cube edge-on has a drag coefficient of 0.80", "Hoerner, Fluid-Dynamic Drag", Memory, "the study of flight takes three drag areas, along a body's axes, and their mean square in between; the page on flight says how far that is from an edge."},
		{"A bounce near 3 Hz with heavy external loads", "a report whose name is not known here", Seen, "a report without the numbers of its load and line; the rotor is not in the model. Bounces against their closed form are checked under statics and flight."},
		{"Stretch of nylon, polyester and high-modulus rope at 10, 20 and 30 % of its strength", "common practice, no source", Memory, "stretch is entered from the maker's sheet; none is built in."},
		{"Loads in flight", "NASA TP-3280, NASA TM-2001-209619, Greenwell (ICAS 2008)", "not read", "no figure of theirs is known here."},
		{"Trained inspectors missed 23 % and called 2 % false", "Schoonard et al., 1973", Seen, "nothing assumes how good inspectors are; a school's own results are counted."},
	}
}
