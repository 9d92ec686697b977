// Package stats says what the results of tests say: how often a deficiency is
// found, how hard it is to find, how well a test tells people apart, how far
// graders agree, and how sure each of these is.
//
// A result is a person's answer to an item: found (1) or not (0). Where a
// person was not asked about an item the answer is missing, which is never
// counted as not found.
//
// Every figure comes with its uncertainty, or with the words that there are too
// few results for it. No figure here ranks people.
//
// # Methods
//
//	symbol  meaning
//	p       share found                       Wilson (1927), score interval
//	KR-20   reliability of a version          Kuder and Richardson (1937), formula 20, variance with n
//	r       corrected point-biserial          item against the score of the other items
//	b       difficulty, logits                Rasch (1960); conditional maximum likelihood, Andersen (1972);
//	                                          marginal, Bock and Lieberman (1970), Thissen (1982)
//	θ       ability, logits                   Warm (1989), weighted likelihood
//	fit     mean squares, infit and outfit    Wright and Masters (1982), given the number found
//	d′, c   sensitivity and bias              Green and Swets (1966); log-linear correction, Hautus (1995)
//	κ       agreement of two graders          Cohen (1960); standard error, Fleiss, Cohen and Everitt (1969)
//
// The sources are named from memory; the figures that tests compare with are
// named beside them.
package stats
