// Package liquid computes what a fill of liquid weighs, where its CG lies and
// how much room is left for it to expand.
//
// # Density
//
// Petroleum products follow API MPMS chapter 11.1:2004 (ASTM D1250), refined
// products, at the pressure of the air, with no rounding on the way; fresh
// water follows Kell (1975) and sea water the international equation of state
// EOS-80 (UNESCO technical papers in marine science 44, 1983) at one
// atmosphere. Each has its range of temperature; outside it is an error.
//
// A product known by name only has the middle of its specification as density
// and half of the specification's width as its band: see [Liquid.Band].
//
// # Tanks
//
// A tank lies in the frame of the body that it is: x forward, y left, z up,
// the origin in the centre of its base. [Fill.CG] takes the direction that is
// up in that frame, so a tilted tank is a matter of the argument.
//
// SI throughout: m, m³, kg, kg/m³, kelvin.
package liquid
