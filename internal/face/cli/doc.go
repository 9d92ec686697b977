// Package cli is the command line: one file per command.
//
// Every command that gives a result ends with the same statuses: 0 within the
// limits entered, 1 over a limit or does not stand, 2 bad input (a file, a
// number, the command line itself), 3 cannot tell. Results go to standard
// output, everything else to standard error, as FILE:LINE: text; hint.
//
// A file named - is standard input where something is read and standard output
// where something is written. A command that fails leaves no output file.
package cli
