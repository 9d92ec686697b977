// Package sequencefile reads and writes inspection sequences, format
// hangtrue.sequence/1: a school's own order of checkpoints, kept beside its
// rigs and edited without code.
//
// # The format
//
// A strict subset of YAML (see package document). The first key is
//
//	format: hangtrue.sequence/1
//
// A reader that sees another name or number stops.
//
//	format: hangtrue.sequence/1
//	title: Walk of the school
//	checkpoints:
//	  - id: c01
//	    title: Front left
//	    stand: front-left
//	    look: [leg.FL.grab-hook, leg.FL.chain/twist, leg.*.keeper]
//	    do: [look, touch]
//	    note: From the free end, aloud.
//	    reference: course book, page 12
//
// A look is a part's id, with /attribute for one attribute alone; * stands for
// any letters. Parts are what the command parts lists for a rig. Without do a
// checkpoint does whatever each attribute takes; with it, only these ways of
// seeing count. stand says where a person stands, the load on the ground and
// left being the load's left; at says it exactly, in the ground frame. The
// question "anything else?" ends every sequence and is not written.
package sequencefile
