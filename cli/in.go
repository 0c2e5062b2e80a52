package cli

import (
	"io"
	"os"

	"solander/fault"
	"solander/internal/strict"
)

// mostInput is how many bytes of a file of input are read; a longer one is refused whole.
const mostInput = 4 << 20

// input opens a file, or the input stream for "-".
func (d *desk) input(path, field string) (io.ReadCloser, error) {
	if path == "-" {
		return io.NopCloser(d.in), nil
	}
	f, err := os.Open(path)
	if err != nil {
		return nil, fileFault(err, path, field)
	}
	if about, err := f.Stat(); err == nil && about.IsDir() {
		f.Close()
		return nil, fault.New(fault.Invalid, "it is a folder").At("%s", path).In(field).ToMend("name a file in it")
	}
	return f, nil
}

// readJSON reads a file of JSON, up to mostInput bytes, into v. Unknown names, a second value and broken
// UTF-8 are faults that name the field.
func (d *desk) readJSON(path, field string, v any) error {
	b, err := d.readFile(path, field)
	if err != nil {
		return err
	}
	return strict.Decode(b, v)
}

// readFile reads a file of up to mostInput bytes, or the input stream for "-".
func (d *desk) readFile(path, field string) ([]byte, error) {
	r, err := d.input(path, field)
	if err != nil {
		return nil, err
	}
	defer r.Close()
	b, err := io.ReadAll(io.LimitReader(r, mostInput+1))
	if err != nil {
		return nil, fileFault(err, path, field)
	}
	if len(b) > mostInput {
		return nil, fault.New(fault.TooLarge, "it is larger than %d MB", mostInput>>20).At("%s", path).In(field).ToMend("is it the right file?")
	}
	return b, nil
}
