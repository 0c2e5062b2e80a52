package studio

import (
	"context"
	"io"
)

// Backup writes a consistent copy of everything while the studio is in use (docs/formats/backup.md).
func (s *Studio) Backup(ctx context.Context, w io.Writer) error { return s.store.Dump(ctx, w) }

// Restore fills an empty store from a copy. Faults: Refused when the store is not empty, Invalid when
// the copy is damaged or of another version; nothing of it is kept then.
func (s *Studio) Restore(ctx context.Context, r io.Reader) error { return s.store.Load(ctx, r) }
