// Package lane prints what a test day is run with: the set-up card for whoever
// plants the faults, the put-back list, the key that was committed to, the
// rotation of groups over lanes, and a student's result sheet.
//
// # Rules
//
// As in package sheet. The card, the put-back list and the key say on every page
// that they are not for students. A real load with planted faults goes by its red
// tag, whose number stands large on the first page. A result sheet says whether
// the rule was met and nothing about any load or any qualification. Sizes are in
// mm of paper.
package lane
