package web

// briefRoutes are the pages of a rig's load brief.
func briefRoutes() []route {
	return []route{
		{"GET", "/rig/{name}/brief", "a rig's load brief", everybody, (*Server).briefPage},
		{"GET", "/rig/{name}/brief/{paper}", "one of its papers on the screen", everybody, (*Server).briefScreen},
		{"GET", "/rig/{name}/brief/edit", "what the school enters for it", changers, (*Server).briefForm},
		{"POST", "/rig/{name}/brief/edit", "save what the school enters for it", changers, (*Server).saveBrief},
		{"POST", "/rig/{name}/brief/done", "enter the daily briefing or a hook-release test", changers, (*Server).briefDone},
		{"POST", "/rig/{name}/brief/print", "print its papers", everybody, (*Server).printBrief},
	}
}
