package main

import (
	"bytes"
	"os"

	"hangtrue/internal/paper/draw/pdf"
	"hangtrue/internal/paper/draw/png"
	"hangtrue/internal/paper/draw/proof"
	"hangtrue/internal/paper/draw/svg"
)

func main() {
	p := proof.Sheet()
	var a, b, c, d bytes.Buffer
	for _, e := range []error{svg.Write(&a, p, svg.Options{}), svg.Write(&b, p, svg.Options{EmbedFont: true, Background: true}), pdf.Write(&c, p, pdf.Meta{}), png.Encode(&d, p, 200)} {
		if e != nil {
			panic(e)
		}
	}
	os.WriteFile("/tmp/draw/a.svg", a.Bytes(), 0o644)
	os.WriteFile("/tmp/draw/b.svg", b.Bytes(), 0o644)
	os.WriteFile("/tmp/draw/c.pdf", c.Bytes(), 0o644)
	os.WriteFile("/tmp/draw/d.png", d.Bytes(), 0o644)

	d.Reset()
	if e := png.Encode(&d, proof.Charts(), 180); e != nil {
		panic(e)
	}
	os.WriteFile("/tmp/draw/chart.png", d.Bytes(), 0o644)
}
