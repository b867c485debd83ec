package logbook

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"time"

	"sumpward/scenarios/internal/problem"
	"sumpward/scenarios/units"
)

// patience is how long Append waits for another writer.
var patience = 2 * time.Second

// Append adds entries at the end of the logbook in a file, or makes it. What is
// there stays, byte for byte, but that the header gains the columns that an entry
// needs and it lacks. The new row is written as the file is: its separator, its
// decimal sign, the units of its header. The file is replaced at once by a
// complete one or not at all, and two writers take turns.
//
// An entry needs a date and a car. A logbook with problems is not added to.
func Append(path string, entries ...Entry) error {
	name := path
	if to, err := filepath.EvalSymlinks(path); err == nil {
		path = to // add to what a link leads to
	}
	for i := range entries {
		if err := check(&entries[i], name); err != nil {
			return err
		}
	}
	part := filepath.Join(filepath.Dir(path), "."+filepath.Base(path)+".part")
	f, err := alone(part)
	if err != nil {
		return fmt.Errorf("write %s: %w", name, err)
	}
	err = appended(f, path, name, entries)
	if closed := f.Close(); err == nil {
		err = closed
	}
	if err == nil {
		err = os.Rename(part, path)
	}
	if err == nil { // a part that is there now is another writer's
		return syncFolder(filepath.Dir(path))
	}
	_ = os.Remove(part)
	var problems Problems
	if errors.As(err, &problems) {
		return err
	}
	return fmt.Errorf("write %s: %w", name, plainly(err))
}

// appended writes the whole new logbook to f.
func appended(f *os.File, path, name string, entries []Entry) error {
	var old []byte
	mode := fs.FileMode(0)
	info, err := os.Stat(path)
	switch {
	case err == nil && !info.Mode().IsRegular():
		return errors.New("not an ordinary file: name another")
	case err == nil && info.Size() > mostBytes:
		return tooLarge(name)
	case err == nil:
		mode = info.Mode().Perm()
		if old, err = os.ReadFile(path); err != nil {
			return err
		}
	case !errors.Is(err, fs.ErrNotExist):
		return err
	}
	data, err := With(string(old), name, entries...)
	if err != nil {
		return err
	}
	if _, err := f.WriteString(data); err != nil {
		return err
	}
	if mode != 0 {
		if err := f.Chmod(mode); err != nil {
			return err
		}
	}
	return f.Sync()
}

// alone makes the file that stands for the right to write.
func alone(part string) (*os.File, error) {
	for end := time.Now().Add(patience); ; time.Sleep(20 * time.Millisecond) {
		f, err := os.OpenFile(part, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
		switch {
		case err == nil:
			return f, nil
		case !errors.Is(err, fs.ErrExist):
			return nil, plainly(err)
		case time.Now().After(end):
			return nil, fmt.Errorf("%s is there: another entry is being written, or one was cut short; remove it if nobody is writing", part)
		}
	}
}

// syncFolder makes the new name of a file last. Where a folder can't be synced,
// the file itself was.
func syncFolder(folder string) error {
	if d, err := os.Open(folder); err == nil {
		_ = d.Sync()
		_ = d.Close()
	}
	return nil
}

// plainly is an error without the name of the file that it befell.
func plainly(err error) error {
	var path *fs.PathError
	var link *os.LinkError
	switch {
	case errors.As(err, &path):
		return path.Err
	case errors.As(err, &link):
		return link.Err
	}
	return err
}

// check reports what is wrong with an entry.
func check(e *Entry, name string) error {
	f := &problem.Found{Name: name}
	for _, c := range columns {
		switch {
		case c.text != nil && len(*c.text(e)) > longestCell:
			f.Add(0, c.name, fmt.Sprintf("the text is too long (got %d bytes, allowed %d)", len(*c.text(e)), longestCell), "keep it short")
		case c.needed && !c.written(e):
			f.Add(0, c.name, "is missing", "an entry needs a date and a car")
		case c.number != nil && c.written(e) && c.within(*c.number(e), "") != "":
			f.Add(0, c.name, c.within(*c.number(e), ""), "")
		}
	}
	if (Written(e.Pour)) != Written(e.PourTook) {
		f.Add(0, "pour", "the volume poured and the time it took go together", "write both, or neither")
	}
	return f.Err()
}

// With returns the text of a logbook with entries at its end; see Append. An empty
// text begins a new logbook.
func With(text, name string, entries ...Entry) (string, error) {
	if strings.TrimSpace(strings.TrimPrefix(text, byteOrderMark)) == "" {
		text = strings.Join(headers(), ",") + "\n"
	}
	b, err := parse(text, name)
	if err != nil {
		return "", err
	}
	mark := ""
	if strings.HasPrefix(text, byteOrderMark) {
		mark = byteOrderMark
	}
	end := "\n"
	if b.form.crlf {
		end = "\r\n"
	}
	rest := strings.TrimPrefix(text, mark)
	rest = rest[strings.Index(rest, b.form.header)+len(b.form.header):]
	header, err := b.form.grown(entries)
	if err != nil {
		return "", err
	}
	lead, _, _ := strings.Cut(strings.TrimPrefix(text, mark), b.form.header)
	text = mark + lead + header + rest
	if !strings.HasSuffix(text, "\n") {
		text += end
	}
	for i := range entries {
		row, err := b.form.record(&entries[i])
		if err != nil {
			return "", err
		}
		text += row
	}
	return text, nil
}

// grown is the header with the columns that entries need and it lacks.
func (f *form) grown(entries []Entry) (string, error) {
	header := f.header
	for _, c := range columns {
		needed := false
		for i := range entries {
			needed = needed || c.written(&entries[i])
		}
		if !needed || f.has(c) {
			continue
		}
		f.columns = append(f.columns, c)
		f.units = append(f.units, nil)
		if c.number != nil {
			u, err := units.ParseUnit(c.unit, c.dimension)
			if err != nil {
				return "", err
			}
			f.units[len(f.units)-1] = &u
		}
		header += string(f.comma) + c.header(c.unit)
	}
	return header, nil
}

func (f *form) has(c *column) bool {
	for _, x := range f.columns {
		if x == c {
			return true
		}
	}
	return false
}

// record is one entry as a row of the file.
func (f *form) record(e *Entry) (string, error) {
	cells := make([]string, len(f.columns))
	for i, c := range f.columns {
		if c != nil && c.written(e) {
			cells[i] = f.cell(e, c, f.units[i])
		}
	}
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	w.Comma, w.UseCRLF = f.comma, f.crlf
	if err := w.Write(cells); err != nil {
		return "", err
	}
	w.Flush()
	return b.String(), w.Error()
}

// digits are those of a number that is written: all that a reading has, and none
// of what a change of units leaves behind.
const digits = 12

func (f *form) cell(e *Entry, c *column, unit *units.Unit) string {
	switch {
	case c.date != nil:
		return c.date(e).Format(time.DateOnly)
	case c.text != nil:
		return guarded(tidied(*c.text(e)))
	case c.mark != nil:
		if *c.mark(e) == Yes {
			return c.yes
		}
		return c.no
	}
	v, own := *c.number(e), ""
	if unit == nil { // the header states none: the cell does
		u, _ := units.ParseUnit(c.unit, c.dimension)
		unit, own = &u, " "+c.unit
	}
	text := strconv.FormatFloat(unit.FromSI(v), 'g', digits, 64)
	if f.decimalComma() {
		text = strings.Replace(text, ".", ",", 1)
	}
	return text + own
}

// decimalComma reports whether the file writes numbers with a decimal comma: it
// does so already, or parts its fields by semicolons, as is common there, and has
// no number that shows it.
func (f *form) decimalComma() bool {
	return f.number.decimal == ',' || f.number.decimal == 0 && f.comma == ';'
}
