package web

import (
	"slices"

	"hangtrue/internal/engine/people"
)

// top fills in what stands on top of a page: where else to go, and who is
// signed in. The documents are for everybody.
func (f *frame) top(school *School, person *people.Person) {
	f.Top = nil
	f.Reads = school != nil && (person == nil || !person.May(people.ChangeRigs))
	defer func() { f.Top = append(f.Top, pageLink{Address: "/docs", Words: "Help"}) }()
	add := func(address, words string, right people.Right) {
		if school == nil || person != nil && (right == "" || person.May(right)) {
			f.Top = append(f.Top, pageLink{Address: address, Words: words})
		}
	}
	student := func() {
		add("/drill", "Drills", people.Drill)
		add("/lane-run", "My lanes", people.Drill)
		add("/results", "My results", people.Drill)
	}
	learns := school != nil && person != nil && !slices.ContainsFunc(person.Roles, func(x people.Role) bool { return x != people.Student })
	if learns {
		student() // what they come for stands first
	}
	if school != nil {
		add("/today", "Today", people.Inspect)
		add("/loads", "Loads", people.Inspect)
	}
	add("/", "Rigs", people.SeeRigs)
	add("/aircraft", "Aircraft", people.SeeRigs)
	add("/weigh", "Weighing", people.SeeRigs)
	add("/days", "Sortie plans", people.SeeRigs)
	add("/procedures", "Procedures", people.SeeRigs)
	add("/flown", "As flown", people.SeeRigs)
	if school == nil {
		return
	}
	f.School = school.title()
	if person == nil {
		return
	}
	f.Who = person.Shown()
	add("/classes", "Classes", people.Teach)
	add("/grade", "Grade", people.Grade)
	add("/statistics", "Statistics", people.Teach)
	switch {
	case learns:
	case person.Is(people.Student):
		student()
	default:
		add("/drill", "Drills", people.Drill)
	}
	add("/records", "Records", people.SeeRecords)
	add("/equipment", "Equipment", people.SeeEquipment)
	add("/people", "People", people.SeePeople)
	add("/tablets", "Tablets", people.Settings)
	add("/settings", "Settings", people.Settings)
}
