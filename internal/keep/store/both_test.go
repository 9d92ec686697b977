package store

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"hangtrue/internal/policy/extra"
)

// both runs a test on SQLite and on PostgreSQL. open opens the same database
// each time it is called.
func both(t *testing.T, test func(t *testing.T, open func(...Options) *Store)) {
	t.Helper()
	run := func(name string, where func(*testing.T) string) {
		t.Run(name, func(t *testing.T) {
			at := where(t)
			test(t, func(o ...Options) *Store {
				t.Helper()
				s, err := Open(t.Context(), at, append(o, Options{})[0])
				if err != nil {
					t.Fatal(err)
				}
				t.Cleanup(func() { s.Close() })
				return s
			})
		})
	}
	run("SQLite", func(t *testing.T) string { return filepath.Join(t.TempDir(), "school ?%.db") })
	run("PostgreSQL", postgresSchema)
}

// server is the PostgreSQL server that the tests of this package share.
var server struct {
	once   sync.Once
	err    error
	folder string
	ctl    []string // how pg_ctl is called
	stop   func()
}

var schemaNumber atomic.Int64

// postgresSchema gives the address of a schema of its own.
func postgresSchema(t *testing.T) string {
	t.Helper()
	ctl := extra.Need(t, "postgres")
	server.once.Do(func() { server.err = startPostgres(ctl) })
	if server.err != nil {
		t.Fatal(server.err)
	}
	return fmt.Sprintf("postgres://school@/postgres?host=%s&search_path=school%d", server.folder, schemaNumber.Add(1))
}

// startPostgres starts a server of its own in a fresh folder, reached through a
// socket there. PostgreSQL refuses to run as root; then it runs as nobody.
func startPostgres(ctl string) error {
	folder, err := os.MkdirTemp("", "hangtrue-postgres-")
	if err != nil {
		return err
	}
	server.folder = folder
	var as []string
	if os.Geteuid() == 0 {
		as = []string{"setpriv", "--reuid=nobody", "--regid=nogroup", "--clear-groups", "--"}
		if out, err := exec.Command("chown", "nobody:nogroup", folder).CombinedOutput(); err != nil {
			return fmt.Errorf("chown: %w: %s", err, out)
		}
	}
	bin := filepath.Dir(ctl)
	data := filepath.Join(folder, "data")
	run := func(args ...string) error {
		args = append(as[:len(as):len(as)], args...)
		c := exec.Command(args[0], args[1:]...)
		c.Dir = folder
		var out bytes.Buffer
		log, err := os.Create(filepath.Join(folder, strconv.Itoa(rand.Int())))
		if err != nil {
			return err
		}
		defer log.Close()
		// A file, as the server keeps what it was started with open.
		c.Stdout, c.Stderr = log, log
		if err := c.Run(); err != nil {
			text, _ := os.ReadFile(log.Name())
			out.Write(text)
			return fmt.Errorf("%v: %w: %s", args, err, out.Bytes())
		}
		return nil
	}
	if err := run(filepath.Join(bin, "initdb"), "-D", data, "-U", "school", "-A", "trust", "-E", "UTF8", "--locale=C.UTF-8", "--no-sync"); err != nil {
		return err
	}
	server.stop = func() {
		run(ctl, "-D", data, "-m", "immediate", "stop")
		os.RemoveAll(folder)
	}
	return run(ctl, "-D", data, "-w", "-t", "60", "-l", filepath.Join(folder, "log"),
		"-o", "-c listen_addresses='' -c unix_socket_directories="+folder+" -c fsync=off -c max_connections=200", "start")
}

func TestMain(m *testing.M) {
	if len(os.Args) > 1 {
		if as := map[string]func([]string){saverArgument: saver, openerArgument: opener, breakerArgument: breaker}[os.Args[1]]; as != nil {
			as(os.Args[2:])
			return
		}
	}
	code := m.Run()
	if server.stop != nil {
		server.stop()
	}
	os.Exit(code)
}

// ticking is a clock that a test moves.
type ticking struct{ at atomic.Int64 }

func clockAt(t time.Time) *ticking {
	c := &ticking{}
	c.at.Store(t.UnixMilli())
	return c
}

func (c *ticking) now() time.Time        { return time.UnixMilli(c.at.Load()) }
func (c *ticking) move(by time.Duration) { c.at.Add(by.Milliseconds()) }
