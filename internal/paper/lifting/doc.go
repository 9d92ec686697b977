// Package lifting draws what an aircraft can carry: its hover tables with the
// figures entered, the limits of one load as bars, how hot and high the load
// still goes, the wind around a hovering aircraft, and the timeline of a day.
//
// Every picture that carries a result also carries the caution, and INVENTED
// where anything that went into it is invented.
package lifting
