package xlsx

import (
	"archive/zip"
	"bytes"
	"errors"
	"io"
	"path"
	"strings"

	"solander/fault"
)

// notOurs recognises other files by their first bytes and by the ending of their names.
func notOurs(name string, data []byte) error {
	refuse := func(code fault.Code, what, mend string) error {
		return fault.New(code, "%s", what).At("%s", name).ToMend("%s", mend)
	}
	ole := bytes.HasPrefix(data, []byte("\xD0\xCF\x11\xE0\xA1\xB1\x1A\xE1"))
	switch ext := strings.ToLower(path.Ext(name)); {
	case ole && bytes.Contains(data, utf16Name("EncryptedPackage")):
		return refuse(fault.Refused, "the workbook is encrypted", "take its password off in a spreadsheet program and save it again")
	case ole:
		return refuse(fault.Invalid, "this is a workbook of an older form", "save it as .xlsx in a spreadsheet program")
	case ext == ".xlsm" || ext == ".xltm" || ext == ".xlam":
		return refuse(fault.Refused, "workbooks with macros are not read", "save it as .xlsx, without macros")
	case !bytes.HasPrefix(data, []byte("PK")):
		return refuse(fault.Invalid, "this is no workbook", "choose a file that ends in .xlsx, or one of comma-separated text")
	}
	return nil
}

// utf16Name is a name as directories of compound files hold it.
func utf16Name(s string) []byte {
	var b []byte
	for i := range len(s) {
		b = append(b, s[i], 0)
	}
	return b
}

// parts are the files in a workbook, by their names in small letters, since part names are compared without regard to case
// (ECMA-376 part 2, 6.2.2.3).
type parts map[string]*zip.File

// partsOf looks at the container alone: forbidden parts, and sizes as the directory states them. What is really
// unpacked is counted again by open.
func partsOf(name string, z *zip.Reader) (parts, error) {
	if len(z.File) > MostParts {
		return nil, fault.New(fault.TooLarge, "the workbook has %d parts", len(z.File)).At("%s", name).ToMend("copy the sheets with the sales into a new workbook")
	}
	p, total := parts{}, uint64(0)
	for _, f := range z.File {
		key := strings.TrimPrefix(strings.ToLower(f.Name), "/")
		switch base := path.Base(key); {
		case base == "vbaproject.bin" || strings.HasPrefix(key, "xl/macrosheets/"):
			return nil, fault.New(fault.Refused, "the workbook holds macros").At("%s", name).ToMend("save it as .xlsx, without macros")
		case base == "workbook.bin" || key == "mimetype":
			return nil, fault.New(fault.Invalid, "this is a workbook of another form").At("%s", name).ToMend("save it as .xlsx in a spreadsheet program")
		case p[key] != nil:
			return nil, fault.New(fault.Invalid, "the part %s is there twice", fault.Clip(f.Name)).At("%s", name).ToMend("save the workbook again in a spreadsheet program")
		case f.UncompressedSize64 > ratioFrom && f.UncompressedSize64/MostRatio > f.CompressedSize64:
			return nil, bomb(name)
		}
		if total += min(f.UncompressedSize64, MostUnpacked+1); total > MostUnpacked {
			return nil, bomb(name)
		}
		p[key] = f
	}
	return p, nil
}

func bomb(name string) error {
	return fault.New(fault.TooLarge, "the workbook unpacks to far more than its size").At("%s", name).
		ToMend("copy the sheets with the sales into a new workbook: at most %d MB unpacked, and %d times the packed size, are read", MostUnpacked>>20, MostRatio)
}

// errTooMuch is what reading a part gives that unpacks to more than the container stated.
var errTooMuch = errors.New("more bytes than stated")

// limited reads at most left bytes.
type limited struct {
	io.ReadCloser
	left int64
	read *int64 // counted for the progress
}

// Read gives errTooMuch instead of the first byte beyond.
func (l *limited) Read(p []byte) (int, error) {
	if int64(len(p)) > l.left+1 {
		p = p[:l.left+1]
	}
	n, err := l.ReadCloser.Read(p)
	l.left -= int64(n)
	if l.read != nil {
		*l.read += int64(n)
	}
	if l.left < 0 {
		return 0, errTooMuch
	}
	return n, err
}

// open opens a part; it ends with a fault when the part holds more than it states.
func (p parts) open(part string) (*limited, bool, error) {
	f := p[strings.ToLower(part)]
	if f == nil {
		return nil, false, nil
	}
	r, err := f.Open()
	if err != nil {
		return nil, true, err
	}
	return &limited{ReadCloser: r, left: int64(min(f.UncompressedSize64, MostUnpacked))}, true, nil
}

// target resolves the target of a relationship of a part (ECMA-376 part 2, 6.5.3.4).
func target(from, to string) string {
	if rest, ok := strings.CutPrefix(to, "/"); ok {
		return path.Clean(rest)
	}
	return path.Join(path.Dir(from), to)
}

// relsOf names the part that holds the relationships of a part.
func relsOf(part string) string {
	return path.Join(path.Dir(part), "_rels", path.Base(part)+".rels")
}
