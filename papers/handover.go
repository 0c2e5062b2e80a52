package papers

import (
	"cmp"
	"slices"
	"strings"

	"solander/money"
)

// HandOverList goes with a day's parcels to the operator: what was handed over, to be signed for.
type HandOverList struct {
	Head
	Note     string
	Rows     []HandOverRow
	Services []ServiceSum // by name
	Total    string       // postage of all parcels; one sum a currency
}

// Title names the paper.
func (HandOverList) Title() string { return "Hand-over list" }

// HandOverRow is one parcel.
type HandOverRow struct {
	Mark     string
	To       string // "Ada Quill, Roanoke VA"
	Service  string
	Tracking string
	Verified string // the standard by which its check digit was verified; "" = none
	Postage  string
}

// ServiceSum counts the parcels of one service.
type ServiceSum struct {
	Service string
	Parcels int
	Postage string
}

// HandOverIn is what a hand-over list is made of.
type HandOverIn struct {
	Note    string
	Parcels []HandedParcel
}

// HandedParcel is one parcel of the batch. Postage is what was paid for it.
type HandedParcel struct {
	Mark, To, Service, Tracking, Verified string
	Postage                               money.Amount
}

// HandOver returns the list of a batch, by service and mark.
func HandOver(h Head, in HandOverIn) HandOverList {
	l := HandOverList{Head: h, Note: in.Note}
	parcels := slices.Clone(in.Parcels)
	slices.SortStableFunc(parcels, func(a, b HandedParcel) int {
		return cmp.Or(strings.Compare(a.Service, b.Service), strings.Compare(a.Mark, b.Mark), strings.Compare(a.Tracking, b.Tracking))
	})
	var all, run []money.Amount
	for i, p := range parcels {
		l.Rows = append(l.Rows, HandOverRow{p.Mark, p.To, p.Service, p.Tracking, p.Verified, p.Postage.String()})
		all, run = append(all, p.Postage), append(run, p.Postage)
		if i == len(parcels)-1 || parcels[i+1].Service != p.Service {
			l.Services = append(l.Services, ServiceSum{p.Service, len(run), sums(run)})
			run = nil
		}
	}
	l.Total = sums(all)
	return l
}

// sums prints the sum of amounts, one for each currency, in their first order. A sum that does not fit
// is told as such rather than left out.
func sums(amounts []money.Amount) string {
	var totals []money.Amount
next:
	for _, a := range amounts {
		for i, t := range totals {
			if t.Currency != a.Currency {
				continue
			}
			sum, err := t.Add(a)
			if err != nil {
				return "too large to add up"
			}
			totals[i] = sum
			continue next
		}
		totals = append(totals, a)
	}
	texts := make([]string, len(totals))
	for i, t := range totals {
		texts[i] = t.String()
	}
	return strings.Join(texts, " + ")
}
