package web

// liftRoutes are the pages of what loads weigh and what aircraft can carry. A
// draft of a text is everybody's, since nothing of it is kept here; saving it
// needs the right of changers.
func liftRoutes() []route {
	return []route{
		{"GET", "/aircraft", "the list of aircraft", everybody, (*Server).aircraftListPage},
		{"POST", "/aircraft", "add an aircraft", changers, (*Server).addAircraft},
		{"GET", "/aircraft/{name}", "an aircraft's page", everybody, (*Server).aircraftPage},
		{"POST", "/aircraft/{name}", "change an aircraft's data, save", everybody, (*Server).changeAircraft},
		{"GET", "/days", "the list of sortie plans", everybody, (*Server).daysPage},
		{"POST", "/days", "add a sortie plan", changers, (*Server).addDay},
		{"GET", "/days/{name}", "a sortie plan", everybody, (*Server).dayPage},
		{"POST", "/days/{name}", "change a sortie plan, save", everybody, (*Server).changeDay},
		{"GET", "/days/{name}/{kind}", "a sortie plan as a sheet or a table", everybody, (*Server).dayPaper},
		{"GET", "/procedures", "the register of procedures, and which rigs cite what", everybody, (*Server).proceduresPage},
		{"POST", "/procedures", "change the register, save", everybody, (*Server).changeProcedures},
		{"GET", "/weigh", "mass and CG from readings", everybody, (*Server).weighPage},
		{"GET", "/weigh/sheet", "that as a sheet", everybody, (*Server).weighPage},
		{"GET", "/weigh/liquid/sheet", "what a fill of liquid weighs, as a sheet", everybody, (*Server).liquidPage},
		{"GET", "/weigh/liquid", "what a fill of liquid weighs", everybody, (*Server).liquidPage},
		{"GET", "/air", "the air at a place, and rotor wash", everybody, (*Server).airPage},
		{"GET", "/rig/{name}/lift", "whether an aircraft can carry a rig", everybody, (*Server).liftPage},
		{"GET", "/rig/{name}/lift/paper", "that answer as a sheet", everybody, (*Server).liftPaper},
	}
}
