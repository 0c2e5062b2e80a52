package house

import (
	"archive/zip"
	"errors"
	"io"
	"os"
	"path/filepath"
	"strings"

	"solander/cli/desk"
	"solander/copies"
	"solander/fault"
	"solander/house"
	"solander/studio"
)

type Export struct {
	Place string `arg:"" predictor:"file" help:"Folder to make, or a file that ends in .zip (- is a ZIP on the output stream)."`
	Force bool   `help:"Replace the ZIP when it exists."`
}

func (Export) Help() string {
	return "Everything as CSV and JSON files that any program reads; solander restore takes it in again.\n\nExample:\n\n  solander export studio-2026-04-14.zip"
}

func (c *Export) Run(d *desk.Open) error {
	var err error
	if c.Place == "-" || strings.EqualFold(filepath.Ext(c.Place), ".zip") {
		err = d.ToFile(c.Place, c.Force, func(w io.Writer) error {
			z := zip.NewWriter(w)
			return errors.Join(house.Export(d.Ctx, d.Studio, z.Create), z.Close())
		})
	} else {
		err = toFolder(d.Desk, c.Place, func(folder string) error { return exportInto(d, folder) })
	}
	if err != nil || c.Place == "-" {
		return err
	}
	return d.Say(map[string]string{"written": c.Place}, "written: %s", c.Place)
}

// exportInto writes the files of an export below a folder.
func exportInto(d *desk.Open, folder string) error {
	var last *os.File
	end := func() error {
		if last == nil {
			return nil
		}
		return last.Close()
	}
	err := house.Export(d.Ctx, d.Studio, func(name string) (io.Writer, error) {
		if err := end(); err != nil {
			return nil, err
		}
		path := filepath.Join(folder, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(path), 0o700); err != nil {
			return nil, err
		}
		f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
		last = f
		return f, err
	})
	return errors.Join(err, end())
}

// toFolder makes a folder whole or not at all: a temporary one beside it, then renamed.
func toFolder(d *desk.Desk, path string, write func(folder string) error) error {
	if _, err := os.Stat(path); err == nil {
		return fault.New(fault.Taken, "it exists already").At("%s", path).In("place").ToMend("choose another name")
	}
	tmp, err := os.MkdirTemp(filepath.Dir(path), ".solander-*")
	if err != nil {
		return desk.FileFault(err, path, "place")
	}
	defer os.RemoveAll(tmp) // gone already once it was renamed
	if err := write(tmp); err != nil {
		return desk.FileFault(err, path, "place")
	}
	return desk.FileFault(os.Rename(tmp, path), path, "place")
}

// restoreFrom fills a new studio from a copy, or from the folder or ZIP of an export.
func restoreFrom(d *desk.Desk, path, keyFile string) (restore func(*studio.Studio) error, end func() error, err error) {
	nothing := func() error { return nil }
	if about, err := os.Stat(path); path != "-" && err == nil && about.IsDir() {
		return func(st *studio.Studio) error { return house.RestoreExport(d.Ctx, st, os.DirFS(path)) }, nothing, nil
	}
	if z, err := zip.OpenReader(path); path != "-" && err == nil {
		return func(st *studio.Studio) error { return house.RestoreExport(d.Ctx, st, z) }, z.Close, nil
	}
	r, err := d.Input(path, "file")
	if err != nil {
		return nil, nothing, err
	}
	key, err := keyOf(d, keyFile)
	if err != nil {
		return nil, nothing, errors.Join(err, r.Close())
	}
	return func(st *studio.Studio) error { return copies.Bring(d.Ctx, st, r, key) }, r.Close, nil
}

// mostKey bounds the file of a key, in bytes.
const mostKey = 64 << 10

// keyOf is what opens a sealed copy: the text of a file, or a passphrase of the environment, where other programs cannot see it.
func keyOf(d *desk.Desk, file string) (string, error) {
	if file == "" {
		return d.Env.Get("SOLANDER_PASSPHRASE"), nil
	}
	r, err := d.Input(file, "key")
	if err != nil {
		return "", err
	}
	b, err := io.ReadAll(io.LimitReader(r, mostKey))
	return string(b), errors.Join(err, r.Close())
}
