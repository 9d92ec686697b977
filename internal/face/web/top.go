package web

import "hangtrue/internal/engine/people"

// top fills in what stands on top of a page: where else to go, and who is
// signed in.
func (f *frame) top(school *School, person *people.Person) {
	f.Top = nil
	add := func(address, words string, right people.Right) {
		if school == nil || person != nil && (right == "" || person.May(right)) {
			f.Top = append(f.Top, pageLink{Address: address, Words: words})
		}
	}
	add("/", "Rigs", people.SeeRigs)
	add("/aircraft", "Aircraft", people.SeeRigs)
	add("/weigh", "Weighing", people.SeeRigs)
	add("/days", "Sortie plans", people.SeeRigs)
	add("/procedures", "Procedures", people.SeeRigs)
	if school == nil {
		return
	}
	f.School = school.Name
	if person == nil {
		return
	}
	f.Who = person.Shown()
	add("/people", "People", people.SeePeople)
	add("/tablets", "Tablets", people.Settings)
}
