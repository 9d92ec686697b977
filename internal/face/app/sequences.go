package app

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io/fs"
	"slices"
	"strconv"
	"sync"
	"time"

	"hangtrue/internal/data/catalog"
	"hangtrue/internal/engine/document"
	"hangtrue/internal/engine/inspect"
	"hangtrue/internal/engine/inspect/sequencefile"
	"hangtrue/internal/engine/part"
	"hangtrue/internal/engine/part/catalogfile"
	"hangtrue/internal/engine/spelling"
)

// SchoolCatalog is the shipped catalogue with those of a shelf over it.
type SchoolCatalog struct {
	*part.Catalog
	Version string // of the school's files together; "" where there is none
	Names   []string
	// Problems are those of the school's files, each called by its name on the
	// shelf. A file with problems is left out as a whole.
	Problems []catalogfile.Problem
}

// SchoolCatalogOf loads the catalogues of a shelf, in the order of their names,
// over the shipped one. What is wrong with them is a problem and no error.
func SchoolCatalogOf(shelf Keeper) (*SchoolCatalog, error) {
	names, err := shelf.Names()
	if err != nil {
		return nil, err
	}
	c := &SchoolCatalog{}
	h := sha256.New()
	good := map[string][]byte{}
	for _, name := range names {
		data, err := shelf.Current(name)
		if err != nil {
			// One bad file must not hide the rigs.
			c.Problems = append(c.Problems, catalogfile.Problem{File: name, Problem: document.Problem{Line: 1, Text: "the file cannot be read"}})
		}
		fmt.Fprintf(h, "%s %x\n", name, sha256.Sum256(data))
		if err != nil {
			continue
		}
		if _, problems := catalogfile.Read(data); len(problems) > 0 {
			for _, p := range problems {
				c.Problems = append(c.Problems, catalogfile.Problem{File: name, Problem: p})
			}
			continue
		}
		good[name] = data
		c.Names = append(c.Names, name)
	}
	if len(names) > 0 {
		c.Version = hex.EncodeToString(h.Sum(nil))
	}
	if len(c.Names) == 0 {
		c.Catalog = shipped()
		return c, nil
	}
	// A file that names what no other has is left out too, and then all are held
	// against each other again.
	for {
		var files []catalogfile.File
		for _, name := range c.Names {
			files = append(files, catalogfile.File{Name: name, Data: bytes.NewReader(good[name])})
		}
		merged, problems := Catalog(files...)
		if merged != nil {
			c.Catalog = merged
			return c, nil
		}
		c.Problems = append(c.Problems, problems...)
		before := len(c.Names)
		c.Names = slices.DeleteFunc(c.Names, func(name string) bool {
			return slices.ContainsFunc(problems, func(p catalogfile.Problem) bool { return p.File == name })
		})
		if len(c.Names) == before {
			return nil, errors.New("app: the shipped catalogue has problems: " + problems[0].String())
		}
	}
}

// shipped is the shipped catalogue, which is read once: nobody changes it.
var shipped = sync.OnceValue(catalog.Shipped)

// Order is a school's own inspection sequence as it is kept for one rig, or a
// text on the way to one.
type Order struct {
	Data     []byte
	Version  string
	At       time.Time // when it was kept; zero for a text that is not
	Problems []document.Problem
	// Sequence is nil where the text has problems.
	Sequence *inspect.Sequence
}

// ReadOrder reads a text as an order.
func ReadOrder(data []byte) *Order {
	o := &Order{Data: data, Version: Version(data)}
	f, problems := sequencefile.Read(data)
	if o.Problems = problems; f != nil {
		o.Sequence = f.Sequence
	}
	return o
}

// OrderOf returns the order that a shelf has for a rig, nil where it has none.
func OrderOf(shelf Keeper, rig string) (*Order, error) {
	data, err := shelf.Current(rig)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	o := ReadOrder(data)
	kept, err := shelf.Versions(rig)
	if err != nil {
		return nil, err
	}
	for _, k := range kept {
		if k.Version == o.Version {
			o.At = k.At
		}
	}
	return o, nil
}

// OrderText writes a sequence as the text of an order.
func OrderText(q *inspect.Sequence) []byte { return sequencefile.Write(q) }

// MostCheckpoints is how many checkpoints a sequence may have.
const MostCheckpoints = 400

// Suggested is the sequence made from the rig, as a beginning of a school's own
// order.
func Suggested(v *inspect.Survey) *inspect.Sequence {
	q := inspect.Suggest(v)
	q.Made, q.Title = false, v.Rig.Title()
	return q
}

// FirstOrder is an order with a single checkpoint, which is where one begins
// that is written from nothing. It fails for a rig without parts.
func FirstOrder(v *inspect.Survey) (*inspect.Sequence, error) {
	return AddCheckpoint(v, &inspect.Sequence{Title: v.Rig.Title()}, "")
}

// checkpointAt returns where a checkpoint stands, -1 for one that there is not.
func checkpointAt(q *inspect.Sequence, id string) int {
	return slices.IndexFunc(q.Checkpoints, func(c inspect.Checkpoint) bool { return c.ID == id })
}

func noCheckpoint(id string) error {
	return fmt.Errorf("there is no checkpoint %q", id)
}

// withCheckpoints returns the sequence with other checkpoints.
func withCheckpoints(q *inspect.Sequence, list []inspect.Checkpoint) *inspect.Sequence {
	out := *q
	out.Checkpoints = list
	return &out
}

// MoveCheckpoint returns the sequence with a checkpoint at another place, from
// 0; beyond the ends is at the end. The sequence handed in is not changed.
func MoveCheckpoint(q *inspect.Sequence, id string, to int) (*inspect.Sequence, error) {
	from := checkpointAt(q, id)
	if from < 0 {
		return nil, noCheckpoint(id)
	}
	c := q.Checkpoints[from]
	list := slices.Delete(slices.Clone(q.Checkpoints), from, from+1)
	return withCheckpoints(q, slices.Insert(list, min(max(to, 0), len(list)), c)), nil
}

// StepCheckpoint returns the sequence with a checkpoint so many places further
// down, or up where by is negative.
func StepCheckpoint(q *inspect.Sequence, id string, by int) (*inspect.Sequence, error) {
	return MoveCheckpoint(q, id, checkpointAt(q, id)+by)
}

// DeleteCheckpoint returns the sequence without a checkpoint. A sequence keeps
// at least one.
func DeleteCheckpoint(q *inspect.Sequence, id string) (*inspect.Sequence, error) {
	i := checkpointAt(q, id)
	switch {
	case i < 0:
		return nil, noCheckpoint(id)
	case len(q.Checkpoints) == 1:
		return nil, errors.New("a sequence has at least one checkpoint; change this one instead")
	}
	return withCheckpoints(q, slices.Delete(slices.Clone(q.Checkpoints), i, i+1)), nil
}

// AddCheckpoint returns the sequence with a new checkpoint after another one,
// or at its end where after is "". It looks at the first part that has a
// deficiency which nobody asks about, or else at the rig's first part.
func AddCheckpoint(v *inspect.Survey, q *inspect.Sequence, after string) (*inspect.Sequence, error) {
	look := inspect.Look{}
	switch c := inspect.Cover(v, q); {
	case len(c.Uncovered) > 0:
		look.Part = c.Uncovered[0].Part.ID
	case len(v.Parts) > 0:
		look.Part = v.Parts[0].ID
	default:
		return nil, errors.New("the rig has no part to look at")
	}
	return AddLook(v, q, after, look)
}

// AddLook returns the sequence with a new checkpoint for one look after another
// checkpoint, or at its end where after is "".
func AddLook(v *inspect.Survey, q *inspect.Sequence, after string, look inspect.Look) (*inspect.Sequence, error) {
	at := len(q.Checkpoints)
	if after != "" {
		if at = checkpointAt(q, after) + 1; at == 0 {
			return nil, noCheckpoint(after)
		}
	}
	if len(q.Checkpoints) >= MostCheckpoints {
		return nil, fmt.Errorf("a sequence has at most %d checkpoints", MostCheckpoints)
	}
	c := inspect.Checkpoint{ID: freeID(q), Title: "New checkpoint", Stand: inspect.StandHere, Looks: []inspect.Look{look}}
	if p, ok := v.Part(look.Part); ok {
		c.Title = spelling.Capital(p.Name)
	}
	return withCheckpoints(q, slices.Insert(slices.Clone(q.Checkpoints), at, c)), nil
}

// freeID is a checkpoint's id that the sequence does not use.
func freeID(q *inspect.Sequence) string {
	for n := len(q.Checkpoints) + 1; ; n++ {
		id := "c" + strconv.Itoa(n)
		if n < 10 {
			id = "c0" + strconv.Itoa(n)
		}
		if checkpointAt(q, id) < 0 {
			return id
		}
	}
}

// PutCheckpoint returns the sequence with another checkpoint in the place of
// the one with its id.
func PutCheckpoint(q *inspect.Sequence, c inspect.Checkpoint) (*inspect.Sequence, error) {
	i := checkpointAt(q, c.ID)
	if i < 0 {
		return nil, noCheckpoint(c.ID)
	}
	list := slices.Clone(q.Checkpoints)
	list[i] = c
	return withCheckpoints(q, list), nil
}
