// Package procedurefile reads a school's register of procedures, format
// hangtrue.procedures/1: a file procedures/register.yaml beneath the folder of its rigs.
//
// # The format
//
// A strict subset of YAML (see package document). A reader that sees another
// name or number stops.
//
//	format: hangtrue.procedures/1
//	title: Register of the school
//	publications:
//	  - title: Rigging handbook of the school
//	    edition: "3"
//	    change: "1"
//	    from: 2026-03-01
//	    paragraphs:
//	      - number: "4.2"
//	        title: Compressor crate
//	        covers: {weight: [1500 kg, 2400 kg], set: four legs, airspeed: up to 60 kt}
//	  - {title: Rigging handbook of the school, edition: "2", superseded: yes}
//	authorities:
//	  - rig: footbridge
//	    version: 3f1c…
//	    name: M. Haller, chief pilot
//	    reference: letter 17/2026
//	    test-lift: {on: 2026-05-04, by: M. Haller, result: hung level; no leg slack}
//
// An entry that is superseded is kept, so that old records can be read. Keys
// may be added to procedures/1 until release 1.0; afterwards a new key means
// procedures/2.
package procedurefile

import (
	"fmt"
	"strings"

	"hangtrue/internal/engine/document"
	"hangtrue/internal/engine/procedure"
	q "hangtrue/internal/engine/quantity"
)

// Format is the name of the format, with its version.
const Format = "hangtrue.procedures/1"

// Name is where the file lies beneath the folder of the rigs.
const Name = "procedures/register.yaml"

var shape = document.Object(
	document.Required("format", document.Fixed(Format), "name and version of the format"),
	document.Optional("title", document.Text(120), "whose register it is"),
	document.Optional("invented", document.YesNo(), "yes for demo data: marked INVENTED everywhere"),
	document.Optional("publications", document.List(document.Object(
		document.Required("title", document.Text(200), "what the publication is called, as rig files name it"),
		document.Optional("edition", document.Text(80), "its edition"),
		document.Optional("change", document.Text(80), "its change or amendment"),
		document.Optional("from", document.Date(), "the day from which it holds"),
		document.Optional("superseded", document.YesNo(), "yes where a newer edition is current"),
		document.Optional("note", document.Text(400), "anything a person should know"),
		document.Optional("paragraphs", document.List(document.Object(
			document.Required("number", document.Text(80), "as rig files name it"),
			document.Optional("title", document.Text(120), "what it is about"),
			document.Optional("covers", document.Object(
				document.Optional("weight", document.Tuple(document.Quantity(q.Force), 2), "lowest and highest weight of the load"),
				document.Optional("aircraft", document.OneOf(document.Text(120), document.List(document.Text(120), 1, 40)), "the aircraft"),
				document.Optional("set", document.Text(120), "the sling set"),
				document.Optional("airspeed", document.Text(120), "the published airspeed, as written there"),
			), "what it covers"),
		), 0, 400), "its paragraphs"),
	), 0, 200), "the publications, each edition an entry of its own"),
	document.Optional("authorities", document.List(document.Object(
		document.Required("rig", document.Text(120), "name of the rig file, without .yaml"),
		document.Optional("version", document.Text(64), "SHA-256 of the rig file that the authority named; solve --json and procedures print it"),
		document.Optional("name", document.Text(120), "who allows it"),
		document.Optional("reference", document.Text(200), "where that is written"),
		document.Optional("test-lift", document.Object(
			document.Required("on", document.Date(), "the day"),
			document.Required("by", document.Text(120), "who led it"),
			document.Required("result", document.Text(400), "what was seen"),
		), "static test lift clear of people, then a hover check"),
	), 0, 400), "for rigs that no procedure covers"),
)

// Schema returns the JSON Schema of the format.
func Schema() []byte {
	return document.Schema(shape, document.About{Title: Format, Description: "A school's register of approved rigging procedures."})
}

// Read makes a register of its file, or returns everything that is wrong with
// it in the order of its lines. It never returns both.
func Read(data []byte) (*procedure.Register, []document.Problem) {
	v, problems := document.Read(data, shape)
	if v == nil || len(problems) > 0 {
		return nil, problems
	}
	g := &procedure.Register{Title: v.Get("title").Text(), Invented: v.Get("invented").Yes()}
	current, entry := map[string]bool{}, map[string]bool{}
	for _, x := range v.Get("publications").Items() {
		p := procedure.Publication{
			Title: x.Get("title").Text(), Edition: x.Get("edition").Text(), Change: x.Get("change").Text(),
			From: x.Get("from").Date(), Superseded: x.Get("superseded").Yes(), Note: x.Get("note").Text(),
		}
		title := strings.ToLower(p.Title)
		if key := title + "\x00" + strings.ToLower(p.Edition) + "\x00" + strings.ToLower(p.Change); entry[key] {
			problems = append(problems, x.Problem(fmt.Sprintf("this edition and change of %q are entered twice", p.Title), "one entry for each"))
		} else {
			entry[key] = true
		}
		if !p.Superseded {
			if current[title] {
				problems = append(problems, x.Problem(fmt.Sprintf("two entries of %q are current", p.Title), "add superseded: yes to the older"))
			}
			current[title] = true
		}
		for _, y := range x.Get("paragraphs").Items() {
			p.Paragraphs = append(p.Paragraphs, paragraph(y))
		}
		g.Publications = append(g.Publications, p)
	}
	for _, x := range v.Get("authorities").Items() {
		a := procedure.Authority{Rig: x.Get("rig").Text(), Version: x.Get("version").Text(), Name: x.Get("name").Text(), Reference: x.Get("reference").Text()}
		if t := x.Get("test-lift"); t.Given() {
			a.TestLift = &procedure.TestLift{On: t.Get("on").Date(), By: t.Get("by").Text(), Result: t.Get("result").Text()}
		}
		g.Authorities = append(g.Authorities, a)
	}
	if len(problems) > 0 {
		return nil, problems
	}
	return g, nil
}

func paragraph(v *document.Value) procedure.Paragraph {
	covers := v.Get("covers")
	p := procedure.Paragraph{Number: v.Get("number").Text(), Title: v.Get("title").Text(), Set: covers.Get("set").Text(), Airspeed: covers.Get("airspeed").Text()}
	if w := covers.Get("weight").Items(); len(w) == 2 {
		p.Weight = &[2]float64{w[0].SI(), w[1].SI()}
	}
	if a := covers.Get("aircraft"); a.Form() == document.FormText {
		p.Aircraft = []string{a.Text()}
	} else {
		for _, x := range a.Items() {
			p.Aircraft = append(p.Aircraft, x.Text())
		}
	}
	return p
}
