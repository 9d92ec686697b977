// Package spread asks how sure an answer is: the same rig solved over the
// spread of its inputs.
//
// # Method
//
// Every input lies anywhere within its tolerance, each place as likely as any
// other, independently of the rest; a count is any whole number within its
// tolerance. The cases are points of a Halton sequence whose digits are
// permuted at random in every dimension and place (A. B. Owen, "A randomized
// Halton algorithm in R", arXiv:1706.02808, 2017), which fill the space more
// evenly than independent random points. The permutations come from the seed
// by a generator written out here, so that one seed gives one answer.
//
// How much an input matters is its total effect: the share of the result's
// variance that would be left if everything but this input were known, by the
// estimator of M. J. W. Jansen, "Analysis of variance designs for model
// output", Computer Physics Communications 117 (1999) 35–43. Inputs of one kind
// are varied as one group. Shares may add up to more than 1 where inputs act
// together.
//
// Results are bit-equal for any number of goroutines: each case is solved from
// the rig as planned, and sums are taken in the order of the cases.
package spread
