package web

import "hangtrue/internal/engine/people"

// inspectRoutes are the pages on which loads are inspected and signed for.
func inspectRoutes() []route {
	walk := schoolFor(people.Inspect)
	return []route{
		{"GET", "/loads", "what is rigged and waits", walk, (*Server).loadsPage},
		{"GET", "/loads/{name}", "begin an inspection of a rig", walk, (*Server).beginPage},
		{"POST", "/loads/{name}", "begin an inspection of a rig", walk, (*Server).begin},
		{"GET", "/inspect/import", "take in what a tablet could not send", schoolFor(people.Teach), (*Server).importPage},
		{"POST", "/inspect/import", "take in what a tablet could not send", schoolFor(people.Teach), (*Server).takeImport},
		{"GET", "/worker.js", "what answers on a tablet while the server is out of reach", schoolAnyone, (*Server).worker},
		{"GET", "/inspect/{id}", "walk an inspection", walk, (*Server).inspectPage},
		{"GET", "/inspect/{id}/bundle", "all that a walk asks and shows", walk, (*Server).inspectBundle},
		{"GET", "/inspect/{id}/whatif", "what changes of the load would do, for the tablet", walk, (*Server).inspectWhatIf},
		{"GET", "/inspect/{id}/events", "what was answered so far", walk, (*Server).inspectEvents},
		{"POST", "/inspect/{id}/events", "take answers from a tablet", walk, (*Server).takeEvents},
		{"POST", "/inspect/{id}/photo", "take a photo from a tablet", walk, (*Server).takePhoto},
		{"GET", "/inspect/{id}/photo/{photo}", "a photo of an inspection", walk, (*Server).photo},
		{"GET", "/inspect/{id}/sign", "what an inspection found, and what stands against signing", walk, (*Server).signPage},
		{"POST", "/inspect/{id}/sign", "sign an inspection", schoolFor(people.Sign), (*Server).sign},
		{"POST", "/inspect/{id}/lapse", "end a signature", schoolFor(people.Lapse), (*Server).lapse},
		{"POST", "/inspect/{id}/refuse", "record that a pilot refuses the load", schoolFor(people.Refuse), (*Server).refuseLoad},
		{"GET", "/inspect/{id}/compare/{other}", "two inspections of one load side by side", walk, (*Server).comparePage},
		{"GET", "/figure/{figure}", "a part close up, without numbers and names", walk, (*Server).figure},
	}
}
