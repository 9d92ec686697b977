package brief

import (
	"strings"
	"time"

	"hangtrue/internal/engine/lift"
)

// Entered is what a school enters for one load beyond its rig. Everything may be
// left out; the papers then say so. Texts may have several lines.
type Entered struct {
	Title    string
	Invented bool
	Notes    string

	Aircraft   string            // name of the aircraft's file, without its ending
	Hooks      map[string]string // hook by apex of the rig
	Fitting    Fitting
	Conditions *lift.Conditions // air and fuel at both ends; nil where they are not complete
	Incomplete []string         // what the conditions lack, where Conditions is nil
	PickUp     string           // name of the place
	DropOff    string
	WeighedBy  string
	WeighedOn  time.Time

	Authority  Authority
	TestLift   Record
	HoverCheck Record

	Airspeed     *Airspeed
	Goods        []Goods
	JettisonArea string

	Team        Team
	Emergencies map[Emergency]string
	Done        []Done
}

// Fitting is the apex fitting on the hook.
type Fitting struct {
	Kind   string // as the aircraft's spacer rules name it
	Ring   lift.Ring
	Spacer string // SpacerFitted, SpacerLeftOff or ""
}

// What is done with the apex fitting's spacer.
const (
	SpacerFitted  = "fitted"
	SpacerLeftOff = "left-off"
)

// Authority is who answers for a load that no procedure covers. It holds for
// one version of the rig: after a change somebody has to answer again.
type Authority struct {
	Name, Reference string
	Rig             string // SHA-256 of the rig file's bytes, or how it begins
}

// leastOfVersion is how much of a version's name tells it from any other of
// the same rig.
const leastOfVersion = 8

// Holds reports whether the authority is for this version of the rig.
func (a Authority) Holds(version string) bool {
	return len(a.Rig) >= leastOfVersion && strings.HasPrefix(version, strings.ToLower(a.Rig))
}

// Record is what is written of a test lift or a hover check.
type Record struct {
	On     time.Time // the day; zero where not entered
	By     string
	Place  string
	Record string // its number, or what was seen
}

// Complete reports whether day, person and record are entered.
func (r Record) Complete() bool { return !r.On.IsZero() && r.By != "" && r.Record != "" }

// Airspeed is a published airspeed for this load, m/s, and where it is published.
type Airspeed struct {
	Limit  float64
	Source string
}

// Goods are dangerous goods aboard the load.
type Goods struct{ Class, UN, Name, Amount string }

// NoGoods is the class that says that nobody found any.
const NoGoods = "none"

// Team is what the hook-up team is told.
type Team struct {
	Roles     []Role
	Equipment string // protective
	Wand      string // how wand and earth are checked
	Discharge string
	Approach  string
	Exit      string
	Wind      string
	Obstacles string
	Rally     string
	Night     string
	Radio     string
	LostComms string
	Signals   []Signal
}

// Role is who does what.
type Role struct{ Role, Who, Does string }

// Signal is a signal and what it means.
type Signal struct{ Signal, Means string }

// Emergency is one of the emergencies that a brief goes through.
type Emergency string

// The emergencies.
const (
	PowerLoss     Emergency = "power-loss"
	FouledLeg     Emergency = "fouled-leg"
	HookStuck     Emergency = "hook-will-not-release"
	Inadvertent   Emergency = "inadvertent-release"
	Oscillation   Emergency = "oscillation"
	JettisonLoad  Emergency = "jettison"
	InjuredPerson Emergency = "injury"
)

// Emergencies lists them in the order of the card.
func Emergencies() []Emergency {
	return []Emergency{PowerLoss, FouledLeg, HookStuck, Inadvertent, Oscillation, JettisonLoad, InjuredPerson}
}

// Words returns the emergency as the card names it.
func (e Emergency) Words() string {
	return map[Emergency]string{
		PowerLoss: "Power loss over the load", FouledLeg: "Fouled leg", HookStuck: "Hook that will not release",
		Inadvertent: "Inadvertent release", Oscillation: "Oscillation", JettisonLoad: "Jettison", InjuredPerson: "Injury",
	}[e]
}

// Daily is one of the things done each day before the first load.
type Daily string

// What is done each day.
const (
	DailyBriefing    Daily = "briefing"
	ReleaseTest      Daily = "release"
	EmergencyRelease Daily = "emergency-release"
)

// Dailies lists them in their order.
func Dailies() []Daily { return []Daily{DailyBriefing, ReleaseTest, EmergencyRelease} }

// Words returns the daily task as it is printed.
func (d Daily) Words() string {
	return map[Daily]string{
		DailyBriefing: "Daily briefing held", ReleaseTest: "Normal hook release tested", EmergencyRelease: "Emergency hook release tested",
	}[d]
}

// Done is that somebody did one of them, and when.
type Done struct {
	What Daily
	By   string
	At   time.Time // to the minute, the local time of the place; its zone says nothing
}
