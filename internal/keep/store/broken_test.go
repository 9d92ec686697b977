package store

import (
	"bufio"
	"context"
	"database/sql/driver"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"os/exec"
	"path"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"testing/fstest"

	"modernc.org/sqlite"
)

// What the test program does instead of its tests, to be killed at it.
const (
	openerArgument  = "hangtrue-opener"
	breakerArgument = "hangtrue-breaker"
)

// opener opens a school, says so, and stays until it is killed.
func opener(args []string) {
	s, err := Open(context.Background(), args[0], Options{})
	if err != nil {
		fmt.Println(err)
		os.Exit(1)
	}
	defer s.Close()
	fmt.Println("open")
	io.Copy(io.Discard, os.Stdin)
}

// breaker opens a school and is killed by its own hand, without a chance to tidy
// up, after so many statements of a step of the schema.
func breaker(args []string) {
	step, err1 := strconv.Atoi(args[1])
	after, err2 := strconv.Atoi(args[2])
	err := errors.Join(err1, err2, sqlite.RegisterScalarFunction("hangtrue_power_cut", 0, func(*sqlite.FunctionContext, []driver.Value) (driver.Value, error) {
		self, err := os.FindProcess(os.Getpid())
		if err == nil {
			err = self.Kill()
		}
		return nil, err
	}))
	if err == nil {
		schemas, err = cutAfter("schema/sqlite", step, after, "SELECT hangtrue_power_cut()")
	}
	if err == nil {
		_, err = Open(context.Background(), args[0], Options{})
	}
	fmt.Fprintln(os.Stderr, "not killed:", err)
	os.Exit(1)
}

// cutAfter are the steps with a statement put in after so many others of one.
func cutAfter(folder string, step, after int, statement string) (fs.FS, error) {
	out := fstest.MapFS{}
	files, err := fs.ReadDir(embedded, folder)
	if err != nil {
		return nil, err
	}
	for i, f := range files {
		text, err := fs.ReadFile(embedded, path.Join(folder, f.Name()))
		if err != nil {
			return nil, err
		}
		if i+1 == step {
			parts := statements(string(text))
			text = []byte(strings.Join(slices.Insert(parts, after, "\n"+statement+";\n"), ""))
		}
		out[path.Join(folder, f.Name())] = &fstest.MapFile{Data: text}
	}
	return out, nil
}

// statements cuts a step into its statements, each with the comments before it.
func statements(text string) (out []string) {
	inside, began := false, 0
	for at := 0; at < len(text); {
		end := at + strings.IndexByte(text[at:]+"\n", '\n') + 1
		end = min(end, len(text))
		line := strings.TrimSpace(text[at:end])
		switch {
		case strings.HasSuffix(line, "+goose StatementBegin"):
			inside = true
		case strings.HasSuffix(line, "+goose StatementEnd"):
			inside = false
			out, began = append(out, text[began:end]), end
		case !inside && strings.HasSuffix(line, ";") && !strings.HasPrefix(line, "--"):
			out, began = append(out, text[began:end]), end
		}
		at = end
	}
	return out
}

// The power goes in the middle of each step of the schema: the process dies, and
// of what it had not synced any part may be missing. Whatever is left opens, comes
// up to date, and has every row that was there.
func TestOpen_PowerCutInEveryStep(t *testing.T) {
	program, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	donor := furnished(t)
	newest := newestSchema(t, donor)
	dir := t.TempDir()
	cuts := 0
	for step := int64(1); step <= newest; step++ {
		if testing.Short() && step != 1 && step != newest {
			continue
		}
		before := filepath.Join(dir, fmt.Sprint("before", step))
		var all []table
		if step > 1 {
			all = earlier(t, step-1)
			s := openFile(t, before)
			asOf(t, s, step-1, donor, all)
			s.Close()
		}
		files, err := fs.Glob(embedded, fmt.Sprintf("schema/sqlite/%05d_*.sql", step))
		if err != nil || len(files) != 1 {
			t.Fatal(files, err)
		}
		text, err := fs.ReadFile(embedded, files[0])
		if err != nil {
			t.Fatal(err)
		}
		n := len(statements(string(text)))
		if n == 0 {
			t.Fatalf("step %d has no statement", step)
		}
		for _, after := range slices.Compact([]int{1, n}) {
			killed := filepath.Join(dir, fmt.Sprintf("killed%d-%d", step, after))
			if step > 1 {
				copyOf(t, before, killed)
			}
			var said strings.Builder
			c := exec.Command(program, breakerArgument, killed, fmt.Sprint(step), fmt.Sprint(after))
			c.Stderr = &said
			if err := c.Run(); err == nil || said.Len() > 0 {
				t.Fatalf("step %d: %v %s", step, err, said.String())
			}
			wal, err := os.ReadFile(killed + "-wal")
			if err != nil && !errors.Is(err, fs.ErrNotExist) {
				t.Fatal(err)
			}
			// Not at the ends of pages either.
			for _, left := range slices.Compact([]int{0, len(wal)/2 + 1, len(wal)}) {
				if left > len(wal) {
					continue
				}
				cuts++
				path := fmt.Sprintf("%s-%d", killed, left)
				copyOf(t, killed, path)
				if err := os.WriteFile(path+"-wal", wal[:left], 0o600); err != nil {
					t.Fatal(err)
				}
				afterCut(t, path, fmt.Sprintf("step %d after %d of %d statements, %d of %d bytes of the journal left", step, after, n, left, len(wal)), donor, newest, all)
			}
		}
	}
	t.Logf("%d power cuts", cuts)
	if cuts < 4 {
		t.Error("too few cuts")
	}
}

// afterCut opens what a power cut left.
func afterCut(t *testing.T, path, what string, donor *Store, newest int64, all []table) {
	t.Helper()
	s, err := Open(t.Context(), path, Options{})
	if err != nil {
		t.Fatalf("%s: %v", what, err)
	}
	defer s.Close()
	if v, err := s.Schema(t.Context()); err != nil || v != newest {
		t.Errorf("%s: schema %d, %v", what, v, err)
	}
	if err := sound(t.Context(), s.db); err != nil {
		t.Errorf("%s: %v", what, err)
	}
	kept := slices.DeleteFunc(slices.Clone(all), func(x table) bool { return x.name == "clock_seen" }) // moves on
	same(t, rowsOf(t, s, kept), rowsOf(t, donor, kept), kept)
	if t.Failed() {
		t.Fatal(what)
	}
}

func copyOf(t *testing.T, from, to string) {
	t.Helper()
	data, err := os.ReadFile(from)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(to, data, 0o600); err != nil {
		t.Fatal(err)
	}
}

// PostgreSQL loses the line in the middle of a step: all of the step is undone,
// and the next start does it anew.
func TestOpen_LostLineInAStepOnPostgres(t *testing.T) {
	at := postgresSchema(t)
	donor := furnished(t)
	newest := newestSchema(t, donor)
	all := earlier(t, newest-1)
	s, err := Open(t.Context(), at, Options{})
	if err != nil {
		t.Fatal(err)
	}
	asOf(t, s, newest-1, donor, all)
	s.Close()
	defer func() { schemas = embedded }()
	if schemas, err = cutAfter("schema/postgres", int(newest), 1, "SELECT pg_terminate_backend(pg_backend_pid())"); err != nil {
		t.Fatal(err)
	}
	s, err = Open(t.Context(), at, Options{})
	if err == nil {
		s.Close()
	}
	inTrouble(t, err, "away", "the database server does not answer")
	schemas = embedded
	if s, err = Open(t.Context(), at, Options{}); err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	if v, err := s.Schema(t.Context()); err != nil || v != newest {
		t.Errorf("schema %d, %v", v, err)
	}
	kept := slices.DeleteFunc(all, func(x table) bool { return x.name == "clock_seen" }) // moves on
	same(t, rowsOf(t, s, kept), rowsOf(t, donor, kept), kept)
}

// A second server is told which process has the school; when that is killed
// without a chance to tidy up, the next one starts.
func TestOpen_TheFirstServerIsNamedAndKilled(t *testing.T) {
	program, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	for name, where := range map[string]func(*testing.T) string{
		"SQLite":     func(t *testing.T) string { return filepath.Join(t.TempDir(), "school.db") },
		"PostgreSQL": postgresSchema,
	} {
		t.Run(name, func(t *testing.T) {
			at := where(t)
			c := exec.Command(program, openerArgument, at)
			out, err := c.StdoutPipe()
			if err != nil {
				t.Fatal(err)
			}
			if _, err := c.StdinPipe(); err != nil { // it ends with us
				t.Fatal(err)
			}
			if err := c.Start(); err != nil {
				t.Fatal(err)
			}
			defer c.Process.Kill()
			if line, err := bufio.NewReader(out).ReadString('\n'); line != "open\n" {
				t.Fatalf("%q, %v", line, err)
			}
			s, err := Open(t.Context(), at, Options{})
			if err == nil {
				s.Close()
			}
			if !errors.Is(err, ErrOpenElsewhere) || !strings.Contains(err.Error(), fmt.Sprintf("process %d", c.Process.Pid)) || !strings.Contains(err.Error(), "stop it, or use its pages") {
				t.Errorf("got %v", err)
			}
			if err := c.Process.Kill(); err != nil {
				t.Fatal(err)
			}
			c.Wait()
			// PostgreSQL learns of it a moment later.
			for range 2000 {
				if s, err = Open(t.Context(), at, Options{}); !errors.Is(err, ErrOpenElsewhere) {
					break
				}
			}
			if err != nil {
				t.Fatal(err)
			}
			s.Close()
		})
	}
}
