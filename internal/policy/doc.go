// Package policy holds tests only. They keep what no compiler keeps: which
// room may import which (arrows_test.go), that the engine and the paper are
// pure, one package comment a package, plain names, wording that clears no
// load, published formats that lose no key, and no trace of one developer's
// machine in committed files.
//
// A rule here is not to be edited to make a build pass. If a rule is wrong,
// change it on its own, with the reason.
//
// Every check is a function from a file tree to a list of breaches, so that
// each is also run on a small made-up tree where it must find something.
package policy
