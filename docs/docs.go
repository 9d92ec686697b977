// Package docs holds the documents for people, so that the program shows them
// where there is no network. They are the files beside this one; nothing is
// copied.
package docs

import "embed"

// Files are the pages, the pictures that they show and the lists of keys, by
// their names in this folder.
//
//go:embed *.md decisions formats jobs method pictures rigs
var Files embed.FS
