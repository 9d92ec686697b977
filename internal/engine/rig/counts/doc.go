// Package counts searches the link counts of a rig: which hang it within its
// limits, which of those are best, and how much a miscount costs.
//
// Counts found here are computed, not approved: they never become the plan of
// a brief, a sequence or a lane by themselves.
//
// # Groups
//
// Legs of one group keep the same count. Groups are those of the rig file;
// legs with open counts and no group are groups of their own. Where no count
// is open and no group is given, the legs with chain are taken as two groups,
// front and rear, by where they hold the load.
//
// # Order
//
// Of two sets of counts the better is the one that breaks the limits less; of
// those that keep them, the one whose most used leg uses less of its rating
// (where no leg is rated, whose most pulled leg carries less of the weight; both
// in steps of 1 %), then the one with fewer different counts, then the one of
// which fewer rigs one link off in one group break a limit, then the smaller
// share itself, then the lower counts.
package counts
