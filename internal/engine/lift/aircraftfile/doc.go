// Package aircraftfile reads aircraft files, format hangtrue.aircraft/1: bytes
// to a document that knows its lines, and from there to a valid
// [lift.Aircraft].
//
// # The format
//
// A strict subset of YAML (see package document). A reader that sees another
// name or number stops.
//
//	format: hangtrue.aircraft/1
//	title: School helicopter
//	invented: yes
//	empty: {mass: 1350 kg, at: [0.1 m, 0 m, 1.2 m]}
//	crew: [{what: pilot, mass: 90 kg, at: [1.6 m, -0.4 m, 1 m]}]
//	fuel: {capacity: 540 L, density: 800 kg/m3, burn: 190 L/h, reserve: 20 min}
//	limits: {gross: 2250 kg, external-gross: 2450 kg}
//	hooks: [{id: belly, rated: 1000 kg}]
//	hover:
//	  oge:
//	    altitudes: [0 ft, 5000 ft]
//	    temperatures: [0 degC, 30 degC]
//	    gross: [[2450 kg, 2400 kg], [2300 kg, 2100 kg]]
//
// A hover table has one row for each pressure altitude and in it one gross mass
// for each temperature; none stands where the manual has no figure. A fuel
// capacity or burn in litres needs the density it is computed with; a reserve
// may be a mass or a time at the burn entered. Places are in the aircraft's own
// frame, x forward, from any datum.
//
// Keys may be added to aircraft/1 until release 1.0; afterwards a new key means
// aircraft/2.
package aircraftfile
