// Package people says who a school's people are to it: their roles and what each
// role may do, their qualifications and when those lapse.
//
// A person goes by a random id everywhere; the name is kept apart, so that it
// can be taken away and results stay. What a person may do is the union over
// their roles. A role gives no qualification: signing an inspection takes the
// role of an inspector and a qualification as inspector that has not lapsed on
// the day.
package people
