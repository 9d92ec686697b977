package store

import (
	"bufio"
	"context"
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"hangtrue/internal/engine/inspection"
	"hangtrue/internal/engine/people"
)

// saverArgument makes the test program save events until it is killed.
const saverArgument = "hangtrue-saver"

// saverAnswers is how long each inspection of the saver is.
const saverAnswers = 4

// saverEvents are the events that the saver of a run delivers, in order.
func saverEvents(run, i int) []inspection.Event {
	return walk(made("i", run*1000+i), made("d", run), saverAnswers)
}

// saver saves inspections, photos, documents and sealed records, and prints a
// line for each as soon as it was told that it is kept.
func saver(args []string) {
	ctx := context.Background()
	run, err := strconv.Atoi(args[1])
	if err == nil {
		err = save(ctx, args[0], run)
	}
	fmt.Fprintln(os.Stderr, err)
	os.Exit(1)
}

func save(ctx context.Context, path string, run int) error {
	s, err := Open(ctx, path, Options{})
	if err != nil {
		return err
	}
	d, err := s.Shelf(Rigs)
	if err != nil {
		return err
	}
	on := ""
	for i := 0; ; i++ {
		for _, e := range saverEvents(run, i) {
			out, err := s.AddEvents(ctx, []inspection.Event{e}, "inspector")
			if err != nil || out[0].Refused != nil {
				return fmt.Errorf("%v %w", out, err)
			}
			fmt.Println("event", e.Inspection, e.ID)
		}
		x, err := s.Inspection(ctx, made("i", run*1000+i))
		if err != nil {
			return err
		}
		a, err := s.SealInspection(ctx, x.ID, x.Seq, json.RawMessage(fmt.Sprintf(`{"of":%q}`, x.ID)), nil, "2026-05-31")
		if err != nil {
			return err
		}
		fmt.Println("record", a.Entry.N, x.ID)
		v, saved, err := d.Save(fmt.Sprint("rig ", run), on, fmt.Appendf(nil, "%d of %d", i, run))
		if err != nil || !saved {
			return fmt.Errorf("%v %w", saved, err)
		}
		on = v
		fmt.Println("version", run, v)
	}
}

// A server is killed at random points; every change that was acknowledged is
// there once, the log verifies, and what was delivered and not acknowledged can
// be delivered again. HANGTRUE_KILLS says how often.
func TestKill_WhatWasAcknowledgedIsThereOnce(t *testing.T) {
	kills := 10
	if testing.Short() {
		kills = 2
	}
	if text := os.Getenv("HANGTRUE_KILLS"); text != "" {
		n, err := strconv.Atoi(text)
		if err != nil {
			t.Fatalf("HANGTRUE_KILLS is %q", text)
		}
		kills = n
	}
	program, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "school.db")
	s := openFile(t, path)
	add(t, s, "rigger", "R", people.Rigger)
	add(t, s, "inspector", "I", people.Inspector)
	s.Close()
	seed := rand.Uint64()
	random := rand.New(rand.NewPCG(seed, 0))
	total := 0
	for run := range kills {
		acknowledged := killed(t, program, path, run, random)
		total += len(acknowledged)
		s := openFile(t, path)
		check(t, s, run, acknowledged)
		s.Close()
		if t.Failed() {
			t.Fatalf("run %d of seed %d", run, seed)
		}
	}
	s = openFile(t, path)
	if err := sound(t.Context(), s.db); err != nil {
		t.Error(err)
	}
	if total < kills {
		t.Errorf("only %d changes were acknowledged in %d runs", total, kills)
	}
	t.Logf("%d kills, %d acknowledged changes", kills, total)
}

// killed starts a saver, kills it at a random point after its first line, and
// returns the lines that it had printed by then.
func killed(t *testing.T, program, path string, run int, random *rand.Rand) (lines []string) {
	t.Helper()
	c := exec.Command(program, saverArgument, path, strconv.Itoa(run))
	var errors strings.Builder
	c.Stderr = &errors
	out, err := c.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := c.Start(); err != nil {
		t.Fatal(err)
	}
	after, beyond := 1+random.IntN(30), time.Duration(random.IntN(4000))*time.Microsecond
	in := bufio.NewScanner(out)
	for in.Scan() {
		lines = append(lines, in.Text())
		if len(lines) == after {
			// Somewhere in what the saver does next: the point of the test is
			// that any time will do.
			time.AfterFunc(beyond, func() { c.Process.Kill() })
		}
	}
	if err := c.Wait(); err == nil || len(lines) < after {
		t.Fatalf("run %d: the saver ended by itself after %d lines: %v %s", run, len(lines), err, errors.String())
	}
	return lines
}

// check looks for each acknowledged change of a run.
func check(t *testing.T, s *Store, run int, lines []string) {
	t.Helper()
	ctx := t.Context()
	head, err := s.VerifyLog(ctx)
	if err != nil {
		t.Error(err)
	}
	d, err := s.Shelf(Rigs)
	if err != nil {
		t.Fatal(err)
	}
	last := 0
	for _, line := range lines {
		f := strings.Fields(line)
		switch f[0] {
		case "event":
			var n int
			if err := s.db.QueryRow(`SELECT count(*) FROM inspection_event WHERE id = ? AND inspection = ?`, f[2], f[1]).Scan(&n); err != nil || n != 1 {
				t.Errorf("%s is there %d times, %v", line, n, err)
			}
		case "record":
			n, err := strconv.ParseInt(f[1], 10, 64)
			if err != nil {
				t.Fatal(err)
			}
			x, err := s.LogEntry(ctx, n)
			if err != nil || x.Subject != f[2] || n >= head.Size {
				t.Errorf("%s: %+v, %v", line, x, err)
			}
			last++
		case "version":
			if _, err := d.Version("rig "+f[1], f[2]); err != nil {
				t.Errorf("%s: %v", line, err)
			}
		default:
			t.Errorf("the saver printed %q", line)
		}
	}
	// The device sends again whatever it has no answer for, and all before it.
	for i := range last + 1 {
		events := saverEvents(run, i)
		x, err := s.Inspection(ctx, events[0].Inspection)
		if err == nil && x.Phase == inspection.Signed {
			deliver(t, s, "inspector", events...)
		} else {
			deliver(t, s, "inspector", events[:len(events)-1]...)
		}
		kept, err := s.Events(ctx, events[0].Inspection)
		if err != nil || len(kept) != len(events) && len(kept) != len(events)-1 {
			t.Errorf("inspection %d has %d events, %v", i, len(kept), err)
		}
	}
}
