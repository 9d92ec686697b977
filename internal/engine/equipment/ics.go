package equipment

import (
	"bytes"
	"fmt"
	"strings"
	"time"
	"unicode/utf8"
)

// Calendar writes what falls due as a calendar file (iCalendar, RFC 5545): one
// event for each inspection, on its last day. made is when; name is what the
// calendar is called. An inspection has the same UID in every file, so that a
// calendar that takes one in again moves the event instead of doubling it.
func Calendar(due []Falling, made time.Time, name string) []byte {
	var b bytes.Buffer
	line := func(property, value string) { fold(&b, property+":"+value) }
	line("BEGIN", "VCALENDAR")
	line("VERSION", "2.0")
	line("PRODID", "-//Hangtrue//Equipment//EN")
	line("CALSCALE", "GREGORIAN")
	line("METHOD", "PUBLISH")
	line("X-WR-CALNAME", escaped(name))
	for _, f := range due {
		day := strings.ReplaceAll(string(f.Due.Day), "-", "")
		next := strings.ReplaceAll(string(f.Due.Day.Plus(1)), "-", "")
		line("BEGIN", "VEVENT")
		line("UID", fmt.Sprintf("%s-%x@hangtrue.invalid", f.Item.ID, f.Due.What))
		line("DTSTAMP", made.UTC().Format("20060102T150405Z"))
		line("DTSTART;VALUE=DATE", day)
		line("DTEND;VALUE=DATE", next)
		line("SUMMARY", escaped(fmt.Sprintf("%s: %s", f.Item.Called(), f.Due.What)))
		line("DESCRIPTION", escaped(description(f)))
		line("TRANSP", "TRANSPARENT")
		line("END", "VEVENT")
	}
	line("END", "VCALENDAR")
	return b.Bytes()
}

func description(f Falling) string {
	text := "Last day on which the inspection before counts."
	if f.Due.Last != "" {
		text += " Last made on " + string(f.Due.Last) + "."
	} else {
		text += " Never recorded; counted from " + string(f.Item.InService) + "."
	}
	if f.Item.Name != "" {
		text += "\n" + f.Item.Name
	}
	return text
}

// escaped writes a text value (RFC 5545, 3.3.11).
func escaped(s string) string {
	return strings.NewReplacer(`\`, `\\`, ";", `\;`, ",", `\,`, "\r\n", `\n`, "\n", `\n`).Replace(s)
}

// mostOctets is how long a line may be without its line break (RFC 5545, 3.1).
const mostOctets = 75

// fold writes a content line, broken where it is long and never inside a letter.
func fold(b *bytes.Buffer, line string) {
	room := mostOctets
	for len(line) > room {
		cut := room
		for cut > 0 && !utf8.RuneStart(line[cut]) {
			cut--
		}
		b.WriteString(line[:cut] + "\r\n ")
		line = line[cut:]
		room = mostOctets - 1 // the space counts
	}
	b.WriteString(line + "\r\n")
}
