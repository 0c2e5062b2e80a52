package desk

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"text/tabwriter"

	"solander/fault"
)

// ErrFindings says that check, or the trial of a file, ran and found something, or find nothing: it is shown already.
var ErrFindings = errors.New("something wrong was found")

// Show answers a command: v as JSON when the caller asked for it, else what human prints.
func (d *Desk) Show(v any, human func(w io.Writer)) error {
	if d.JSON {
		enc := json.NewEncoder(d.Out)
		enc.SetIndent("", "  ")
		enc.SetEscapeHTML(false)
		return enc.Encode(v)
	}
	human(people{d.Out, d.Coloured(d.Out)})
	return nil
}

// Say answers a command that only did something.
func (d *Desk) Say(v any, format string, args ...any) error {
	return d.Show(v, func(w io.Writer) { fmt.Fprintf(w, format+"\n", args...) })
}

// Done answers a command that only did something, or tells why it could not.
func (d *Desk) Done(err error, v any, format string, args ...any) error {
	if err != nil {
		return err
	}
	return d.Say(v, format, args...)
}

// Table prints rows in columns; the cells of a row are parted by tabs.
func Table(w io.Writer, rows func(row func(format string, args ...any))) {
	var all []string
	rows(func(format string, args ...any) { all = append(all, fmt.Sprintf(format, args...)) })
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	for _, r := range evened(all) {
		fmt.Fprintln(t, r)
	}
	_ = t.Flush() // to a buffer or stream whose failure shows at the next write
}

// ToFile writes a file whole or not at all: into a temporary file beside it, then renamed. An existing
// file is replaced only with force. Only the user may read it: copies and papers hold names and addresses.
// "-" is the output stream.
func (d *Desk) ToFile(path string, force bool, write func(io.Writer) error) error {
	if path == "-" {
		return write(d.Out)
	}
	if _, err := os.Stat(path); err == nil && !force {
		return fault.New(fault.Taken, "it exists already").At("%s", path).In("output").ToMend("choose another name, or add --force to replace it")
	}
	tmp, err := os.CreateTemp(filepath.Dir(path), ".solander-*")
	if err != nil {
		return FileFault(err, path, "output")
	}
	defer os.Remove(tmp.Name()) // gone already once it was renamed
	if err := errors.Join(write(tmp), tmp.Sync(), tmp.Close()); err != nil {
		return err
	}
	return FileFault(os.Rename(tmp.Name(), path), path, "output")
}

// FileFault says plainly why a file cannot be read or written; nil stays nil.
func FileFault(err error, path, field string) error {
	var f *fault.Error
	switch {
	case err == nil:
		return nil
	case errors.As(err, &f):
		return err
	case errors.Is(err, fs.ErrNotExist):
		return fault.New(fault.Missing, "there is no such file or folder").At("%s", path).In(field).ToMend("look at the path").Because(err)
	case errors.Is(err, fs.ErrPermission):
		return fault.New(fault.Refused, "this user may not open it").At("%s", path).In(field).ToMend("change its permissions or choose another place").Because(err)
	}
	return fault.New(fault.Invalid, "it cannot be used: %s", plainCause(err)).At("%s", path).In(field).ToMend("choose another file").Because(err)
}

func plainCause(err error) string {
	var p *fs.PathError
	if errors.As(err, &p) {
		return p.Err.Error()
	}
	return err.Error()
}
