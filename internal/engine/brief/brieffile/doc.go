// Package brieffile reads and writes brief files, format hangtrue.brief/1: what
// a school enters for one load beyond its rig.
//
// # The format
//
// A strict subset of YAML (see package document). A reader that sees another
// name or number stops. Every key but format may be left out; what is left out
// prints as not entered or NOT BRIEFED.
//
//	format: hangtrue.brief/1
//	aircraft: twin
//	hooks: [{apex: front, hook: front}, {apex: rear, hook: rear}]
//	fitting: {kind: apex-large, inside: 60 mm, stock: 22 mm, spacer: fitted}
//	pick-up: {place: valley, elevation: 3200 ft, qnh: 1013 hPa, temperature: 14 degC, fuel: 600 kg}
//	drop-off: {place: hut, elevation: 6900 ft, qnh: 1013 hPa, temperature: 7 degC, fuel: 480 kg}
//	airspeed: {limit: 60 kt, source: leaflet 7}
//	authority: {name: A. Person, reference: letter 12, rig: 0123abcd}
//	test-lift: {on: 2026-05-31, by: B. Person, record: log 44}
//	team:
//	  roles: [{role: signaller, who: C. Person, does: stands in front}]
//	  signals: [{signal: both arms up, means: climb}]
//	emergencies: {power-loss: as the school says}
//	done: [{what: briefing, by: A. Person, at: 2026-05-31 08:10}]
//
// The air at an end is an elevation with the QNH there, or a pressure altitude.
// What was done on a day changes the file, and so its version, but makes no
// printed paper void: see [SamePlan].
//
// Keys may be added to brief/1 until release 1.0; afterwards a new key means
// brief/2.
package brieffile
