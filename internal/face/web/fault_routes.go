package web

func faultRoutes() []route {
	return []route{
		{"GET", "/rig/{name}/faults", "what each single fault does to a rig", everybody, (*Server).faultsPage},
		{"GET", "/rig/{name}/faults/table/{kind}", "the one-fault table as a file", everybody, (*Server).faultsFile},
		{"GET", "/rig/{name}/faults/small/{version}/{fault}", "the load with one fault, drawn small", everybody, (*Server).faultSmall},
		{"GET", "/rig/{name}/faults/travel/{version}/{leg}", "what one leg's count does as it goes off", everybody, (*Server).faultTravel},
		{"POST", "/rig/{name}/faults/sheet", "print the one-fault table", everybody, (*Server).faultsSheet},
		{"GET", "/rig/{name}/flight", "a study of a rig in flight", everybody, (*Server).flightPage},
		{"GET", "/rig/{name}/flight/study/{kind}", "the study of flight as a file", everybody, (*Server).flightFile},
		{"POST", "/rig/{name}/flight/sheet", "print the study of flight", everybody, (*Server).flightSheet},
	}
}
