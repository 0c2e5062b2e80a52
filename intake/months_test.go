package intake

import (
	"testing"
	"time"
)

func TestMonths(t *testing.T) {
	for in, want := range map[string]SheetMonth{
		"2025-05": {2025, time.May}, "May 2025": {2025, time.May}, "05/2025": {2025, time.May}, "Mai": {0, time.May}, "mayo 2025": {2025, time.May}, "5": {0, time.May},
		"2025": {2025, 0}, "Sales 2025": {2025, 0}, "Verkäufe Mai 25": {}, "Town fair": {}, "": {}, "13": {}, "Sheet1": {}, "2025-13": {},
	} {
		if got, ok := MonthIn(in); got != want && ok || ok != (want != SheetMonth{}) {
			t.Errorf("%q is %+v %v, want %+v", in, got, ok, want)
		}
	}
}
