package earned_test

import (
	"testing"

	"solander/calendar"
	"solander/consign"
	"solander/consigning"
	"solander/earned"
	"solander/edition"
	"solander/internal/bed"
	"solander/internal/engines"
	"solander/register"
)

// What a gallery sold is among the prints of its edition, of the gallery and of all, by whatever it is grouped, in the days in which it sold; what is taken
// back is none. What lies there still is not sold.
func TestPrintsThatGalleriesSoldCount(t *testing.T) {
	engines.Both(t, func(t *testing.T, b *bed.Bed) {
		house, err := consigning.Save(b.Ctx, b.Studio, consign.House{Name: "Harrow Lane Rooms", Share: 400, Bears: consign.Gallery})
		b.Must(err)
		b.SentOff(b.Heron.ID)
		b.Must(register.SignAhead(b.Ctx, b.Studio, b.Heron.ID, []edition.Number{{Kind: edition.Numbered, N: 3}, {Kind: edition.Numbered, N: 4}, {Kind: edition.Numbered, N: 5}}))
		sent, err := consigning.Send(b.Ctx, b.Studio, consigning.SendIn{Gallery: house.ID, Prints: []consigning.SendPrint{{Edition: b.Heron.ID}, {Edition: b.Heron.ID}, {Edition: b.Heron.ID}}})
		b.Must(err)
		prints := func(by earned.By, from calendar.Day, most int) (all int, rows map[string]int) {
			t.Helper()
			got, err := earned.Get(b.Ctx, b.Studio, earned.Ask{By: by, From: from, Most: most})
			b.Must(err)
			rows = map[string]int{}
			for _, r := range got.Rows {
				rows[r.Name] = r.Prints
			}
			return got.Total.Prints, rows
		}
		for i, step := range []struct {
			deed func() error
			all  int
		}{
			{func() error { return nil }, 1},
			{func() error {
				return second(consigning.End(b.Ctx, b.Studio, consigning.EndIn{Print: sent[0].ID, State: consign.Sold}))
			}, 2},
			{func() error {
				return second(consigning.End(b.Ctx, b.Studio, consigning.EndIn{Print: sent[1].ID, State: consign.Lost, Why: "water"}))
			}, 3},
			{func() error { return second(consigning.TakeBack(b.Ctx, b.Studio, sent[1].ID)) }, 2},
		} {
			b.Must(step.deed())
			for _, by := range earned.Bys() {
				if all, rows := prints(by, calendar.Day{}, 0); all != step.all || sum(rows) != all {
					t.Errorf("step %d by %s: %d prints in all, want %d; rows %v", i, by, all, step.all, rows)
				}
			}
			if all, _ := prints(earned.ByBuyer, calendar.Day{}, 1); all != step.all {
				t.Errorf("step %d, of one buyer at most: %d prints in all", i, all)
			}
		}
		if _, rows := prints(earned.ByOutlet, calendar.Day{}, 0); rows["Harrow Lane Rooms"] != 1 {
			t.Errorf("by outlet %v", rows)
		}
		if all, _ := prints(earned.ByOutlet, calendar.Date(2026, 12, 30).Add(1), 0); all != 0 {
			t.Errorf("from tomorrow on %d", all)
		}
		b.Sound()
	})
}

func sum(rows map[string]int) (n int) {
	for _, x := range rows {
		n += x
	}
	return n
}

func second[T any](_ T, err error) error { return err }
