package house

import (
	"context"
	"errors"
	"io"
	"io/fs"

	"solander/export"
	"solander/studio"
)

// Export writes everything as plain files that any program reads (docs/formats/export.md), of one moment and
// while the studio is in use. mk makes each file; the one before it is whole then.
func Export(ctx context.Context, s *studio.Studio, mk export.Maker) error {
	return piped(
		func(w io.Writer) error { return s.Store.Dump(ctx, w) },
		func(r io.Reader) error { return export.Split(r, mk) })
}

// RestoreExport fills an empty store from the files of an export. Faults: as Restore; Missing and Invalid for
// files that are gone or were changed; nothing of it is kept then.
func RestoreExport(ctx context.Context, s *studio.Studio, files fs.FS) error {
	return piped(
		func(w io.Writer) error { return export.Join(files, w) },
		func(r io.Reader) error { return s.Store.Load(ctx, r) })
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
