package store

import (
	"testing"
	"time"

	"solander/internal/pgtest"
	"solander/studio"
	"solander/studio/storetest"
)

// TestContractBehindAPooler runs the whole contract where each transaction may be given another session of the server: nothing may rest on one.
func TestContractBehindAPooler(t *testing.T) {
	t.Parallel()
	through := pgtest.NewPooler(t)
	storetest.Run(t, func(t *testing.T) studio.Store {
		t.Helper()
		return openedWith(t, through(onServer(t)), Options{Patience: 3 * time.Minute})
	})
}
