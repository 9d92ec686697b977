// Package whatif draws what one thing gone wrong and what steady flight do to a
// rig: the load beside how it hangs as planned, charts over the count, over the
// aircraft's pitch and over the airspeed, and the printed sheets of both.
package whatif
