package web

// flownRoutes are the pages of what was weighed and flown.
func flownRoutes() []route {
	return []route{
		{"GET", "/rig/{name}/flown", "what was weighed and flown of a rig", everybody, (*Server).flownPage},
		{"POST", "/rig/{name}/flown", "enter what was weighed and flown, or take an entry out", changers, (*Server).enterFlown},
		{"GET", "/rig/{name}/flown/csv", "what was weighed and flown, as a table", everybody, (*Server).flownTable},
		{"GET", "/flown", "how far weighing and flying agreed, over all rigs", everybody, (*Server).allFlown},
		{"GET", "/flown/csv", "what was weighed and flown of all rigs, as a table", everybody, (*Server).allFlownTable},
	}
}
