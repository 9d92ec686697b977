package catalog

import (
	"testing"

	"hangtrue/internal/engine/part/catalogfile"
)

func TestFiles_ReadWithoutAProblem(t *testing.T) {
	_, problems := catalogfile.Load(Files()...)
	for _, p := range problems {
		t.Error(p)
	}
}
