// Package placard prints the three papers of a load brief: the placard that hangs
// on the load, the aircrew sheet, and the hook-up team's card. They are black on
// white in large type, to be read at arm's length in full sun; the placard is
// one A4 sheet and stays legible when it is made A5.
package placard
