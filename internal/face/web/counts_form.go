package web

import (
	"fmt"
	"math"
	"net/http"
	"strconv"
	"strings"

	"hangtrue/internal/engine/quantity"
	"hangtrue/internal/engine/rig"
	"hangtrue/internal/face/app"
)

// countForm is the form of a search as it is typed.
type countForm struct {
	PitchLow, PitchHigh string
	RollLow, RollHigh   string
	Low, High           string
	Each                bool
	Wrong               string // what could not be read
}

// countFormOf is the form filled with what a wish says.
func countFormOf(w app.CountWish) countForm {
	f := countForm{Each: w.Each}
	if w.Pitch != nil {
		f.PitchLow, f.PitchHigh = typedAngle(w.Pitch[0]), typedAngle(w.Pitch[1])
	}
	if w.Roll != nil {
		f.RollLow, f.RollHigh = typedAngle(w.Roll[0]), typedAngle(w.Roll[1])
	}
	if w.Low > 0 {
		f.Low = strconv.Itoa(w.Low)
	}
	if w.High > 0 {
		f.High = strconv.Itoa(w.High)
	}
	return f
}

// typedAngle writes an angle as a person would have typed it, to a millionth of
// a degree.
func typedAngle(rad float64) string {
	return quantity.FormatNumber(math.Round(rad/quantity.Degree*1e6)/1e6) + " deg"
}

// readCountForm reads the form that the page sends. What is wrong with it is in
// its Wrong.
func readCountForm(r *http.Request) (countForm, app.CountWish) {
	f := countForm{Each: r.PostFormValue("each") == "yes"}
	var w app.CountWish
	var wrong []string
	for _, x := range []struct {
		key  string
		text *string
	}{
		{"pitch-low", &f.PitchLow},
		{"pitch-high", &f.PitchHigh},
		{"roll-low", &f.RollLow},
		{"roll-high", &f.RollHigh},
		{"low", &f.Low},
		{"high", &f.High},
	} {
		*x.text = strings.TrimSpace(r.PostFormValue(x.key))
	}
	band := func(what, low, high string) *[2]float64 {
		if low == "" && high == "" {
			return nil
		}
		var b [2]float64
		for i, text := range []string{low, high} {
			q, err := quantity.Parse(text, quantity.Angle)
			if err != nil {
				wrong = append(wrong, what+": "+said(err))
				return nil
			}
			b[i] = q.Value
		}
		if b[0] > b[1] {
			wrong = append(wrong, what+": the lower end comes first.")
		}
		return &b
	}
	count := func(what, text string) int {
		if text == "" {
			return 0
		}
		n, err := strconv.Atoi(text)
		if err != nil || n < 1 || n > 9999 {
			wrong = append(wrong, what+": a whole number from 1, the link in the grab hook.")
			return 0
		}
		return n
	}
	w.Each = f.Each
	w.Pitch, w.Roll = band("Pitch", f.PitchLow, f.PitchHigh), band("Roll", f.RollLow, f.RollHigh)
	w.Low, w.High = count("Lowest count", f.Low), count("Highest count", f.High)
	if w.High > 0 && w.Low > w.High {
		wrong = append(wrong, "The lowest count is above the highest.")
	}
	f.Wrong = strings.Join(wrong, " ")
	return f, w
}

// wishWords says what was searched for.
func wishWords(show quantity.System, w app.CountWish) string {
	band := func(what string, b *[2]float64) string {
		if b == nil {
			return what + " as it comes"
		}
		return fmt.Sprintf("%s from %s to %s", what, show.Angle(b[0]), show.Angle(b[1]))
	}
	text := band("pitch", w.Pitch) + ", " + band("roll", w.Roll)
	if w.Low > 0 {
		text += fmt.Sprintf(", counts from %d", w.Low)
	}
	if w.High > 0 {
		text += fmt.Sprintf(" up to %d", w.High)
	}
	if w.Each {
		text += ", each leg with a count of its own"
	}
	return text
}

// legCounts writes counts by leg as a form carries them: FL:3,FR:3.
func legCounts(counts map[string]int) string {
	var parts []string
	for _, id := range sortedKeys(counts) {
		parts = append(parts, fmt.Sprintf("%s:%d", id, counts[id]))
	}
	return strings.Join(parts, ",")
}

// readLegCounts reads what legCounts wrote; ok is false where it is something
// else, or names a leg without a chain.
func readLegCounts(r *rig.Rig, text string) (counts map[string]int, ok bool) {
	counts = map[string]int{}
	for part := range strings.SplitSeq(text, ",") {
		id, number, _ := strings.Cut(part, ":")
		n, err := strconv.Atoi(number)
		if l, have := r.Leg(id); err != nil || n < 1 || !have || l.Chain == nil {
			return nil, false
		}
		counts[id] = n
	}
	return counts, true
}

// countsInWords writes counts by leg for people.
func countsInWords(counts map[string]int) string {
	var parts []string
	for _, id := range sortedKeys(counts) {
		parts = append(parts, fmt.Sprintf("%s %d", id, counts[id]))
	}
	return strings.Join(parts, ", ")
}

// said is an error as the page says it: without the places in the program that
// it came through.
func said(err error) string {
	text := plain(err)
	for _, place := range []string{"counts: ", "spread: ", "quantity: ", "rig: "} {
		text = strings.TrimPrefix(text, place)
	}
	return text
}
