package web

import "hangtrue/internal/engine/people"

// peopleRoutes are the pages about who may come in and as what.
func peopleRoutes() []route {
	return []route{
		{"GET", "/signin", "sign in", schoolAnyone, (*Server).signInPage},
		{"POST", "/signin", "sign in", schoolAnyone, (*Server).signIn},
		{"POST", "/signout", "sign out", schoolAnyone, (*Server).signOut},
		{"GET", "/welcome/{secret}", "use a one-time link", schoolAnyone, (*Server).welcomePage},
		{"POST", "/welcome/{secret}", "choose a name and passphrase", schoolAnyone, (*Server).welcome},
		{"GET", "/account", "one's own sign-ins and passphrase", schoolSignedIn, (*Server).accountPage},
		{"POST", "/account", "change one's passphrase, sign out everywhere", schoolSignedIn, (*Server).changeAccount},
		{"GET", "/people", "everybody, and whose qualification lapses", schoolFor(people.SeePeople), (*Server).peoplePage},
		{"POST", "/people", "add a person", schoolFor(people.ManagePeople), (*Server).addPerson},
		{"GET", "/people/changes", "who changed whose rights", schoolFor(people.ManagePeople), (*Server).rightsPage},
		{"GET", "/tablets", "how a tablet gets in", schoolFor(people.Settings), (*Server).tabletsPage},
		{"GET", "/people/{id}", "one person", schoolFor(people.SeePeople), (*Server).personPage},
		{"POST", "/people/{id}", "change a person's roles, qualifications and sign-in", schoolFor(people.ManagePeople), (*Server).changePerson},
	}
}
