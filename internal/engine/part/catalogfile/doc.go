// Package catalogfile reads catalogues of kinds of parts, format
// hangtrue.catalog/1: bytes to a document that knows its lines, and from there
// to a [part.Catalog]. Shipped data and a school's own files take the same way.
//
// # The format
//
// A strict subset of YAML (see package document). The first key is
//
//	format: hangtrue.catalog/1
//
// A reader that sees another name or number stops.
//
//	format: hangtrue.catalog/1
//	title: Kinds of the school
//	kinds:
//	  grab-hook:
//	    name: grab hook
//	    each: chained-leg
//	    figure: grab-hook
//	    source: common practice, no source
//	    attributes:
//	      keeper:
//	        ask: Is the keeper closed and does it spring back?
//	        see: [look, touch]
//	        good: closed
//	        ends: [leg-lost]
//	        act: put-right
//	        plant: by-hand
//	        states:
//	          closed: the keeper lies against the hook
//	          open:
//	            text: the keeper stands open
//	            hazard: a slack chain lifts out of the hook
//	            effect: leg-lost
//
// What an attribute says of ends, act, plant and hazard holds for all of its
// bad states that do not say otherwise. The state named by good is the good
// one. A bad state's put-back says how a person sees that it is undone, where the
// good state's text says nothing of it: "its bolts are tight" after "its bolts
// are loose", where the good state is no crack, bend or play. Plan says that the
// rig decides what the good state looks like (count, point, seat), and with
// plan: spacer which of the states it is.
//
// A kind says on what it is found (each), or nothing: then a rig file names
// its parts one by one. instead-of lists kinds that such a part takes the
// place of: a wire rope named on a leg is looked at as a wire rope and not as
// a leg of unknown make.
//
// # A school's own files
//
// [Load] reads several catalogues one after the other. A kind, a criterion or
// a spacer rule in a later one takes the place of that with the same name in
// an earlier one, as a whole; new ones are added.
package catalogfile
