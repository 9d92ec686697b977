// Package look is the one place for the look of everything drawn: colours with
// their roles, line weights, type sizes, spacing. Change it here and every
// drawing, chart and sheet follows.
//
// # Rules
//
//   - A drawing is read in full sun, on a grey photocopy and by people who see
//     colours differently. So colour never speaks alone: whatever differs in
//     colour differs in line weight, dash, hatch, marker or words as well.
//   - No colour stands for a verdict. Nothing is green for good; the only role
//     that warns is Over, and it is also the heaviest line and is always
//     accompanied by words.
//   - Ink on paper; greys for what supports; one accent. Nothing decorates.
//
// # Colours
//
// The hues are those of M. Okabe and K. Ito, "Color Universal Design" (2008):
// orange 230,159,0; sky blue 86,180,233; bluish green 0,158,115; yellow
// 240,228,66; blue 0,114,178; vermillion 213,94,0; reddish purple 204,121,167.
// The bluish green is left out on purpose. Lines use the darker ones as they
// are; pale fills are the same hues mixed with white.
package look
