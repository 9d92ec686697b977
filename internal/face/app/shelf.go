package app

// The shelves: kinds of documents that a school keeps beside its rigs, each by
// name and with every version. A document that belongs to one rig goes by the
// rig's name.
const (
	Sequences  = "sequences"  // hangtrue.sequence/1, a rig's own inspection sequence
	Catalogues = "catalogues" // hangtrue.catalog/1, the school's own kinds of parts
	AircraftOf = "aircraft"   // hangtrue.aircraft/1
	Days       = "days"       // hangtrue.day/1, sortie plans
	Procedures = "procedures" // hangtrue.procedures/1
	Briefs     = "briefs"     // hangtrue.brief/1, what a load brief says beyond the rig
	Flown      = "flown"      // hangtrue.flown/1, as weighed and as flown
	Seen       = "seen"       // hangtrue.seen/1, answers to "anything else?"
)

// Shelves gives the keeper of each kind of documents.
type Shelves interface {
	Shelf(kind string) (Keeper, error)
}

// ShelvesOf makes shelves of a function, as http.HandlerFunc does.
type ShelvesOf func(kind string) (Keeper, error)

// Shelf calls the function.
func (f ShelvesOf) Shelf(kind string) (Keeper, error) { return f(kind) }
