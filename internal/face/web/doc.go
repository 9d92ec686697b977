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
// The tables in routes.go and *_routes.go have the pages and actions with who
// may use each. A handler that is in none is not reached, which a test proves.
//
// # Where what is
//
// One file for a page or an action, named by its subject; what belongs together
// begins alike. templates has a file for each page, assets its style and script.
//
//	what every request meets   server, guard, connections, access, routes, top, trouble, solver
//	what every page is made of pages, assets, shown, subpage, rigview, change, jobs, lift_form
//	a rig and its studies      list, draft, change, counts*, spread*, faults*, flight*, flown*, effects, parts*, closeups
//	the walk-round at a desk   walk*, lesson*
//	lift and papers            aircraft*, air*, weigh*, lift*, days*, brief*, procedures, paper
//	the school and its people  signin, account, people, lan, settings, overview, backup
//	inspecting on a tablet     loads*, inspect*, sync*, sign*, records*, equipment*
//	class and test day         class*, lanes*, grade*, drill, results*, tagged*
//	the documents              docs*
package web
