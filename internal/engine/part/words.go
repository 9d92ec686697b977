package part

import "slices"

// Each says what a kind is found on: one part of the kind for each such thing
// of a rig. A kind without it is found only where a rig file names it.
type Each string

// The things of a rig that parts follow from.
const (
	Nowhere       Each = ""
	EachLeg       Each = "leg"
	EachChained   Each = "chained-leg"  // legs with a chain and a grab hook
	EachPlain     Each = "plain-leg"    // legs without
	EachClevis    Each = "clevised-leg" // legs that end in a clevis
	EachChoke     Each = "choke-hitch"
	EachBasket    Each = "basket-hitch"
	EachPoint     Each = "point" // attachment points that a leg holds
	EachBody      Each = "body"
	EachDrum      Each = "drum"
	EachSpreader  Each = "spreader" // bodies that other legs hang from
	EachApex      Each = "apex"
	EachPendant   Each = "pendant" // apexes on a pendant
	EachDirect    Each = "direct-apex"
	EachSet       Each = "set"
	EachRig       Each = "rig"
	EachDrumPair  Each = "drum-pair"      // two drums side by side
	EachMirrored  Each = "mirrored-legs"  // two chained legs, one the mirror of the other, left and right
	EachNeighbour Each = "neighbour-legs" // two legs of one apex side by side
	EachFan       Each = "apex-legs"      // all legs of one apex, two or more
)

// Eaches lists what a kind can be found on, in the order in which parts are
// listed.
var Eaches = []Each{
	EachRig, EachBody, EachDrum, EachSpreader, EachDrumPair, EachPoint, EachLeg, EachPlain, EachChained, EachClevis,
	EachChoke, EachBasket, EachMirrored, EachNeighbour, EachSet, EachFan, EachApex, EachDirect, EachPendant,
}

// Relation reports whether a part of this sort relates several parts.
func (e Each) Relation() bool {
	return slices.Contains([]Each{EachDrumPair, EachMirrored, EachNeighbour, EachFan}, e)
}

// See is how a person finds out about an attribute.
type See string

// The ways to see, from the least to the most work.
const (
	Look    See = "look"
	Touch   See = "touch"
	Pull    See = "pull"
	Count   See = "count"
	Trace   See = "trace"
	Measure See = "measure"
)

// Sees lists the ways to see.
var Sees = []See{Look, Touch, Pull, Count, Trace, Measure}

// From is where a person has to be to see it.
type From string

// The places to see from. None of them is under a hanging load: the load
// stands on the ground.
const (
	Near   From = "near"   // within arm's reach
	Back   From = "back"   // some steps back, with the whole load in view
	Along  From = "along"  // walking along the leg
	Inside From = "inside" // with a door, lid or cover open
	Above  From = "above"  // on top of the load, where the load may be stepped on
)

// Froms lists the places to see from.
var Froms = []From{Near, Back, Along, Inside, Above}

// End is what a deficiency may end in.
type End string

// The ends, gravest first.
const (
	LoadLost End = "load-lost"
	BodyLost End = "body-lost"
	LegLost  End = "leg-lost"
	Foul     End = "foul" // something catches, flies up or strikes
	Attitude End = "attitude"
	Damage   End = "damage"
)

// Ends lists the ends, gravest first.
var Ends = []End{LoadLost, BodyLost, LegLost, Foul, Attitude, Damage}

// Words returns the end as a person reads it.
func (e End) Words() string {
	return map[End]string{
		LoadLost: "the load is lost", BodyLost: "a body is lost", LegLost: "a leg is lost",
		Foul: "something fouls", Attitude: "it hangs wrong", Damage: "damage",
	}[e]
}

// Gravity returns the place of the gravest of these ends in [Ends], and
// len(Ends) for none.
func Gravity(ends []End) int {
	for i, e := range Ends {
		if slices.Contains(ends, e) {
			return i
		}
	}
	return len(Ends)
}

// Act is what is done about a deficiency that is found.
type Act string

// What is done about it.
const (
	Stop     Act = "stop"      // it stops the lift until a qualified person has decided
	PutRight Act = "put-right" // it is put right on the spot and looked at again
)

// Acts lists what is done.
var Acts = []Act{Stop, PutRight}

// Words returns the act as a person reads it.
func (a Act) Words() string {
	if a == Stop {
		return "stops the lift"
	}
	return "put right here"
}

// Plant is how a deficiency can be made for training.
type Plant string

// The ways to make one.
const (
	ByHand      Plant = "by-hand"
	SpoiledPart Plant = "spoiled-part" // only with a training part that never flies
	PictureOnly Plant = "picture"
)

// Plants lists the ways to make a deficiency for training.
var Plants = []Plant{ByHand, SpoiledPart, PictureOnly}

// Words returns the way as a person reads it.
func (p Plant) Words() string {
	return map[Plant]string{
		ByHand: "by hand", SpoiledPart: "with a spoiled training part only", PictureOnly: "in a picture only",
	}[p]
}

// Duty is what a tie is for.
type Duty string

// The duties of a tie. The wrong material is a fault in both.
const (
	NoDuty    Duty = ""
	Breakaway Duty = "breakaway" // it must part as the leg comes tight
	Securing  Duty = "securing"  // it must hold in flight
)

// Duties lists the duties.
var Duties = []Duty{Breakaway, Securing}

// Plan names what of the rig says which state is the good one.
type Plan string

// The things that a rig plans.
const (
	NotPlanned  Plan = ""
	PlanCount   Plan = "count"
	PlanPoint   Plan = "point"
	PlanSeat    Plan = "seat"
	PlanMatched Plan = "matched-counts" // counts left and right differ as the plan says, or are equal
	PlanSpacer  Plan = "spacer"         // by the catalogue's rules for fitting and hook
)

// Plans lists what can say which state is good.
var Plans = []Plan{PlanCount, PlanPoint, PlanSeat, PlanMatched, PlanSpacer}

// Meaning is what a state means to the mechanics of the load.
type Meaning string

// The mechanical meanings.
const (
	NoMeaning    Meaning = ""
	CountOff     Meaning = "count"         // the count is off by a number of links
	CountsTraded Meaning = "counts-traded" // two legs have each other's counts
	WrongPoint   Meaning = "wrong-point"   // the leg holds the nearest other point of its body
	WrongSeat    Meaning = "wrong-seat"    // the leg and its neighbour sit in each other's seats
	PointsTraded Meaning = "points-traded" // two legs hold each other's points
	SeatsTraded  Meaning = "seats-traded"  // two legs sit in each other's seats
	LegGone      Meaning = "leg-lost"
	PointGone    Meaning = "point-lost"
	ApexGone     Meaning = "apex-lost" // everything on this apex is lost
	BodyGone     Meaning = "body-lost" // everything that holds this body is lost
)

// Meanings lists the meanings that a catalogue writes as a single word.
var Meanings = []Meaning{CountsTraded, WrongPoint, WrongSeat, PointsTraded, SeatsTraded, LegGone, PointGone, ApexGone, BodyGone}

// Spot says where on the thing it is found on a part sits.
type Spot string

// The spots. Middle is the default: the middle of a leg, of a body's top, or
// the thing itself.
const (
	Middle   Spot = ""
	Upper    Spot = "upper"     // of a leg: its upper end
	Rope     Spot = "rope"      // of a leg: the middle of its rope
	GrabHook Spot = "grab-hook" // of a leg
	ChainRun Spot = "chain"     // of a leg: halfway down its chain
	Lower    Spot = "lower"     // of a leg: its lower end
	FrontEnd Spot = "front-end" // of a body: the +x end, of a drum the end of its axis
	RearEnd  Spot = "rear-end"
)

// Spots lists the spots that a catalogue can name.
var Spots = []Spot{Upper, Rope, GrabHook, ChainRun, Lower, FrontEnd, RearEnd}

// The states of an attribute whose good state the spacer rules say.
const (
	SpacerOn   = "present"
	SpacerOff  = "absent"
	SpacerOpen = "not-stated" // nobody has stated whether one belongs there
)

// Means reports whether a meaning can be told of a part that is found on e,
// and if not, on what it can. A part that a rig file names may be on anything.
func (e Each) Means(m Meaning) (ok bool, what string) {
	leg := []Each{EachLeg, EachChained, EachPlain, EachClevis, EachChoke, EachBasket}
	on := map[Meaning]struct {
		each []Each
		what string
	}{
		CountOff:     {[]Each{EachChained}, "a leg with a chain"},
		CountsTraded: {[]Each{EachMirrored}, "two mirrored legs"},
		WrongPoint:   {leg, "a leg"},
		WrongSeat:    {leg, "a leg"},
		PointsTraded: {[]Each{EachMirrored, EachNeighbour}, "two legs"},
		SeatsTraded:  {[]Each{EachMirrored, EachNeighbour}, "two legs"},
		LegGone:      {leg, "a leg"},
		PointGone:    {[]Each{EachPoint}, "a point"},
		ApexGone:     {[]Each{EachApex, EachDirect, EachPendant, EachFan}, "an apex"},
		BodyGone:     {[]Each{EachBody, EachDrum, EachSpreader}, "a body"},
	}[m]
	if e == Nowhere {
		return true, ""
	}
	for _, x := range on.each {
		if x == e {
			return true, ""
		}
	}
	return false, on.what
}
