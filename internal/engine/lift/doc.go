// Package lift says what an aircraft can carry on its hooks: at pick-up and at
// drop-off, with the fuel of each, against every limit entered, and which load
// to take on which lift of a day.
//
// A [Spec] is an aircraft as entered and may be wrong; [New] makes an
// [*Aircraft] of it, which is valid or does not exist and is never changed.
// What the aircraft can hover with comes from tables of its own flight manual,
// interpolated and never extrapolated: outside a table, or where a figure is
// missing, the answer is cannot tell.
//
// SI throughout: kg, m, N, Pa, K, s, m/s. Altitudes are pressure altitudes. An
// aircraft's places are in metres, x forward, y left, z up, from a datum of the
// user's.
//
// No result is a clearance to lift. The operator's flight manual governs.
package lift
