package app

import (
	"bytes"
	"fmt"

	"hangtrue/internal/engine/rig"
	"hangtrue/internal/engine/rig/fault"
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/pdf"
	"hangtrue/internal/paper/picture"
	"hangtrue/internal/paper/sheet"
	"hangtrue/internal/paper/whatif"
)

// Sheet is the printed one-fault table, as PDF.
func (f *Faults) Sheet(stamp sheet.Stamp) ([]byte, error) {
	stamp.Version = f.Version
	return paginated(whatif.Sheet(f.Plan, f.Table, f.Pitch, stamp))
}

// Beside draws the rig as planned and with one fault of it, by its id; for "" the
// one that the table has first.
func (f *Faults) Beside(id string, v picture.View, width, height float64) (*draw.Picture, error) {
	w := &fault.Row{}
	switch {
	case id == "" && len(f.Table.Rows) == 0:
		return nil, fmt.Errorf("app: no fault of this rig was worked out")
	case id == "":
		w = &f.Table.Rows[0]
	case f.Row(id) != nil:
		w = f.Row(id)
	default: // more links off than the table has
		var ok bool
		if w.Fault, ok = fault.Named(f.Rig, id); !ok {
			return nil, fmt.Errorf("app: this rig has no fault %q; faults --json lists the id of each", id)
		}
	}
	a, running, err := f.Hung(w)
	if err != nil {
		return nil, err
	}
	words := w.Fault.What(f.Rig)
	if running {
		words += ", chain running"
	}
	return whatif.Beside(f.Plan, a, words, v, width, height), nil
}

// Hung hangs the rig with the fault of a row, in the way in which it is worse:
// running says that its chain runs freely, and the answer is then not judged.
func (f *Faults) Hung(w *fault.Row) (a *rig.Answer, running bool, err error) {
	if w.Ran {
		if a, err = w.Fault.Hung(f.Rig, true); err == nil {
			return a, true, nil
		}
	}
	a, err = w.Fault.Hung(f.Rig, false)
	return a, false, err
}

// Row returns the row of a fault by its id; nil where the table has none.
func (f *Faults) Row(id string) *fault.Row {
	for i := range f.Table.Rows {
		if f.Table.Rows[i].Fault.ID() == id {
			return &f.Table.Rows[i]
		}
	}
	return nil
}

// paginated binds pages of one size to a PDF.
func paginated(pages []*draw.Picture) ([]byte, error) {
	var out bytes.Buffer
	if err := pdf.WriteAll(&out, pages, pdf.Meta{Lang: "en"}); err != nil {
		return nil, fmt.Errorf("app: %w", err)
	}
	return out.Bytes(), nil
}
