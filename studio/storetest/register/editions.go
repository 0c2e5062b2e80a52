package register

import (
	"testing"

	"solander/edition"
	"solander/fault"
	"solander/measure"
	"solander/studio"
	"solander/studio/storetest/bed"
)

func catalogueSorted(t *testing.T, s studio.Store) {
	titles := []string{"Weir", "åring", "Heron", "heron at dawn"}
	works := make([]int64, len(titles))
	bed.Write(t, s, func(tx studio.Tx) (err error) {
		for i, title := range titles {
			if works[i], err = tx.SaveWork(edition.Work{Title: title, Year: 2028, Note: "n"}); err != nil {
				return err
			}
		}
		return nil
	})
	var want []edition.Edition
	bed.Write(t, s, func(tx studio.Tx) error {
		for _, e := range []edition.Edition{
			{Work: works[2], Title: "Heron", Width: 8 * measure.Inch, Height: 10 * measure.Inch, Grade: "standard"},
			{Work: works[1], Title: "åring", Width: 12 * measure.Inch, Height: 16 * measure.Inch, Grade: "fine"},
			{Work: works[2], Title: "Heron", Width: 8 * measure.Inch, Height: 10 * measure.Inch, Grade: "fine"},
			{Work: works[2], Title: "Heron", Width: 5 * measure.Inch, Height: 7 * measure.Inch, Grade: "standard"},
		} {
			id, err := tx.Declare(e)
			if err != nil {
				return err
			}
			e.ID = id
			want = append(want, e)
		}
		return nil
	})
	bed.Read(t, s, func(tx studio.Tx) error {
		all, err := tx.Works()
		var got []string
		for _, w := range all {
			got = append(got, w.Title)
		}
		bed.Same(t, "works", []string{"åring", "Heron", "heron at dawn", "Weir"}, got)
		if err != nil {
			return err
		}
		eds, err := tx.Editions()
		bed.Same(t, "editions", []edition.Edition{want[1], want[3], want[2], want[0]}, eds)
		return err
	})
	bed.Write(t, s, func(tx studio.Tx) error {
		_, err := tx.SaveWork(edition.Work{ID: works[2], Title: "Grey heron"})
		return err
	})
	bed.Read(t, s, func(tx studio.Tx) error {
		e, err := tx.Edition(want[0].ID)
		bed.Same(t, "title read along", "Grey heron", e.Title)
		return err
	})
}

func editionKept(t *testing.T, s studio.Store) {
	h := bed.Furnished(t, s)
	want := h.Print(250)
	want.Proofs = edition.Proofs{AP: 5, PP: 2, HC: 3, BAT: 1}
	want.Steps = []edition.PriceStep{{FromSold: 100, Price: bed.USD(15_000)}, {FromSold: 200, Price: bed.USD(18_000)}}
	bed.Write(t, s, func(tx studio.Tx) (err error) { want.ID, err = tx.Declare(want); return err })
	bed.Read(t, s, func(tx studio.Tx) error {
		got, err := tx.Edition(want.ID)
		bed.Same(t, "edition", want, got)
		return err
	})
}

func repriceAlone(t *testing.T, s studio.Store) {
	h := bed.Furnished(t, s)
	want := h.Print(10)
	want.ID = h.Declare(t, s, 10)
	changed := want
	changed.Limit, changed.Proofs, changed.Grade, changed.Closed, changed.Paper = 9999, edition.Proofs{AP: 50}, "other", true, "other"
	changed.Price, changed.Steps, changed.PrintCost = bed.USD(1), []edition.PriceStep{{FromSold: 1, Price: bed.USD(2)}}, bed.USD(3)
	bed.Write(t, s, func(tx studio.Tx) error { return tx.Reprice(changed) })
	want.Price, want.Steps, want.PrintCost = changed.Price, changed.Steps, changed.PrintCost
	bed.Read(t, s, func(tx studio.Tx) error {
		got, err := tx.Edition(want.ID)
		bed.Same(t, "edition", want, got)
		return err
	})
}

func closedStays(t *testing.T, s studio.Store) {
	h := bed.Furnished(t, s)
	id := h.Declare(t, s, 3)
	for range 2 {
		bed.Write(t, s, func(tx studio.Tx) error { return tx.CloseEdition(id) })
	}
	bed.Write(t, s, func(tx studio.Tx) error { return tx.Reprice(edition.Edition{ID: id}) })
	bed.Read(t, s, func(tx studio.Tx) error {
		e, err := tx.Edition(id)
		bed.Same(t, "closed", true, e.Closed)
		return err
	})
}

func declaredFree(t *testing.T, s studio.Store) {
	h := bed.Furnished(t, s)
	e := h.Print(12)
	e.Proofs = edition.Proofs{AP: 2, PP: 1, HC: 2, BAT: 1}
	bed.Write(t, s, func(tx studio.Tx) (err error) { e.ID, err = tx.Declare(e); return err })
	bed.Read(t, s, func(tx studio.Tx) error {
		rows, err := tx.Numbers(e.ID)
		if err != nil {
			return err
		}
		var got []edition.Number
		for _, r := range rows {
			bed.Same(t, "standing of "+r.Number.String(), edition.FreshStanding(), r.Standing)
			got = append(got, r.Number)
		}
		var want []edition.Number
		for _, k := range edition.Kinds() {
			for n := 1; n <= e.Count(k); n++ {
				want = append(want, edition.Number{Kind: k, N: n})
			}
		}
		bed.Same(t, "numbers in order", want, got)
		counts, err := tx.Counts()
		bed.Same(t, "counts", map[edition.State]int{edition.Free: 18}, counts[e.ID])
		return err
	})
	for _, n := range []edition.Number{bed.Num(0), bed.Num(13), {Kind: edition.AP, N: 3}, {}, {Kind: "XX", N: 1}} {
		bed.Refused(t, s, fault.Missing, func(tx studio.Tx) error { _, err := tx.Standing(e.ID, n); return err })
	}
}
