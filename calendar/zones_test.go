package calendar

import (
	"slices"
	"testing"
	"time"
	_ "time/tzdata"
)

// Every zone offered is one that the program can go by. Source: the zone table against the compiled time zone database of Go, which is
// made of the same releases by another program.
func TestZonesAreKnown(t *testing.T) {
	all := Zones()
	if len(all) < 300 {
		t.Fatalf("%d zones", len(all))
	}
	for i, z := range all {
		if _, err := time.LoadLocation(z.Name); err != nil || len(z.Countries) == 0 || i > 0 && all[i-1].Name >= z.Name {
			t.Errorf("%s of %v: %v", z.Name, z.Countries, err)
		}
	}
	if i := slices.IndexFunc(all, func(z Zone) bool { return z.Name == "Europe/Berlin" }); i < 0 || !slices.Contains(all[i].Countries, "DE") {
		t.Error("Berlin is no zone of Germany")
	}
}
