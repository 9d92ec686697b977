// Package lane prints what a test day is run with: the set-up card for whoever
// plants the faults, the put-back list, the key that was committed to, and the
// rotation of groups over lanes. A student's result sheet is in package results.
//
// # Rules
//
// As in package sheet. The card, the put-back list and the key say on every page
// that they are not for students. A real load with planted faults goes by its red
// tag, whose number stands large on the first page. Sizes are in mm of paper.
package lane
