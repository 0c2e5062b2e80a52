package house

import (
	"context"
	"io"

	"solander/studio"
)

// Backup writes a consistent copy of everything while the studio is in use (docs/formats/backup.md).
func Backup(ctx context.Context, s *studio.Studio, w io.Writer) error { return s.Store.Dump(ctx, w) }

// Restore fills an empty store from a copy. Faults: Refused when the store is not empty, Invalid when
// the copy is damaged or of another version; nothing of it is kept then.
func Restore(ctx context.Context, s *studio.Studio, r io.Reader) error { return s.Store.Load(ctx, r) }
