package document_test

import (
	"fmt"

	"hangtrue/internal/engine/document"
	"hangtrue/internal/engine/quantity"
)

func Example() {
	pendant := document.Object(
		document.Required("format", document.Fixed("pendant/1"), "name of the format"),
		document.Required("length", document.Quantity(quantity.Length).Positive(), "unstretched length"),
		document.Optional("stretch", document.Stretch(), "how far it stretches under a pull"),
		document.Optional("rated", document.Quantity(quantity.Force), "permitted pull"),
	)

	value, _ := document.Read([]byte("format: pendant/1\nlength: 20 ft\nrated: 6250 lb\n"), pendant)
	fmt.Println(quantity.Metric.Length(value.Get("length").SI()), quantity.Metric.Force(value.Get("rated").SI()))

	_, problems := document.Read([]byte("format: pendant/1\nlength: 20\nratde: 6250 lb\n"), pendant)
	for _, p := range problems {
		fmt.Println(p.Format("pendant.yaml"))
	}
	// Output:
	// 6.10 m 27.80 kN
	// pendant.yaml:2: length: 20 needs a unit: one of m, cm, mm, ft, in, km, nmi; for example 20 m
	// pendant.yaml:3: the key ratde is not known here; did you mean rated?
}
