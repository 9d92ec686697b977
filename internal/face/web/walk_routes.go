package web

import "hangtrue/internal/engine/people"

// walkers are those who walk an inspection; whoever does may say what else was
// seen. A draft of an order is everybody's, since nothing of it is kept here;
// saving it needs the right of changers.
var walkers = access{right: people.Inspect}

// staff are those who see records, which students do not: the close-ups of these
// pages name in words what they show.
var staff = access{right: people.SeeRecords}

func walkRoutes() []route {
	return []route{
		{"GET", "/rig/{name}/parts", "the parts of a rig", everybody, (*Server).partsPage},
		{"GET", "/rig/{name}/parts/{part}", "one part in each of its states", staff, (*Server).partPage},
		{"GET", "/closeup/{figure}", "a part drawn close up in one state", staff, (*Server).closeup},
		{"GET", "/rig/{name}/effects", "what each deficiency would do", everybody, (*Server).effectsPage},
		{"GET", "/rig/{name}/walk", "the inspection sequence and what it covers", everybody, (*Server).walkPage},
		{"GET", "/rig/{name}/walk/picture/{what}", "map, coverage and trace", everybody, (*Server).walkPicture},
		{"POST", "/rig/{name}/walk/sheet", "print the inspection sheet", everybody, (*Server).walkSheet},
		{"POST", "/rig/{name}/walk/seen", "say what else was seen", walkers, (*Server).addSeen},
		{"GET", "/rig/{name}/walk/entry/{seen}", "an entry of the catalogue for what was seen", changers, (*Server).entryPage},
		{"POST", "/rig/{name}/walk/entry/{seen}", "write or save that entry", changers, (*Server).changeEntry},
		{"GET", "/rig/{name}/walk/order", "the school's own order of checkpoints", everybody, (*Server).orderPage},
		{"POST", "/rig/{name}/walk/order", "change the order, undo, save", everybody, (*Server).changeOrder},
	}
}
