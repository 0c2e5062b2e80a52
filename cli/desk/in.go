package desk

import (
	"io"
	"os"

	"solander/fault"
	"solander/internal/strict"
)

// MostInput is how many bytes of a file of input are read; a longer one is refused whole.
const MostInput = 4 << 20

// Input opens a file, or the input stream for "-".
func (d *Desk) Input(path, field string) (io.ReadCloser, error) {
	if path == "-" {
		return io.NopCloser(d.In), nil
	}
	f, err := os.Open(path)
	if err != nil {
		return nil, FileFault(err, path, field)
	}
	if about, err := f.Stat(); err == nil && about.IsDir() {
		f.Close()
		return nil, fault.New(fault.Invalid, "it is a folder").At("%s", path).In(field).ToMend("name a file in it")
	}
	return f, nil
}

// ReadJSON reads a file of JSON, up to MostInput bytes, into v. Unknown names, a second value and broken
// UTF-8 are faults that name the field.
func (d *Desk) ReadJSON(path, field string, v any) error {
	b, err := d.ReadFile(path, field)
	if err != nil {
		return err
	}
	return strict.Decode(strict.AsSaved(b), v)
}

// ReadFile reads a file of up to MostInput bytes, or the input stream for "-".
func (d *Desk) ReadFile(path, field string) ([]byte, error) {
	return d.ReadFileOf(path, field, MostInput)
}

// ReadFileOf reads a file of up to so many bytes, or the input stream for "-".
func (d *Desk) ReadFileOf(path, field string, most int64) ([]byte, error) {
	r, err := d.Input(path, field)
	if err != nil {
		return nil, err
	}
	defer r.Close()
	b, err := io.ReadAll(io.LimitReader(r, most+1))
	if err != nil {
		return nil, FileFault(err, path, field)
	}
	if int64(len(b)) > most {
		return nil, fault.New(fault.TooLarge, "it is larger than %d MB", most>>20).At("%s", path).In(field).ToMend("is it the right file?")
	}
	return b, nil
}
