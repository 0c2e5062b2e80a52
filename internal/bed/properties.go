package bed

import (
	"flag"
	"os"
	"testing"
)

// propertyRuns is how often a property runs unless -rapid.checks says otherwise.
const propertyRuns = "10"

// Properties runs the tests of a room, each property a few times unless -rapid.checks says otherwise: each run is a real store
// with real writes.
func Properties(m *testing.M) {
	if f := flag.Lookup("rapid.checks"); f != nil {
		if err := f.Value.Set(propertyRuns); err != nil {
			panic(err)
		}
	}
	os.Exit(m.Run())
}
