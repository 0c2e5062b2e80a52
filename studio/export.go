package studio

import (
	"context"
	"errors"
	"io"
	"io/fs"

	"solander/export"
)

// Export writes everything as plain files that any program reads (docs/formats/export.md), of one moment and
// while the studio is in use. mk makes each file; the one before it is whole then.
func (s *Studio) Export(ctx context.Context, mk export.Maker) error {
	return piped(
		func(w io.Writer) error { return s.store.Dump(ctx, w) },
		func(r io.Reader) error { return export.Split(r, mk) })
}

// RestoreExport fills an empty store from the files of an export. Faults: as Restore; Missing and Invalid for
// files that are gone or were changed; nothing of it is kept then.
func (s *Studio) RestoreExport(ctx context.Context, files fs.FS) error {
	return piped(
		func(w io.Writer) error { return export.Join(files, w) },
		func(r io.Reader) error { return s.store.Load(ctx, r) })
}

// piped runs a writer and a reader side by side. What the writer found wrong comes first: the reader only sees
// that its text ends.
func piped(write func(io.Writer) error, read func(io.Reader) error) error {
	r, w := io.Pipe()
	wrote := make(chan error, 1)
	go func() {
		err := write(w)
		w.CloseWithError(err)
		wrote <- err
	}()
	err := read(r)
	r.CloseWithError(errors.Join(io.ErrClosedPipe, err)) // the writer ends when nobody reads
	if first := <-wrote; first != nil && !errors.Is(first, io.ErrClosedPipe) {
		return first
	}
	return err
}
