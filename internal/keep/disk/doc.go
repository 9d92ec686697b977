// Package disk keeps rigs in a folder, one file each, with every version that
// each ever had.
//
// The rigs are the files NAME.yaml of the folder itself, which any editor may
// change. Beside them, .versions/NAME/HASH.yaml holds each version under the
// SHA-256 of its bytes; its time is when it was last the newest. An empty file
// HASH.printed has the time at which a sheet was last printed from it.
//
// # What is promised
//
// A file appears whole or not at all: it is written under another name, synced,
// and renamed. A version is kept before anything takes its place, so that
// whatever this package has seen is never lost; a file changed by an editor is
// kept as a version when it is next read. Of two that save at once on top of
// the same version one is refused, within this program always. Between programs
// the file is compared immediately before it is renamed; should an editor
// write in the microseconds between, its text is replaced.
//
// Nothing outside the folder is reached: links that lead out of it are refused,
// and only regular files are rigs.
package disk
