package main

import (
	"bufio"
	"context"
	"database/sql"
	"fmt"
	"io"
	"net/http"
	"net/http/cookiejar"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"runtime"
	"strings"
	"sync"
	"testing"
	"time"

	"hangtrue/internal/face/app"
	"hangtrue/internal/keep/store"
)

// The program itself in trouble: full disks, disks that can only be read, damaged
// files, a second server, a killed one. What lies beneath is tested in package
// store.

// itself is this test's program under the name by which it is Hangtrue, in a
// folder that everybody may look into.
func itself(t *testing.T) string {
	t.Helper()
	name := "hangtrue"
	if runtime.GOOS == "windows" {
		name += ".exe"
	}
	dir, err := os.MkdirTemp("", "hangtrue-itself-")
	must(t, err)
	t.Cleanup(func() { os.RemoveAll(dir) })
	must(t, os.Chmod(dir, 0o755))
	own, err := os.Executable()
	must(t, err)
	in, err := os.Open(own)
	must(t, err)
	defer in.Close()
	path := filepath.Join(dir, name)
	out, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE, 0o755)
	must(t, err)
	_, err = io.Copy(out, in)
	must(t, err)
	must(t, out.Close())
	return path
}

// ownServer is a school's server that runs on its own.
type ownServer struct {
	t       *testing.T
	c       *exec.Cmd
	address string
	client  *http.Client
	mu      sync.Mutex
	log     strings.Builder
}

// startServer serves a school, or a folder with its name alone, until the test
// ends or kill is called.
func startServer(t *testing.T, program string, what ...string) *ownServer {
	t.Helper()
	jar, err := cookiejar.New(nil)
	must(t, err)
	s := &ownServer{t: t, c: exec.Command(program, append([]string{"serve", "--addr", "127.0.0.1:0", "--no-open"}, what...)...), client: &http.Client{Jar: jar}}
	out, err := s.c.StdoutPipe()
	must(t, err)
	s.c.Stderr = s
	must(t, s.c.Start())
	t.Cleanup(s.kill)
	lines := bufio.NewReader(out)
	line, err := lines.ReadString('\n')
	if err != nil {
		s.c.Wait()
		t.Fatalf("it does not serve: %q %v %s", line, err, s.said())
	}
	s.address = strings.TrimSuffix(strings.Fields(line)[3], "/")
	return s
}

// Write takes the server's log.
func (s *ownServer) Write(p []byte) (int, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.log.Write(p)
}

func (s *ownServer) said() string {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.log.String()
}

func (s *ownServer) kill() {
	s.c.Process.Kill()
	s.c.Wait()
}

func (s *ownServer) get(path string) (int, string) {
	s.t.Helper()
	w, err := s.client.Get(s.address + path)
	must(s.t, err)
	defer w.Body.Close()
	body, err := io.ReadAll(w.Body)
	must(s.t, err)
	return w.StatusCode, string(body)
}

func (s *ownServer) post(path string, form url.Values) (int, string) {
	s.t.Helper()
	w, err := s.client.PostForm(s.address+path, form)
	must(s.t, err)
	defer w.Body.Close()
	body, err := io.ReadAll(w.Body)
	must(s.t, err)
	return w.StatusCode, string(body)
}

// signIn lets the chief in.
func (s *ownServer) signIn() {
	s.t.Helper()
	if status, body := s.post("/signin", url.Values{"login": {"ada"}, "passphrase": {phrase}}); status != http.StatusOK || !strings.Contains(body, "Sign out") {
		s.t.Fatalf("not signed in: %d %.500s", status, body)
	}
}

// runProgram runs the program to its end.
func runProgram(program string, args ...string) (status int, said string) {
	// A server that should have been refused must not keep the tests.
	ctx, cancel := context.WithTimeout(context.Background(), 2*time.Minute)
	defer cancel()
	out, err := exec.CommandContext(ctx, program, args...).CombinedOutput()
	if err == nil {
		return 0, string(out)
	}
	if x, ok := err.(*exec.ExitError); ok {
		return x.ExitCode(), string(out)
	}
	return -1, err.Error()
}

// withChief makes a school's file in which ada is chief instructor.
func withChief(t *testing.T, path string) {
	t.Helper()
	ctx := context.WithoutCancel(t.Context())
	db, err := store.Open(ctx, path, store.Options{})
	must(t, err)
	defer db.Close()
	rigs, err := db.Shelf(store.Rigs)
	must(t, err)
	s := app.NewSchool(db, rigs, app.ShelvesOf(func(kind string) (app.Keeper, error) { return db.Shelf(kind) }), time.Now)
	link, err := s.FirstStart(ctx)
	must(t, err)
	_, err = s.Accept(ctx, link, "ada", phrase)
	must(t, err)
}

func (s *ownServer) add(name string) (status int, body string) {
	s.t.Helper()
	return s.post("/people", url.Values{"name": {name}, "contact": {strings.Repeat("c", 100)}, "role": {"student"}})
}

// The disk runs full while the server runs. Each person that was said to be there
// is there, who was refused is not, the page says so in plain words, people can
// still look, and all goes on when there is room.
func TestFaults_DiskFull(t *testing.T) {
	disk := smallDisk(t)
	program := itself(t)
	path := filepath.Join(disk, "school.db")
	withChief(t, path)
	s := startServer(t, program, "--school", path)
	s.signIn()
	ballast := fillUp(t, disk, 400<<10)
	kept, status, body := 0, 0, ""
	for ; kept < 5000; kept++ {
		if status, body = s.add(fmt.Sprintf("Person %d.", kept)); status >= 400 {
			break
		}
	}
	if status != http.StatusInsufficientStorage && status != http.StatusServiceUnavailable || !strings.Contains(body, "What you just sent is NOT kept.") || !strings.Contains(body, "full") {
		t.Errorf("after %d: %d %.900s", kept, status, body)
	}
	look := func(n int) {
		t.Helper()
		status, body := s.get("/people")
		if status != http.StatusOK {
			t.Fatalf("nobody can look: %d %.900s", status, body)
		}
		for i := range n + 1 {
			if there := strings.Contains(body, fmt.Sprintf("Person %d.", i)); there != (i < n) {
				t.Errorf("of %d kept, person %d is there: %v", n, i, there)
			}
		}
	}
	look(kept)
	if status, body := s.get("/today"); status != http.StatusOK {
		t.Errorf("today: %d %.500s", status, body)
	}
	must(t, os.Remove(ballast))
	if status, body := s.add(fmt.Sprintf("Person %d.", kept)); status != http.StatusOK {
		t.Fatalf("it does not go on: %d %.500s", status, body)
	}
	look(kept + 1)
	s.kill()
	s = startServer(t, program, "--school", path)
	s.signIn()
	look(kept + 1)
	if !t.Failed() {
		t.Logf("%d people were kept before the disk was full", kept)
	}

	// A backup does not fit there; half of one is not left.
	ballast = fillUp(t, disk, 16<<10)
	defer os.Remove(ballast)
	status, said := runProgram(program, "school", "backup", path, filepath.Join(disk, "copy.db"))
	if status != 2 || !strings.Contains(said, "full") || strings.Contains(said, "sound") {
		t.Errorf("%d %s", status, said)
	}
	left, err := filepath.Glob(filepath.Join(disk, "copy*"))
	if err != nil || len(left) > 0 {
		t.Errorf("%v, %v", left, err)
	}
	// To another disk it can be made, and says what it could not note.
	elsewhere := filepath.Join(t.TempDir(), "copy.db")
	if status, said := runProgram(program, "school", "backup", path, elsewhere); status != 0 {
		t.Errorf("%d %s", status, said)
	}
	if status, said := runProgram(program, "school", "check", elsewhere); status != 0 || !strings.Contains(said, "sound") {
		t.Errorf("%d %s", status, said)
	}
}

var baseField = regexp.MustCompile(`name="base" value="([0-9a-f]{64})"`)

// A folder of one's own rigs on a full disk: the rig is as it was, and the page
// says that the change is not kept.
func TestFaults_DiskFullUnderAFolder(t *testing.T) {
	disk := smallDisk(t)
	program := itself(t)
	path := filepath.Join(disk, "frame.yaml")
	must(t, os.WriteFile(path, []byte(schoolRig), 0o600))
	s := startServer(t, program, disk)
	status, page := s.get("/rig/frame")
	base := baseField.FindStringSubmatch(page)
	if status != http.StatusOK || base == nil {
		t.Fatalf("%d %.500s", status, page)
	}
	form := url.Values{"base": {base[1]}, "do": {"save"}, "text": {schoolRig + strings.Repeat("# longer\n", 5000)}}
	ballast := fillUp(t, disk, 0)
	status, page = s.post("/rig/frame", form)
	if status != http.StatusInsufficientStorage || !strings.Contains(page, "The disk of this machine is full. What you just sent is NOT kept.") {
		t.Errorf("%d %.900s", status, page)
	}
	if data, err := os.ReadFile(path); err != nil || string(data) != schoolRig {
		t.Errorf("the rig has %d bytes, %v", len(data), err)
	}
	if status, _ := s.get("/rig/frame"); status != http.StatusOK {
		t.Errorf("nobody can look: %d", status)
	}
	must(t, os.Remove(ballast))
	if status, page = s.post("/rig/frame", form); status != http.StatusOK {
		t.Errorf("it does not go on: %d %.900s", status, page)
	}
	if data, err := os.ReadFile(path); err != nil || string(data) != form.Get("text") {
		t.Errorf("the rig has %d bytes, %v", len(data), err)
	}
}

// On a disk that can only be read the server does not start, and says why; the
// school's file can still be copied from there.
func TestFaults_ReadOnly(t *testing.T) {
	program := itself(t)
	dir, err := os.MkdirTemp("", "hangtrue-readonly-")
	must(t, err)
	t.Cleanup(func() { os.RemoveAll(dir) })
	path := filepath.Join(dir, "school.db")
	withChief(t, path)
	must(t, os.Chmod(path, 0o644))
	must(t, os.Chmod(dir, 0o755))
	out, err := asStranger(t, program, "serve", "--school", path, "--no-open")
	if err == nil || !strings.Contains(out, "can only be read: nothing of this was kept; let this program write there") {
		t.Errorf("%v %s", err, out)
	}
	copied := filepath.Join(openFolder(t), "copy.db")
	out, err = asStranger(t, program, "school", "backup", path, copied)
	if err != nil || !strings.Contains(out, "backed up to") || !strings.Contains(out, "COULD NOT NOTE") {
		t.Errorf("%v %s", err, out)
	}
	if out, err = asStranger(t, program, "school", "check", copied); err != nil || !strings.Contains(out, "sound") {
		t.Errorf("%v %s", err, out)
	}
}

// openFolder is a folder in which everybody may write.
func openFolder(t *testing.T) string {
	t.Helper()
	dir, err := os.MkdirTemp("", "hangtrue-open-")
	must(t, err)
	t.Cleanup(func() { os.RemoveAll(dir) })
	must(t, os.Chmod(dir, 0o777))
	return dir
}

// A damaged file is not served, and each command says what to do.
func TestFaults_DamagedFile(t *testing.T) {
	program := itself(t)
	dir := t.TempDir()
	path := filepath.Join(dir, "school.db")
	withChief(t, path)
	good := filepath.Join(dir, "good.db")
	if status, said := runProgram(program, "school", "backup", path, good); status != 0 {
		t.Fatal(said)
	}
	data, err := os.ReadFile(path)
	must(t, err)
	const page = 4096
	hurt := data[(rootOf(t, path, "person")-1)*page:][:page]
	for i := range hurt {
		hurt[i] ^= 0xa5
	}
	must(t, os.WriteFile(path, data, 0o600))
	const words = "the file is damaged: stop the server, keep a copy of the file, and restore the last backup"
	for _, args := range [][]string{
		{"serve", "--school", path, "--no-open"},
		{"school", "check", path},
		{"school", "backup", path, filepath.Join(dir, "copy.db")},
	} {
		if status, said := runProgram(program, args...); status != 2 || !strings.Contains(said, words) {
			t.Errorf("%v: %d %s", args[:2], status, said)
		}
	}
	// The same file as a backup is a backup that is not whole.
	if status, said := runProgram(program, "school", "restore", path, filepath.Join(dir, "new.db")); status != 2 || !strings.Contains(said, "the backup is not whole") || strings.Contains(said, "stop the server") {
		t.Errorf("%d %s", status, said)
	}
	// As the message says.
	if status, said := runProgram(program, "school", "restore", good, filepath.Join(dir, "restored.db")); status != 0 {
		t.Errorf("%d %s", status, said)
	}
	s := startServer(t, program, "--school", filepath.Join(dir, "restored.db"))
	s.signIn()
}

// rootOf is the number of the page on which a table begins, counted from 1.
func rootOf(t *testing.T, path, table string) (page int) {
	t.Helper()
	db, err := sql.Open("sqlite", path) // the driver that the store has brought
	must(t, err)
	defer db.Close()
	must(t, db.QueryRow(`SELECT rootpage FROM sqlite_schema WHERE name = ?`, table).Scan(&page))
	return page
}

// A second server on the file is refused and told of the first; backup and check
// go on meanwhile. A first one that was killed is in nobody's way.
func TestFaults_SecondServer(t *testing.T) {
	program := itself(t)
	dir := t.TempDir()
	path := filepath.Join(dir, "school.db")
	withChief(t, path)
	s := startServer(t, program, "--school", path)
	s.signIn()
	if status, body := s.add("Before"); status != http.StatusOK {
		t.Fatal(body)
	}
	status, said := runProgram(program, "serve", "--school", path, "--no-open")
	if status != 2 || !strings.Contains(said, fmt.Sprintf("another Hangtrue server has this school open (process %d): stop it, or use its pages", s.c.Process.Pid)) {
		t.Errorf("%d %s", status, said)
	}
	if status, said := runProgram(program, "school", "check", path); status != 0 || !strings.Contains(said, "people 2") || !strings.Contains(said, "in use") {
		t.Errorf("%d %s", status, said)
	}
	copied := filepath.Join(dir, "copy.db")
	if status, said := runProgram(program, "school", "backup", path, copied); status != 0 || !strings.Contains(said, "people 2") || strings.Contains(said, "COULD NOT") {
		t.Errorf("%d %s", status, said)
	}
	if _, body := s.get("/today"); !strings.Contains(body, "Last backup:") {
		t.Error("the page does not know of the backup")
	}
	s.kill()
	s = startServer(t, program, "--school", path)
	s.signIn()
	if _, body := s.get("/people"); !strings.Contains(body, "Before") {
		t.Error("what was acknowledged is gone")
	}
}
