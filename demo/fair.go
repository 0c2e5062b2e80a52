package demo

import (
	"solander/book"
	"solander/dispatch"
	"solander/fair"
	table "solander/fairs"
	"solander/fault"
	"solander/money"
	"solander/order"
	"solander/studio"
)

// soldAtTable is what the till sells on the day at a table, a print each: by which editions, the likelier first, and how each was paid.
var (
	atTable     = []int{0, 12, 2, 26, 19, 8, 11, 4, 13, 18, 21, 15, 23, 7, 16}
	soldAtTable = []order.How{order.InCash, order.ByCard, order.InCash, order.Another, order.ByCard, order.InCash}
)

// standsAtTable is a day at a table: begun with a float, sold at by the till, with what it cost, and counted with a little off.
func (p *past) standsAtTable(st *studio.Studio) error {
	d, err := table.Begin(p.ctx, st, fair.Day{Outlet: p.outlets[fairs].ID, Name: "Harvest fair, Cinder Gap", Float: dollars(6000)})
	if err != nil {
		return err
	}
	if err := p.sellAtTable(st); err != nil {
		return err
	}
	for _, c := range []fair.Cost{
		{FairDay: d.ID, Kind: fair.Stall, Amount: dollars(3500), FromBox: true, Note: "a table under the linden"},
		{FairDay: d.ID, Kind: fair.Travel, Amount: dollars(640), FromBox: true},
	} {
		if _, err := table.AddCost(p.ctx, st, c); err != nil {
			return err
		}
	}
	v, err := table.Day(p.ctx, st, d.ID)
	if err != nil {
		return err
	}
	counted := money.Of(v.Box.Minor-200, currency)
	_, err = table.Count(p.ctx, st, table.CountIn{Day: d.ID, Counted: counted, Why: "two dollars too much change", Minutes: 7 * 60})
	return err
}

// sellAtTable sells a print of editions that lie in the drawer for nobody, until all are sold.
func (p *past) sellAtTable(st *studio.Studio) error {
	d, err := p.t.Drawer()
	if err != nil {
		return err
	}
	left := soldAtTable
	for _, at := range atTable {
		s := p.stocks[at]
		if len(left) == 0 {
			return nil
		}
		if s == nil || d.Spare(s.ed.ID) < 2 {
			continue
		}
		in := book.Sale{Outlet: p.outlets[fairs].ID, Placed: p.day, Postage: dollars(0), Tax: dollars(0), Paid: dollars(0), PaidHow: left[0]}
		in.Lines = []book.SaleLine{{Edition: s.ed.ID}}
		if _, err := dispatch.SellInPerson(p.ctx, st, in); err != nil {
			return err
		}
		left = left[1:]
	}
	if len(left) > 0 {
		return fault.New(fault.Internal, "%d prints of the demo's table had no sheet", len(left))
	}
	return nil
}
