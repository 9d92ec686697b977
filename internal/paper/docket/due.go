package docket

import (
	"fmt"

	"hangtrue/internal/engine/calendar"
	"hangtrue/internal/engine/equipment"
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/look"
)

// DueList draws what falls due from a day through another, overdue first, with
// room to write down what was done.
func DueList(school string, today, by calendar.Day, due []equipment.Falling, s Stamp) []*draw.Picture {
	title := fmt.Sprintf("Equipment inspections due through %s", by)
	d := &document{title: title, desc: school, running: title, note: "Overdue counts from the day after the day it was due. Intervals are those that the school entered."}
	d.page()
	d.write(title, look.Title)
	d.write(joined(", ", school, "as of "+string(today)), look.Body)
	d.y += 2
	widths := []float64{24, 25, 50, 35, d.area.W - 134}
	head := look.Strong.WithSize(2.3)
	heads := func() {
		d.row(widths, []string{"due on", "", "item", "inspection", "done on, by"}, []draw.TextStyle{head, head, head, head, head})
	}
	heads()
	d.again = heads
	if len(due) == 0 {
		d.write("Nothing that is entered falls due.", look.Body)
	}
	for _, f := range due {
		item := f.Item.Called()
		if f.Item.Name != "" {
			item += "\n" + f.Item.Name
		}
		if f.Item.Standing != equipment.InUse {
			item += "\n" + string(f.Item.Standing)
		}
		last := "never recorded"
		if f.Due.Last != "" {
			last = "last " + string(f.Due.Last)
		}
		d.row(widths, []string{string(f.Due.Day), DaysLeft(f.Days), item, f.Due.What + "\n" + last, "\n\n"},
			[]draw.TextStyle{look.Strong, look.Strong, look.Body, look.Body, look.Body})
	}
	d.again = nil
	return d.finish(s.String())
}

// DaysLeft says how far a day is from today.
func DaysLeft(days int) string {
	switch {
	case days < -1:
		return fmt.Sprintf("OVERDUE %d days", -days)
	case days == -1:
		return "OVERDUE 1 day"
	case days == 0:
		return "today"
	case days == 1:
		return "tomorrow"
	}
	return fmt.Sprintf("in %d days", days)
}
