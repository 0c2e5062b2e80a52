package storetest

import (
	"bytes"
	"io"
	"strings"
	"testing"
	"testing/fstest"

	"solander/export"
	"solander/fault"
	"solander/house"
	"solander/studio"
	"solander/studio/storetest/bed"
)

// exported writes the files of an export.
func exported(t *testing.T, packed []byte) fstest.MapFS {
	t.Helper()
	bufs := map[string]*bytes.Buffer{}
	err := export.Split(bytes.NewReader(packed), func(name string) (io.Writer, error) {
		bufs[name] = &bytes.Buffer{}
		return bufs[name], nil
	})
	if err != nil {
		t.Fatal(err)
	}
	files := fstest.MapFS{}
	for name, b := range bufs {
		files[name] = &fstest.MapFile{Data: b.Bytes()}
	}
	return files
}

// exportComesBack: the files of an export make the copy again that they were made from, and a store filled
// from them is the same studio.
func exportComesBack(t *testing.T, from, to studio.Store) {
	packed := filled(t, from)
	files := exported(t, packed)
	var again bytes.Buffer
	if err := export.Join(files, &again); err != nil {
		t.Fatal(err)
	}
	bed.Same(t, "the copy made from the files", bed.Lines(t, packed), bed.Lines(t, again.Bytes()))
	if err := house.RestoreExport(t.Context(), studio.New(to, studio.Options{}), files); err != nil {
		t.Fatal(err)
	}
	want, got := withoutHead(t, packed), withoutHead(t, bed.Dumped(t, to))
	bed.Same(t, "the rows of the other store", want[:len(want)-1], got[:len(got)-1])
	bed.Sound(t, to)
	if n := len(files); n < 40 || len(files["csv/buyers.csv"].Data) == 0 || !strings.HasPrefix(string(files["json/works.json"].Data), "[\n{\"id\":1,") {
		t.Errorf("%d files; works %.40q", n, files["json/works.json"].Data)
	}
}

// changedExports leave nothing behind.
func changedExports(t *testing.T, from, to studio.Store) {
	files := exported(t, filled(t, from))
	other := studio.New(to, studio.Options{})
	for name, change := range map[string]func(b string) []byte{
		"csv/buyers.csv": func(b string) []byte { return []byte(strings.Replace(b, "1,", "2,", 1)) },
		"csv/orders.csv": func(string) []byte { return nil },
		"csv/works.csv":  func(b string) []byte { return []byte(b + `"`) },
		"manifest.json":  func(b string) []byte { return []byte(strings.Replace(b, "solander-export", "x", 1)) },
	} {
		whole := files[name]
		files[name] = &fstest.MapFile{Data: change(string(whole.Data))}
		if err := house.RestoreExport(t.Context(), other, files); !fault.Is(err, fault.Invalid) {
			t.Errorf("%s was changed: %v", name, err)
		}
		delete(files, name)
		if err := house.RestoreExport(t.Context(), other, files); !fault.Is(err, fault.Missing) {
			t.Errorf("%s is gone: %v", name, err)
		}
		files[name] = whole
	}
	if err := house.RestoreExport(t.Context(), other, files); err != nil {
		t.Errorf("after all that was refused: %v", err)
	}
}
