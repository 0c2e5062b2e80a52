package certify_test

import (
	"strings"
	"testing"

	"solander/calendar"
	"solander/certify"
	"solander/daybench"
	"solander/disclosure"
	"solander/internal/bed"
)

// tellsOf are the facts to tell that the bench shows, by the mark of the order.
func tellsOf(b *bed.Bed) map[string][]string {
	list, err := daybench.List(b.Ctx, b.Studio, calendar.Day{})
	b.Must(err)
	out := map[string][]string{}
	for _, tasks := range list.Groups {
		for _, t := range tasks {
			for _, tell := range t.Tell {
				out[t.Mark] = append(out[t.Mark], tell.Text)
			}
		}
	}
	return out
}

// Source: New York ACAL 15.01 (more than 100 dollars, read), California Civil Code s. 1741 (from 100 dollars, memory).
func TestFactsToTell(t *testing.T) {
	b := bed.New(t)
	sold := func(region, country string, cents int64) string {
		in := b.Sale()
		in.ShipTo.Region, in.ShipTo.Country = region, country
		in.Lines[0].Price = bed.Ptr(bed.USD(cents))
		return b.Take(in).Order.Mark
	}
	ca99, ca100, ny100, ny101, canada := sold("CA", "US", 99_99), sold("California", "US", 100_00), sold("NY", "US", 100_00), sold("ny", "US", 100_01), sold("CA", "CA", 500_00)
	got := tellsOf(b)
	for mark, state := range map[string]string{ca100: "(California)", ny101: "(New York)"} {
		if tells := got[mark]; len(tells) != 1 || !strings.HasPrefix(tells[0], "facts to tell: ") || !strings.HasSuffix(tells[0], state) {
			t.Errorf("%s: %q, want one line of %s", mark, tells, state)
		}
	}
	for _, mark := range []string{ca99, ny100, canada} {
		if tells := got[mark]; tells != nil {
			t.Errorf("%s: %q, and no rule asks for them", mark, tells)
		}
	}
	_, err := certify.Say(b.Ctx, b.Studio, b.Heron.ID, func(w *certify.Words) error {
		for _, a := range disclosure.Asked() {
			(*w)[a.Fact] = disclosure.UnknownWords
		}
		return nil
	})
	b.Must(err)
	if got := tellsOf(b); len(got) != 0 {
		t.Errorf("something is said of every fact, and still: %q", got)
	}
}
