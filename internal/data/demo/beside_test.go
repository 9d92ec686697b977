package demo

import (
	"strings"
	"testing"

	"hangtrue/internal/engine/lift/dayfile"
	"hangtrue/internal/engine/procedure/procedurefile"
	"hangtrue/internal/engine/rig"
	"hangtrue/internal/engine/rig/rigfile"
)

// The demo register has every paragraph that a demo rig cites, and the demo day
// can be read; both are INVENTED.
func TestBeside(t *testing.T) {
	if len(Registers()) != 1 || len(Days()) != 1 || Registers()[0].Name != "register" {
		t.Fatalf("%d registers, %d days", len(Registers()), len(Days()))
	}
	register, problems := procedurefile.Read(Registers()[0].Data)
	if len(problems) > 0 || !register.Invented {
		t.Fatalf("register: %v, invented %v", problems, register != nil && register.Invented)
	}
	day, problems := dayfile.Read(Days()[0].Data)
	if len(problems) > 0 || !strings.Contains(string(Days()[0].Data), "\ninvented: yes") || day == nil {
		t.Fatalf("day: %v", problems)
	}
	text, cited := string(Registers()[0].Data), 0
	for _, d := range all(t) {
		r, _ := rigfile.Read(d.Data)
		var p *rig.Procedure
		if r != nil {
			p = r.Procedure()
		}
		if p == nil {
			continue
		}
		cited++
		if !strings.Contains(text, p.Publication) || !strings.Contains(text, "number: "+p.Paragraph) {
			t.Errorf("%s cites %s, %s, which the register does not have", d.Name, p.Publication, p.Paragraph)
		}
	}
	if cited < 2 {
		t.Errorf("%d rigs cite a procedure", cited)
	}
}
