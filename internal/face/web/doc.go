// Package web is the face in a browser: the list of rigs, and one page for each
// rig on which a person changes a count and sees the load move.
//
// # Start-up
//
// [Serve] does all: it listens, prints the address, opens a browser if asked,
// and serves until the context ends. A test makes the same [Server] with [New],
// asks it to [Server.Listen] on port 0, and runs [Server.Serve].
//
//	keeper, err := disk.Open(dir, app.MostBytes)
//	...
//	err = web.Serve(ctx, web.Config{Keeper: keeper, Addr: "127.0.0.1:8086", Out: os.Stdout, Open: true})
//
// # How a page works
//
// The text of the rig file is the one state. Every button posts the text with
// the page's other fields to the rig's own address and gets the page back for
// the text that results; nothing of a draft is kept here. A script, where there
// is one, posts the same form, asks for JSON and swaps the parts of the page;
// the page does the same without.
//
// # Who may do what
//
// routes.go has the one table of pages and actions with who may use each. A
// handler that is not in it is not reached, which a test proves.
package web
