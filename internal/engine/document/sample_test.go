package document_test

import (
	"hangtrue/internal/engine/document"
	"hangtrue/internal/engine/quantity"
)

// sample is a small format that uses every shape.
func sample() document.Shape {
	length := document.Quantity(quantity.Length)
	at := document.Tuple(length, 3)
	rope := document.Object(
		document.Required("length", length.Positive(), "unstretched length").Example("12 ft"),
		document.Optional("stretch", document.Stretch(), "stretch under a pull").Example("8 % at 27.8 kN"),
	)
	leg := document.Object(
		document.Required("id", document.ID(), "name of the leg").Example("FL"),
		document.Required("to", document.OneOf(document.Reference(), document.List(document.Reference(), 2, 9)), "point or points"),
		document.Optional("rope", rope, "the rope"),
		document.Optional("length", length.Positive(), "length of a plain leg"),
		document.Optional("count", document.Integer(1, 200), "link in the grab hook").Example("10"),
		document.Optional("clevis", document.OneOf(document.Quantity(quantity.Force).NotNegative(), document.Choice("none")), "limit of the clevis, or none"),
	).AtMostOne("rope", "length")
	return document.Object(
		document.Required("format", document.Fixed("sample/1"), "name of the format").Example("sample/1"),
		document.Required("title", document.Text(40), "title").Example("Crate"),
		document.Optional("note", document.Lines(200), "anything"),
		document.Optional("show", document.Choice("metric", "us"), "units of the output"),
		document.Optional("invented", document.YesNo(), "made up for practice"),
		document.Optional("edition", document.Date(), "day of the edition"),
		document.Optional("factor", document.Number(0, 2.5), "a factor"),
		document.Optional("shape", document.OneOf(
			document.Object(document.Required("box", at, "three edges")),
			document.Object(document.Required("drum", document.Object(
				document.Required("length", length, "length"),
				document.Required("diameter", length, "diameter"),
			), "a drum")),
		), "its shape"),
		document.Optional("mass", document.Quantity(quantity.Mass), "mass"),
		document.Optional("items", document.List(document.Text(20), 1, 5), "what is in it"),
		document.Optional("points", document.Map(at, 1, 8), "points by id"),
		document.Optional("legs", document.List(leg, 1, 12), "the legs"),
	).ExactlyOne("mass", "items")
}

const good = `# a crate
format: sample/1
title: Compressor crate
note: |
  one
  two
show: us
invented: yes
edition: 2026-05-31
factor: 1.5
shape: {drum: {length: 1.6 m, diameter: 1.35 m}}
mass: 2100 kg
points:
  FL: [1.2 m, 0.8 m, 1.2 m]
  y: [1 m, 2 m, -0 m]
legs:
  - id: FL
    to: crate.FL
    rope:
      length: 12 ft
      stretch: 8 % at 27.8 kN
    count: 10
    clevis: 6250 lb
  - {id: FR, to: [crate.FR, y], length: 4.6 m, clevis: none}
`
