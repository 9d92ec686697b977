// Package sheet makes printed documents: values in, a picture of each page
// out, which the PDF back-end turns into a file of the same bytes for the same
// input.
package sheet
