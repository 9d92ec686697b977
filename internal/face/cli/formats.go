package cli

import (
	"strings"

	"hangtrue/internal/engine/brief/brieffile"
	"hangtrue/internal/engine/inspect/sequencefile"
	"hangtrue/internal/engine/lift/aircraftfile"
	"hangtrue/internal/engine/lift/conditionsfile"
	"hangtrue/internal/engine/lift/dayfile"
	"hangtrue/internal/engine/lift/weighingfile"
	"hangtrue/internal/engine/part/catalogfile"
	"hangtrue/internal/engine/procedure/procedurefile"
	"hangtrue/internal/engine/rig/rigfile"
	"hangtrue/internal/engine/rig/solution"
)

// readable are the formats of files that people write, with their schemas.
var readable = []struct {
	format string
	schema func() []byte
}{
	{rigfile.Format, rigfile.Schema},
	{sequencefile.Format, sequencefile.Schema},
	{catalogfile.Format, catalogfile.Schema},
	{aircraftfile.Format, aircraftfile.Schema},
	{conditionsfile.Format, conditionsfile.Schema},
	{weighingfile.Format, weighingfile.Schema},
	{dayfile.Format, dayfile.Schema},
	{procedurefile.Format, procedurefile.Schema},
	{brieffile.Format, brieffile.Schema},
}

// written are the formats of data that commands print.
var written = []string{
	solution.Format, "hangtrue.counts/1", "hangtrue.spread/1", "hangtrue.faults/1", "hangtrue.flight/1", "hangtrue.parts/1",
	sequencefile.Format, "hangtrue.coverage/1", "hangtrue.effects/1", "hangtrue.figures/1", "hangtrue.weighed/1", "hangtrue.fill/1", "hangtrue.air/1",
	"hangtrue.hover/1", "hangtrue.carry/1", "hangtrue.dayplan/1", "hangtrue.review/1", "hangtrue.trace/1", "hangtrue.inspection/1", "hangtrue.flown/1", "hangtrue.load-brief/1",
	"hangtrue.person-data/1", "hangtrue.rotation/1",
}

// shortName is a format's name without program and version: rig.
func shortName(format string) string {
	name, _, _ := strings.Cut(strings.TrimPrefix(format, "hangtrue."), "/")
	return name
}

func schemaNames() []string {
	var out []string
	for _, x := range readable {
		out = append(out, shortName(x.format))
	}
	return out
}
