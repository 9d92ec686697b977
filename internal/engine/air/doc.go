// Package air computes the state of the air that an aircraft hovers in, and of
// the air that its rotors throw down.
//
// Altitudes are geopotential metres, as altimeters show them; pressure Pa,
// temperature kelvin, density kg/m³, speed m/s.
//
// The standard atmosphere is that of ICAO Doc 7488 and US Standard Atmosphere
// 1976, which agree up to 20 km. Density altitude is the altitude at which the
// standard atmosphere has the density of the air as it is: computed, no rule
// of thumb, with the standard temperature taken at the pressure altitude.
//
// Rotor wash follows momentum theory. It is the mean speed of an ideal rotor's
// wake; real wash has gusts well above it, and [Ring] names its own limits.
package air
