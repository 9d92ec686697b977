// Package equipment knows a school's serial-numbered equipment: sling sets and
// their legs, pendants, apex fittings, nets, drums, clevises, what was done to
// each, when its next inspection falls due, and why it may not be used.
//
// # Items and events
//
// An [Item] is what is marked on it. What happens to it are [Event]s, which are
// only ever added to; [Fold] makes its [State] of both. A set is blocked by
// whatever blocks one of the items that belong to it. What was overloaded,
// shock-loaded, contaminated or damaged is quarantined until a named competent
// person releases it. A spoiled training part is never for flight, whatever
// else is said of it.
//
// # Days
//
// An inspection with an interval falls due so many months or days after it was
// last made, or after the item went into service. It counts through that day
// and is overdue the day after. Today is always an argument. The intervals are
// the school's, from its makers and rules; the package knows none.
package equipment
