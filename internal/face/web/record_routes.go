package web

import "hangtrue/internal/engine/people"

// recordRoutes are the pages of a school's day, its sealed records, its
// equipment and its settings.
func recordRoutes() []route {
	records, see, manage := schoolFor(people.SeeRecords), schoolFor(people.SeeEquipment), schoolFor(people.ManageEquipment)
	return []route{
		{"GET", "/today", "what is due, what waits, what was signed today", schoolFor(people.Inspect), (*Server).todayPage},

		{"GET", "/records", "sealed records, newest first", records, (*Server).recordsPage},
		{"GET", "/records/verify", "hold the log against heads kept elsewhere", records, (*Server).verifyPage},
		{"POST", "/records/verify", "hold the log against heads kept elsewhere", records, (*Server).verify},
		{"GET", "/records/log", "a copy of the log", records, (*Server).logCopy},
		{"GET", "/records/head", "the newest signed head", records, (*Server).logHead},
		{"GET", "/records/key", "the key that heads are checked with", records, (*Server).logKey},
		{"GET", "/records/{n}", "one sealed record", records, (*Server).recordPage},
		{"POST", "/records/{n}", "correct a record by a new one", records, (*Server).correct},
		{"GET", "/records/{n}/print", "print the record of an inspection", records, (*Server).printRecord},
		{"GET", "/records/{n}/answers", "every answer of an inspection's record", records, (*Server).answersPage},
		{"GET", "/tag/{name}", "where a load's tag leads", schoolFor(people.SeeRigs), (*Server).tagPage},
		{"GET", "/tag/{name}/print", "print a load tag", schoolFor(people.SeeRigs), (*Server).printTag},

		{"GET", "/equipment", "all equipment", see, (*Server).equipmentPage},
		{"POST", "/equipment", "add an item", manage, (*Server).addItem},
		{"GET", "/equipment/new", "add an item", manage, (*Server).newItemPage},
		{"GET", "/equipment/list", "all equipment as CSV", see, (*Server).equipmentList},
		{"GET", "/equipment/import", "take in a list", manage, (*Server).listImportPage},
		{"POST", "/equipment/import", "look at a list, and take it in", manage, (*Server).listImport},
		{"GET", "/equipment/labels", "labels with codes", see, (*Server).printLabels},
		{"GET", "/equipment/due", "what falls due, to be printed", see, (*Server).printDue},
		{"GET", "/equipment/calendar", "what falls due, for a calendar", see, (*Server).dueCalendar},
		{"GET", "/equipment/{id}", "one item", see, (*Server).itemPage},
		{"POST", "/equipment/{id}", "record what happened to an item", see, (*Server).itemEvent},
		{"GET", "/equipment/{id}/edit", "change an item", manage, (*Server).editItemPage},
		{"POST", "/equipment/{id}/edit", "change an item", manage, (*Server).editItem},
		{"GET", "/derig", "loads whose parts are still out", manage, (*Server).outPage},
		{"GET", "/derig/{id}", "take a load apart after its lift", manage, (*Server).derigPage},
		{"POST", "/derig/{id}", "record that a load was taken apart", manage, (*Server).derig},

		{"GET", "/settings", "what the school decides for itself", schoolFor(people.Settings), (*Server).settingsPage},
		{"POST", "/settings", "change the school's settings", schoolFor(people.Settings), (*Server).saveSettings},
		{"POST", "/settings/backup", "make a backup and download it", schoolFor(people.Backup), (*Server).backupFile},
		{"POST", "/settings/clock", "say that the clock is right", schoolFor(people.Settings), (*Server).clockRight},
	}
}
