package draw

import (
	"errors"
	"fmt"
	"math"
)

// Item is a [Path], a [Text] or a [*Group].
type Item interface{ item() }

// List is a list of items with the methods that add to it. Later items lie on top.
type List struct{ Items []Item }

// Add appends items as they are.
func (l *List) Add(items ...Item) { l.Items = append(l.Items, items...) }

// Group is a list with a place of its own. ID, where given, lets a page map a
// click to what was drawn; Title is what a reader or a screen reader is told
// about it.
type Group struct {
	ID, Title string
	Transform Transform
	Clip      *Rect // in the group's own frame; nil does not clip
	List
}

func (*Group) item() {}

// Group appends an empty group and returns it to be filled.
func (l *List) Group(id, title string) *Group {
	g := &Group{ID: id, Title: title}
	l.Add(g)
	return g
}

// GroupAt appends an empty group placed by t and returns it to be filled.
func (l *List) GroupAt(t Transform) *Group {
	g := &Group{Transform: t}
	l.Add(g)
	return g
}

// Embed puts another picture with its top left corner at a place, scaled (lines
// and text with it) and clipped to its own size.
func (l *List) Embed(p *Picture, at Point, scale float64) *Group {
	g := &Group{
		Title:     p.Title,
		Transform: Transform{Move: at, Scale: scale},
		Clip:      &Rect{W: p.Width, H: p.Height},
		List:      List{Items: p.Items},
	}
	l.Add(g)
	return g
}

// Picture is a drawing of a given size in mm. Title and Desc say in words what
// it shows, for those who cannot see it; a back-end that can carry them does.
type Picture struct {
	Width, Height float64
	Title, Desc   string
	List
}

// New is an empty picture of a size in mm.
func New(width, height float64, title, desc string) *Picture {
	return &Picture{Width: width, Height: height, Title: title, Desc: desc}
}

// Frame is the whole area of the picture.
func (p *Picture) Frame() Rect { return Rect{W: p.Width, H: p.Height} }

// largest coordinate taken, in mm. A kilometre of paper is a mistake; beyond it
// the fixed number format of the back-ends would lose its meaning.
const largest = 1e6

// Check returns an error where the picture cannot be drawn: a size that is not
// positive, a number that is not finite or beyond a kilometre, a group scaled
// by nothing or less, a dash pattern without length, a role that is not a class
// name. It names the first such item by its place in the list.
func (p *Picture) Check() error {
	if !(p.Width > 0 && p.Height > 0 && p.Width <= largest && p.Height <= largest) {
		return fmt.Errorf("draw: picture size %g × %g mm: both must be positive and at most %g", p.Width, p.Height, float64(largest))
	}
	return checkList(p.Items, 0)
}

// deepest nesting of groups taken; a group that holds itself ends here.
const deepest = 100

func checkList(items []Item, depth int) error {
	if depth > deepest {
		return fmt.Errorf("draw: groups nested more than %d deep", deepest)
	}
	for i, it := range items {
		var err error
		switch it := it.(type) {
		case Path:
			err = checkPath(it)
		case Text:
			err = checkText(it)
		case *Group:
			err = checkGroup(it, depth)
		default:
			err = fmt.Errorf("%T is not a Path, a Text or a *Group", it)
		}
		if err != nil {
			return fmt.Errorf("draw: item %d: %w", i, err)
		}
	}
	return nil
}

var errNumber = errors.New("number is not finite or beyond a kilometre")

func fine(vs ...float64) bool {
	for _, v := range vs {
		if math.IsNaN(v) || math.Abs(v) > largest {
			return false
		}
	}
	return true
}

func checkPath(p Path) error {
	for i, s := range p.Segs {
		for _, q := range s.P {
			if !fine(q.X, q.Y) {
				return errNumber
			}
		}
		if i == 0 && s.Op != OpMove {
			return errors.New("path does not begin with a move")
		}
	}
	if err := checkPaint(p.Fill); err != nil {
		return err
	}
	if err := checkPaint(p.Stroke.Paint); err != nil {
		return err
	}
	if !fine(p.Stroke.Width) || p.Stroke.Width < 0 {
		return fmt.Errorf("line width %g mm is not from 0 to a kilometre", p.Stroke.Width)
	}
	sum := 0.0
	for _, d := range p.Stroke.Dash {
		if !fine(d) || d < 0 {
			return fmt.Errorf("dash length %g mm is not from 0 to a kilometre", d)
		}
		sum += d
	}
	if len(p.Stroke.Dash) > 0 && sum < 1e-3 {
		return errors.New("dash pattern has no length")
	}
	return nil
}

func checkText(t Text) error {
	if !fine(t.At.X, t.At.Y, t.Rotate, t.Size, t.HaloWidth) {
		return errNumber
	}
	if t.Size < 0 || t.HaloWidth < 0 {
		return fmt.Errorf("text size %g mm, halo %g mm: neither may be negative", t.Size, t.HaloWidth)
	}
	if err := checkPaint(t.Halo); err != nil {
		return err
	}
	return checkPaint(t.Paint)
}

func checkGroup(g *Group, depth int) error {
	if g == nil {
		return errors.New("group is nil")
	}
	t := g.Transform
	if !fine(t.Move.X, t.Move.Y, t.Scale, t.Rotate) {
		return errNumber
	}
	if t.Factor() <= 0 {
		return fmt.Errorf("group scale %g is not positive", t.Scale)
	}
	if g.Clip != nil && !(fine(g.Clip.X, g.Clip.Y, g.Clip.W, g.Clip.H) && g.Clip.W >= 0 && g.Clip.H >= 0) {
		return errNumber
	}
	return checkList(g.Items, depth+1)
}

func checkPaint(p Paint) error {
	for _, r := range p.Role {
		if (r < 'a' || r > 'z') && (r < 'A' || r > 'Z') && (r < '0' || r > '9') && r != '-' {
			return fmt.Errorf("role %q is not made of letters, digits and hyphens", p.Role)
		}
	}
	return nil
}

// Bounds is the upright box around all items, without line widths; clipped
// groups count only inside their clip.
func (l *List) Bounds() Rect { return boundsOf(l.Items, Transform{}) }

func boundsOf(items []Item, t Transform) Rect {
	var r Rect
	first := true
	add := func(q Rect) {
		if first {
			r, first = q, false
			return
		}
		r = r.Union(q)
	}
	for _, it := range items {
		switch it := it.(type) {
		case Path:
			if len(it.Segs) > 0 {
				add(it.Apply(t).Bounds())
			}
		case Text:
			add(it.Apply(t).Bounds())
		case *Group:
			inner := it.Transform.Then(t)
			if it.Clip != nil {
				var pts []Point
				for _, c := range it.Clip.Corners() {
					pts = append(pts, inner.Apply(c))
				}
				add(Around(pts...))
			} else if len(it.Items) > 0 {
				add(boundsOf(it.Items, inner))
			}
		}
	}
	return r
}
