package cli

import (
	"errors"
	"fmt"
	"os"
	"strings"

	"hangtrue/internal/engine/record"
	"hangtrue/internal/face/app"
)

type recordsCommand struct {
	Verify verifyCommand `cmd:"" help:"Check a copy of a school's sealed records."`
}

// Help is the command's long help.
func (recordsCommand) Help() string {
	return `Example:

  hangtrue records verify records.log --key records.key --head head-march.txt

Exit status: 0 the records are as they were sealed; 1 they are not; 2 bad input.`
}

type verifyCommand struct {
	File string   `arg:"" help:"A copy of the records, as a school's server or 'hangtrue school log' writes it."`
	Key  string   `required:"" placeholder:"FILE" help:"The school's public key for its records."`
	Head []string `placeholder:"FILE" help:"A signed head that was kept elsewhere; can be given several times."`
	Mark []string `placeholder:"TEXT" help:"What the code on a printed record says; can be given several times."`
}

// Help is the command's long help.
func (verifyCommand) Help() string {
	return `Examples:

  hangtrue records verify records.log --key records.key
  hangtrue records verify records.log --key records.key --head head-march.txt

Every entry is hashed anew and the hashes are held against the signed head in the copy, and against the heads that were kept elsewhere. The first entry that was altered, removed or put elsewhere is named. A head kept elsewhere is what makes this worth something: whoever has the school's database and its key could otherwise seal everything anew.

Exit status: 0 the records are as they were sealed; 1 they are not; 2 bad input.`
}

// mostLog bounds a copy that is read, in bytes.
const mostLog = 1 << 30

// Run checks a copy.
func (c *verifyCommand) Run(p *Program) error {
	data, err := readRecords(c.File, mostLog)
	if err != nil {
		return err
	}
	key, err := readRecords(c.Key, 1<<16)
	if err != nil {
		return err
	}
	var heads [][]byte
	for _, name := range c.Head {
		head, err := readRecords(name, 1<<16)
		if err != nil {
			return err
		}
		heads = append(heads, head)
	}
	head, err := app.VerifyRecords(data, strings.TrimSpace(string(key)), heads...)
	var fault *record.Fault
	if errors.As(err, &fault) {
		fmt.Fprintf(p.Stdout, "%s: NOT AS SEALED: %s\n", shownName(c.File), strings.TrimPrefix(fault.Error(), "record: "))
		return Outcome(app.ExitOver)
	}
	if err != nil {
		return fmt.Errorf("%s: %w", shownName(c.File), err)
	}
	against := "no head that was kept elsewhere was given, so this shows only that the copy agrees with itself"
	if n := len(heads); n > 0 {
		against = fmt.Sprintf("held against %s kept elsewhere", numbered(n, "head", "heads"))
	}
	fmt.Fprintf(p.Stdout, "%s: %s as sealed; %s\n", shownName(c.File), numbered(int(head.Size), "record", "records"), against)
	for _, mark := range c.Mark {
		e, err := app.VerifyMark(data, mark)
		if errors.As(err, &fault) {
			fmt.Fprintf(p.Stdout, "%s: NOT AS SEALED: %s\n", mark, strings.TrimPrefix(fault.Error(), "record: "))
			return Outcome(app.ExitOver)
		}
		if err != nil {
			return err
		}
		fmt.Fprintf(p.Stdout, "%s: record %d, as sealed\n", mark, e.N)
	}
	return nil
}

func numbered(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}

func readRecords(name string, most int64) ([]byte, error) {
	info, err := os.Stat(name)
	switch {
	case err != nil:
		return nil, fmt.Errorf("%s: %s", name, reason(err))
	case info.IsDir():
		return nil, fmt.Errorf("%s: this is a folder; name a file", name)
	case info.Size() > most:
		return nil, fmt.Errorf("%s: %d bytes are more than are read, %d", name, info.Size(), most)
	}
	data, err := os.ReadFile(name)
	if err != nil {
		return nil, fmt.Errorf("%s: %s", name, reason(err))
	}
	return data, nil
}
