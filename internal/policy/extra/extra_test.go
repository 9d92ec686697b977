package extra

import (
	"errors"
	"runtime"
	"testing"
)

// recorder stands for a test and notes how it ended.
type recorder struct {
	testing.TB
	end string
}

func (r *recorder) Helper()               {}
func (r *recorder) Fatalf(string, ...any) { r.end = "failed"; runtime.Goexit() }
func (r *recorder) Skipf(string, ...any)  { r.end = "skipped"; runtime.Goexit() }

func TestNeed_SkipsOrFails(t *testing.T) {
	finders["test: here"] = func() (string, error) { return "program", nil }
	finders["test: missing"] = func() (string, error) { return "", errors.New("not installed") }
	defer delete(finders, "test: here")
	defer delete(finders, "test: missing")
	tests := []struct{ require, need, want string }{
		{"", "test: here", "program"},
		{"test: here", "test: here", "program"},
		{"", "test: missing", "skipped"},
		{"test: here", "test: missing", "skipped"},
		{"test: here, test: missing", "test: missing", "failed"},
		{"", "no such extra", "failed"},
		{"no such extra", "test: here", "failed"},
	}
	for _, tt := range tests {
		t.Setenv(Variable, tt.require)
		r := &recorder{}
		done := make(chan struct{})
		go func() {
			defer close(done)
			r.end = Need(r, tt.need)
		}()
		<-done
		if r.end != tt.want {
			t.Errorf("%s=%q, need %q: got %q, want %q", Variable, tt.require, tt.need, r.end, tt.want)
		}
	}
}
