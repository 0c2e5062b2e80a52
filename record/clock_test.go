package record_test

import (
	"path/filepath"
	"strings"
	"testing"

	"solander/fault"
	"solander/internal/bed"
	"solander/record"
	"solander/sealog"
	"solander/store"
)

// A clock that was set back signs nothing, and the check says so; set right again, all goes on, and nothing of it stays.
func TestClockSetBack(t *testing.T) {
	b := bed.On(t, filepath.Join(t.TempDir(), "studio.db"))
	b.Must(b.Store.Close())
	whole, err := store.Open(b.Ctx, b.Path, store.Options{Clock: b.Clock.Now}) // not in haste: what it writes has its digests at once
	b.Must(err)
	t.Cleanup(func() { whole.Close() })
	b.Studio.Store = whole
	b.Take(b.Sale())
	first, err := record.Sign(b.Ctx, b.Studio, "")
	b.Must(err)
	right := b.Clock.Instant
	b.Take(b.Sale())
	b.Clock.Instant = right.AddDate(0, 0, -1)
	_, err = record.Sign(b.Ctx, b.Studio, "")
	if f := fault.All(err); !fault.Is(err, fault.Refused) || !strings.Contains(f[0].What, "was set back") || !strings.Contains(f[0].Mend, "by the network") {
		t.Errorf("a day back it signs: %v", err)
	}
	stands, err := record.Stands(b.Ctx, b.Studio)
	b.Must(err)
	if stands.Latest.ID != first.ID || stands.Unsigned == 0 {
		t.Errorf("something was signed: %+v", stands)
	}
	proven, err := record.Verify(b.Ctx, b.Studio, nil, nil)
	b.Must(err)
	if len(proven.Found) != 1 || !strings.Contains(proven.Found[0], "was set back") {
		t.Errorf("the check finds %q", proven.Found)
	}
	b.Clock.Instant = right.Add(-4 * 60e9) // two machines are never quite at one time
	var second sealog.Signed
	second, err = record.Sign(b.Ctx, b.Studio, "")
	b.Must(err)
	proven, err = record.Verify(b.Ctx, b.Studio, []byte(second.Body), nil)
	b.Must(err)
	if len(proven.Found) > 0 || proven.Against == nil || second.Size <= first.Size {
		t.Errorf("set right again: %+v of %+v", proven, second)
	}
}
