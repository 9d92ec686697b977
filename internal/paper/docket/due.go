package docket

import (
	"fmt"

	"hangtrue/internal/engine/calendar"
	"hangtrue/internal/engine/equipment"
	"hangtrue/internal/engine/spelling"
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/look"
	"hangtrue/internal/paper/draw/running"
)

// DueList draws what falls due from a day through another, overdue first, with
// room to write down what was done.
func DueList(school string, today, by calendar.Day, due []equipment.Falling, s Stamp) []*draw.Picture {
	title := fmt.Sprintf("Equipment inspections due through %s", by)
	d := begin(&running.Paper{
		Title: title, Desc: school, Stamp: []string{s.String()},
		Foot: []string{"Overdue counts from the day after the day it was due. Intervals are those that the school entered."},
	}, title, "")
	d.Write(title, look.Title)
	d.Write(spelling.Joined(", ", school, "as of "+string(today)), look.Body)
	d.Y += 2
	var rows [][]string
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
		rows = append(rows, []string{string(f.Due.Day), DaysLeft(f.Days), item, f.Due.What + "\n" + last, "\n\n"})
	}
	d.Table([]float64{24, 25, 50, 35, d.Area.W - 134}, []string{"due on", "", "item", "inspection", "done on, by"}, rows, look.Strong, look.Strong, look.Body)
	if len(due) == 0 {
		d.Write("Nothing that is entered falls due.", look.Body)
	}
	return d.Done()
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
