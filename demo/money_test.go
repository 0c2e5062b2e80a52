package demo

import (
	"context"
	"strings"
	"testing"

	"solander/bankfile"
	"solander/banking"
	"solander/billing"
	"solander/calendar"
	"solander/certificate"
	"solander/certify"
	"solander/consign"
	"solander/consigning"
	"solander/currencies"
	"solander/dues"
	"solander/edition"
	"solander/exchange"
	table "solander/fairs"
	"solander/invoice"
	"solander/journal"
	"solander/ledger"
	"solander/order"
	"solander/owing"
	"solander/payouts"
	"solander/register"
	"solander/studio"
	"solander/tax"
	"solander/taxing"
)

// must ends the test at a fault of a use case.
func must[T any](t *testing.T) func(T, error) T {
	return func(v T, err error) T {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
}

// countMoney counts what there is of money.
func countMoney(t *testing.T, st *studio.Studio, n tally) {
	t.Helper()
	ctx := context.Background()
	for _, g := range must[[]consigning.View](t)(consigning.Galleries(ctx, st)) {
		n["galleries"]++
		n.add("galleries that owe", g.Owed.Sign() > 0)
		n.add("galleries, overdue", g.Overdue.Sign() > 0)
		n["prints at galleries, late"] += g.Late
		for _, p := range g.Prints {
			n["prints at galleries, "+string(p.State)]++
		}
		for _, m := range g.Moneys {
			n.add("paid by galleries", m.Kind == consign.Paid)
		}
	}
	for _, a := range must[[]banking.AccountView](t)(banking.Accounts(ctx, st)) {
		for _, s := range bankfile.States() {
			n["bank lines, "+string(s)] += a.Lines(s)
		}
		n["bank files"] += len(a.Files)
		n["bank lines known again"] += a.Files[0].Known
		for _, l := range must[[]banking.OpenLine](t)(banking.Open(ctx, st, a.ID)) {
			n.add("bank lines, proposed", l.Proposal != nil)
		}
	}
	for _, k := range invoice.Kinds() {
		n[k.Words()] = len(must[billing.Page](t)(billing.List(ctx, st, invoice.Query{Kind: k})).Bills)
	}
	for _, d := range must[[]table.View](t)(table.Days(ctx, st)) {
		n["days at a table"]++
		n.add("days at a table, counted", d.Ended && !d.Off.IsZero() && d.Why != "" && d.AnHour.Sign() > 0)
		for _, h := range order.Hows() {
			n.add("ways of paying at a table", d.Takings.By(h).Sign() > 0)
		}
		n["prints sold at a table"] += d.Prints
		n["costs of a table"] += len(d.Costs)
	}
	n["payouts"] = len(must[[]payouts.Row](t)(payouts.List(ctx, st, 0, 50)))
	n["resale certificates"] = len(must[[]taxing.Resale](t)(taxing.Resales(ctx, st, 0)))
	for _, r := range must[[]tax.Rate](t)(taxing.Rates(ctx, st)) {
		n["rates of tax"]++
		n.add("rates of tax that say that they are invented", strings.Contains(r.Source, "Invented"))
	}
	n["rates of exchange"] = len(must[[]exchange.Rate](t)(currencies.List(ctx, st, calendar.Day{}, calendar.Day{})))
	for _, f := range must[currencies.Gains](t)(currencies.Realised(ctx, st)).Payments {
		n.add("payments with a gain by the rate", f.Gain.Sign() > 0)
	}
	n["closed periods"] = len(must[[]ledger.Closing](t)(journal.Closed(ctx, st)))
	for _, x := range must[owing.Ageing](t)(dues.Owed(ctx, st)).Items {
		n.add("owed for long", x.Days > 30)
	}
}

// countProofs counts certificates and what is told of editions.
func countProofs(t *testing.T, st *studio.Studio, n tally) {
	t.Helper()
	ctx := context.Background()
	for _, w := range must[[]register.WorkView](t)(register.Works(ctx, st)) {
		for _, e := range w.Editions {
			said := must[certify.FactsView](t)(certify.Facts(ctx, st, e.ID)).Said
			n.add("editions with facts told", len(said) > 0)
			n.add("editions without", len(said) == 0)
			for _, c := range must[[]certify.Standing](t)(certify.OfNumber(ctx, st, e.ID, edition.Number{})) {
				n["certificates"]++
				for _, l := range must[certify.Provenance](t)(certify.ProvenanceOf(ctx, st, e.ID, c.Number)).Links {
					n.add("transfers told", l.What == string(certificate.Transferred) && l.Name != "")
				}
			}
		}
	}
}

func (n tally) foreign(v studio.OrderView) {
	for _, p := range v.Payments {
		n.add("paid in another currency", p.Kind != order.Refund && (strings.Contains(p.Note, " USD for one ") || strings.Contains(p.Note, ", worth ")))
	}
	n.add("charged tax", v.Tax.Sign() > 0 && !v.TaxByOutlet)
}
