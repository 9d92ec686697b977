// Package inspection is one inspection as it is walked: what a person answered
// at which checkpoint, in events that are only ever added to.
//
// # Events
//
// A device makes events, each with a random id of its own, numbered from 1 on
// that device within one inspection, with the time that the device's clock
// showed. Delivering an event twice does no harm: the id tells. The server adds
// its own time and the event's place in the one order in which it took them.
// Nothing is altered; taking an answer back is another event.
//
// # States
//
// [Fold] reads the events in the server's order and tells the state: open,
// finished, and once the server has sealed it, signed. An inspection is the
// work of one person from start to end. After a pause, a reload or a hand-over,
// and after something was put right, an Again event names the questions that
// must be asked anew; their earlier answers no longer count. Two people's
// inspections of one load are compared by [Compare] and never merged.
//
// # What it says
//
// The result is what was found: so many deficiencies left open, so many
// questions that could not be told. It never says that a load may be lifted.
package inspection
