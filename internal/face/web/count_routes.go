package web

// countRoutes are the pages of the studies of counts and of spread, and of the
// long computations behind them.
func countRoutes() []route {
	return append(flownRoutes(), []route{
		{"GET", "/rig/{name}/counts", "find counts, and the count map", everybody, (*Server).countsPage},
		{"POST", "/rig/{name}/counts", "search for counts, compute the count map", everybody, (*Server).askCounts},
		{"GET", "/rig/{name}/counts/at", "how a pair of counts hangs", everybody, (*Server).countsAt},
		{"GET", "/rig/{name}/counts/take", "back to the rig, where counts were taken into its text", everybody, (*Server).tookCounts},
		{"POST", "/rig/{name}/counts/take", "take found counts into the rig's text, unsaved", everybody, (*Server).takeCounts},
		{"GET", "/rig/{name}/counts/map/{format}", "the count map as a file", everybody, (*Server).countMapFile},
		{"POST", "/rig/{name}/counts/sheet", "print the sheet of the count map", everybody, (*Server).printCountMap},
		{"GET", "/rig/{name}/spread", "how sure an answer is", everybody, (*Server).spreadPage},
		{"POST", "/rig/{name}/spread", "solve the spread", everybody, (*Server).askSpread},
		{"GET", "/rig/{name}/spread/file/{format}", "the spread as a file", everybody, (*Server).spreadFile},
		{"POST", "/rig/{name}/spread/sheet", "print the sheet of the spread", everybody, (*Server).printSpread},
		{"GET", "/rig/{name}/job/{kind}", "how far a long computation is", everybody, (*Server).jobState},
		{"POST", "/rig/{name}/job/{kind}/stop", "stop a long computation", everybody, (*Server).stopJob},
	}...)
}
