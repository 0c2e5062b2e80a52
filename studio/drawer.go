package studio

import (
	"solander/bench"
	"solander/edition"
	"solander/order"
	"solander/supply"
)

// Drawer is what lies in the drawer and for whom, as of one transaction.
type Drawer struct {
	Orders  []order.Order // open ones
	OnHand  map[int64]int // every sheet, by edition
	Loose   map[int64]int // of them: signed ones that no order holds
	Runs    []supply.Run
	Sheets  bench.Sheets
	parcels map[int64][]Parcel // not handed over, by order
}

// Drawer reads the open orders, the sheets and the open runs, and gives the sheets to the orders.
func (t *Turn) Drawer() (*Drawer, error) {
	d := &Drawer{parcels: map[int64][]Parcel{}}
	var err error
	if d.Orders, err = t.Tx.OpenOrders(); err != nil {
		return nil, err
	}
	if d.OnHand, err = t.Tx.OnHand(); err != nil {
		return nil, err
	}
	if d.Runs, err = t.Tx.Runs(true); err != nil {
		return nil, err
	}
	counts, err := t.Tx.Counts()
	if err != nil {
		return nil, err
	}
	parcels, err := t.Tx.OpenParcels()
	if err != nil {
		return nil, err
	}
	for _, p := range parcels {
		for _, id := range p.OrderIDs() {
			d.parcels[id] = append(d.parcels[id], p)
		}
	}
	d.Loose = loose(counts, d.Orders)
	d.Sheets = bench.SheetsOf(d.Orders, d.Usable(), d.Runs)
	return d, nil
}

// loose counts the signed sheets in the drawer that no order holds, by edition: they carry a number and
// cannot serve another one.
func loose(counts map[int64]map[edition.State]int, open []order.Order) map[int64]int {
	out := map[int64]int{}
	for ed, c := range counts {
		out[ed] = c[edition.Signed] + c[edition.Returned]
	}
	for _, o := range open {
		for _, l := range bench.Pending(o) {
			if l.Signed && !l.Number.IsZero() {
				out[l.Edition]--
			}
		}
	}
	return out
}

// Usable is the sheets that orders may have: see bench.State.OnHand.
func (d *Drawer) Usable() map[int64]int {
	out := map[int64]int{}
	for ed, n := range d.OnHand {
		out[ed] = n - d.Loose[ed]
	}
	return out
}

// Signed counts the signed sheets of an edition in the drawer: a count cannot fall below them.
func (d *Drawer) Signed(ed int64) int {
	n := d.Loose[ed]
	for _, o := range d.Orders {
		for _, l := range bench.Pending(o) {
			if l.Edition == ed && l.Signed {
				n++
			}
		}
	}
	return n
}

// Spare counts the unsigned sheets of an edition that no open order has.
func (d *Drawer) Spare(ed int64) int {
	n := d.OnHand[ed] - d.Loose[ed]
	for _, o := range d.Orders {
		claimed, _ := d.Spoken(o, ed)
		n -= claimed
	}
	return n
}

// Stage is how far an order is, by money, sheets and signatures.
func (d *Drawer) Stage(o order.Order) order.Stage {
	var labelled []bool
	for _, p := range d.parcels[o.ID] {
		labelled = append(labelled, p.State == Labelled)
	}
	return bench.StageOf(o, d.Sheets.Has, labelled)
}

// DrawerRow is one edition in the drawer.
type DrawerRow struct {
	EditionRow
	Claimed int `json:"claimed"` // open lines that have a sheet
	Loose   int `json:"loose"`   // signed sheets of numbers that no line holds: they serve no other number
	Waiting int `json:"waiting"` // open lines that wait for one, be it for money or for the lab
}

// Spoken counts the sheets of an edition that an order has, and those that it waits for.
func (d *Drawer) Spoken(o order.Order, ed int64) (claimed, waiting int) {
	d.spoken(o, func(of int64, has bool) {
		switch {
		case of != ed:
		case has:
			claimed++
		default:
			waiting++
		}
	})
	return claimed, waiting
}

// spoken tells of each line to come of an order of which edition it is, and whether it has a sheet.
func (d *Drawer) spoken(o order.Order, tell func(ed int64, has bool)) {
	for _, l := range bench.Pending(o) {
		tell(l.Edition, d.Sheets.Has[l.ID])
	}
}

// Rows are the editions with what the drawer holds and what is spoken for.
func (d *Drawer) Rows(rows []EditionRow) []DrawerRow {
	out := make([]DrawerRow, len(rows))
	at := map[int64]*DrawerRow{}
	for i, r := range rows {
		out[i].EditionRow, out[i].Loose = r, d.Loose[r.ID]
		at[r.ID] = &out[i]
	}
	for _, o := range d.Orders {
		d.spoken(o, func(ed int64, has bool) {
			switch row := at[ed]; {
			case row == nil:
			case has:
				row.Claimed++
			default:
				row.Waiting++
			}
		})
	}
	return out
}
