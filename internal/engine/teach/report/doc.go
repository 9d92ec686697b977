// Package report says what the results of a school's tests and drills say: how
// often each deficiency is found and how fast, which checkpoint to teach again,
// how far two versions are equal and two graders agree, and how sure each of
// these is. It counts; package stats has the formulas.
//
// # What is counted
//
// A deficiency is counted by its kind of part, attribute and state, wherever on
// whichever load it was planted: that is an [Item]. Of a student's runs on one
// lane only the first counts, as the later ones come after retraining on what
// the first one showed; how many are left out is said. A run that ended by a
// safety violation, that is stopped or not over counts only as a run: nobody
// knows what its student would have found. Second graders count only for
// agreement. Every answer counts to the newest grading of its run, so that an
// item that was voided is neither found nor missed.
//
// # How sure
//
// Answers of one student hang together, so where several answers of one student
// are pooled the interval is widened by the design effect (Kish 1965): the
// variance with students as clusters over the variance of as many answers of
// strangers. Where there are fewer results than [stats.Few], the words say so
// and nothing is ranked.
package report
