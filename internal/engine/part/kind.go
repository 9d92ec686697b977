package part

// Kind is a sort of part.
type Kind struct {
	ID         string
	Name       string // "grab hook"
	Each       Each
	InsteadOf  []string // kinds that a part of this kind, named in a rig file, takes the place of
	Duty       Duty
	Place      Spot
	Figure     string // one of our figures, drawn in every state; "" for none
	Real       string // what a person should know of its real size; "" for nothing
	Source     string
	Attributes []Attribute
	From       string // the catalogue that it came from, as the reader was told
}

// Attribute is one thing that can be asked of a part.
type Attribute struct {
	ID     string
	Ask    string // the question, as a checkpoint asks it
	See    []See  // any one of them shows it
	From   From
	Plan   Plan   // which state is good, where the plan says it
	Good   string // the good state's id; for PlanSpacer it depends on the rules
	When   Condition
	Source string
	Meets  []string // ids of the published criteria that it covers
	States []State  // the good one first
}

// State is one answer to what an attribute asks.
type State struct {
	ID      string
	Text    string // "the keeper is bent open"
	Hazard  string // what it may lead to, in a sentence; "" for the good state
	PutBack string // how a person sees that it is undone; "" where the good state's text says it
	Ends    []End  // gravest first
	Act     Act
	Plant   Plant
	Meaning Meaning
	By      int    // CountOff: links more (+) or fewer (−)
	Source  string // where it differs from its attribute's
	// Draw are the figure's parameters for this state. The reader puts
	// attribute: state in, so that a figure knows every state.
	Draw map[string]string
}

// Condition says on which parts an attribute makes sense. The zero value is
// all of them.
type Condition struct {
	Tail   int  // at least so many free links beyond the one held
	Seats  bool // the leg's seat is entered
	Points int  // the leg holds at least so many points
	Sets   int  // the rig has at least so many sets
	Swings bool // the apex hangs from a pendant
}

// Attribute returns the kind's attribute with this id.
func (k *Kind) Attribute(id string) (*Attribute, bool) {
	for i := range k.Attributes {
		if k.Attributes[i].ID == id {
			return &k.Attributes[i], true
		}
	}
	return nil, false
}

// State returns the attribute's state with this id.
func (a *Attribute) State(id string) (*State, bool) {
	for i := range a.States {
		if a.States[i].ID == id {
			return &a.States[i], true
		}
	}
	return nil, false
}

// Takes reports whether one of these ways of seeing shows the attribute. No
// ways at all are all of them: the checkpoint does not say.
func (a *Attribute) Takes(ways []See) bool {
	if len(ways) == 0 {
		return true
	}
	for _, w := range ways {
		for _, s := range a.See {
			if w == s {
				return true
			}
		}
	}
	return false
}

// Origin returns where a state comes from: its own source, its attribute's or
// its kind's.
func (k *Kind) Origin(a *Attribute, s *State) string {
	switch {
	case s != nil && s.Source != "":
		return s.Source
	case a != nil && a.Source != "":
		return a.Source
	}
	return k.Source
}
