package posted

import (
	"regexp"
	"strconv"
	"strings"

	"solander/supply"
)

// Past is why a move was made that an earlier edition of the program kept with its reason alone, and the marks of the orders that it names.
func Past(m supply.Move) (why supply.Why, orders []string) {
	r := m.Reason
	if n := receivedBefore.FindStringSubmatch(r); n != nil {
		why.Cause = supply.Received
		if n[2] != " received" {
			why.Cause = supply.NotReceived
		}
		why.Run, _ = strconv.ParseInt(n[1], 10, 64) // digits alone
		return why, nil
	}
	for _, c := range past {
		if !strings.HasPrefix(r, c.begins) || !strings.HasSuffix(r, c.ends) {
			continue
		}
		if why.Cause = c.cause; c.named {
			orders = strings.FieldsFunc(strings.ReplaceAll(strings.TrimSuffix(r, c.ends), " and ", ", "), func(r rune) bool { return r == ',' || r == ' ' })
		}
		return why, orders
	}
	return why, nil
}

var receivedBefore = regexp.MustCompile(`^run (\d+)( received|: receipt taken back)$`)

// past are how reasons began and ended, and whether they named orders.
var past = []struct {
	begins, ends string
	cause        supply.Cause
	named        bool
}{
	{"counted: ", "", supply.Counted, false}, // what follows are her words, or a file's
	{"came back, brought in from ", "", supply.BroughtIn, false},
	{"intake taken back: ", "", supply.BroughtOut, false},
	{"hand-over ", " taken back", supply.NotHanded, false},
	{"handing over in person taken back", "", supply.NotHanded, false},
	{"", " handed over", supply.HandedOver, true},
	{"first count", "", supply.FirstCount, false},
	{"first stock", "", supply.FirstCount, false},
	{"restocked", "", supply.Restocked, false},
	{"restock taken back", "", supply.NotRestock, false},
	{"", " came back", supply.CameBack, true},
	{"", " spoilt", supply.Spoiled, false},
	{"signed for the archive", "", supply.Kept, false},
	{"", " not signed for the archive", supply.Unkept, false},
	{"", " kept in the archive", supply.Kept, false},
	{"", " withdrawn", supply.Withdrawn, false},
	{"", " taken back", supply.Unkept, false},
}
