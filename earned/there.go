package earned

import (
	"slices"

	"solander/earnings"
)

// lots are the sums of a query by lots, with the prints that galleries sold among those of their editions, their outlets and of no order.
func (t *Earned) lots(q earnings.Query) ([]earnings.LotSum, error) {
	sums, err := t.SumsOfLots(q)
	if err != nil {
		return nil, err
	}
	there, err := t.SoldThere(q.From, q.To)
	if err != nil {
		return nil, err
	}
	for _, x := range there {
		of := earnings.LotSum{Part: earnings.Price, Prints: x.Prints}
		of.Amount.Currency = x.Currency
		switch q.By {
		case earnings.LotEdition:
			of.ID = x.Edition
		case earnings.LotOutlet:
			of.ID = x.Outlet
		}
		same := func(s earnings.LotSum) bool {
			return s.ID == of.ID && s.Text == of.Text && s.Amount.Currency == x.Currency
		}
		if i := slices.IndexFunc(sums, same); i >= 0 { // among the facts of its lot, which come together
			sums = slices.Insert(sums, i, of)
		}
	}
	return sums, nil
}
