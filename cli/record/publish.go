package record

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"solander/certificate"
	"solander/certify"
	"solander/cli/desk"
	"solander/fault"
	"solander/record"
)

type publishCmd struct {
	desk.Unlocking
	Folder string `arg:"" predictor:"file" help:"The folder to write: it is made, or an earlier public record in it is replaced."`
}

func (publishCmd) Help() string {
	return "Pages and data that may be put on any web site: editions, their limits, how many numbers are out; the log in the layout that general tools read; the page that checks certificates. No buyer is in it.\n\nExample:\n\n  solander register publish public-record"
}

func (c *publishCmd) Run(d *desk.Open) error {
	words, err := c.Words(d.Desk)
	if err != nil {
		return err
	}
	if err := mayReplace(c.Folder); err != nil {
		return err
	}
	name, known, err := certify.ForThePage(d.Ctx, d.Studio, words)
	if err != nil {
		return err
	}
	check, err := certificate.Page(name, known)
	if err != nil {
		return err
	}
	files, err := record.Publish(d.Ctx, d.Studio, words, record.File{Path: record.CheckPage, Body: []byte(check)})
	if err != nil {
		return err
	}
	if err := writeFolder(strings.TrimRight(filepath.Clean(c.Folder), string(filepath.Separator)), files); err != nil {
		return err
	}
	return d.Say(map[string]any{"folder": c.Folder, "files": len(files)}, "%s written: %s", fault.Count(len(files), "file"), c.Folder)
}

// mayReplace refuses a folder that holds anything but an earlier public record.
func mayReplace(folder string) error {
	found, err := os.ReadDir(folder)
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err != nil {
		return desk.FileFault(err, folder, "folder")
	}
	for _, e := range found {
		if n := e.Name(); n != "index.html" && n != "record.json" && n != record.CheckPage && !strings.HasPrefix(n, "log-") {
			return fault.New(fault.Refused, "the folder holds something that is no public record: %.60s", n).At("%s", folder).In("folder").ToMend("name another folder")
		}
	}
	return nil
}

// writeFolder writes the files beside their place, and puts the folder there whole.
func writeFolder(folder string, files []record.File) error {
	next, err := os.MkdirTemp(filepath.Dir(folder), "."+filepath.Base(folder)+"-*")
	if err != nil {
		return desk.FileFault(err, folder, "folder")
	}
	defer os.RemoveAll(next)
	for _, f := range files {
		at := filepath.Join(next, filepath.FromSlash(f.Path))
		err := os.MkdirAll(filepath.Dir(at), 0o755)
		if err == nil {
			err = os.WriteFile(at, f.Body, 0o644)
		}
		if err != nil {
			return desk.FileFault(err, at, "folder")
		}
	}
	if err := os.Chmod(next, 0o755); err != nil {
		return desk.FileFault(err, folder, "folder")
	}
	before := next + ".before"
	switch err := os.Rename(folder, before); {
	case errors.Is(err, fs.ErrNotExist):
	case err != nil:
		return desk.FileFault(err, folder, "folder")
	default:
		defer os.RemoveAll(before)
	}
	if err := os.Rename(next, folder); err != nil {
		return desk.FileFault(errors.Join(err, os.Rename(before, folder)), folder, "folder")
	}
	return nil
}
