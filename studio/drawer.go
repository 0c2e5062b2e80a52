package studio

import (
	"context"
	"fmt"

	"solander/bench"
	"solander/edition"
	"solander/fault"
	"solander/order"
	"solander/supply"
)

// drawer is what lies in the drawer and for whom, as of one transaction.
type drawer struct {
	orders  []order.Order // open ones
	onHand  map[int64]int // every sheet, by edition
	loose   map[int64]int // of them: signed ones that no order holds
	runs    []supply.Run
	sheets  bench.Sheets
	parcels map[int64][]Parcel // not handed over, by order
}

// drawer reads the open orders, the sheets and the open runs, and gives the sheets to the orders.
func (t *turn) drawer() (*drawer, error) {
	d := &drawer{parcels: map[int64][]Parcel{}}
	var err error
	if d.orders, err = t.OpenOrders(); err != nil {
		return nil, err
	}
	if d.onHand, err = t.OnHand(); err != nil {
		return nil, err
	}
	if d.runs, err = t.Runs(true); err != nil {
		return nil, err
	}
	counts, err := t.Counts()
	if err != nil {
		return nil, err
	}
	parcels, err := t.OpenParcels()
	if err != nil {
		return nil, err
	}
	for _, p := range parcels {
		for _, id := range p.OrderIDs() {
			d.parcels[id] = append(d.parcels[id], p)
		}
	}
	d.loose = loose(counts, d.orders)
	d.sheets = bench.SheetsOf(d.orders, d.usable(), d.runs)
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

// usable is the sheets that orders may have: see bench.State.OnHand.
func (d *drawer) usable() map[int64]int {
	out := map[int64]int{}
	for ed, n := range d.onHand {
		out[ed] = n - d.loose[ed]
	}
	return out
}

// signed counts the signed sheets of an edition in the drawer: a count cannot fall below them.
func (d *drawer) signed(ed int64) int {
	n := d.loose[ed]
	for _, o := range d.orders {
		for _, l := range bench.Pending(o) {
			if l.Edition == ed && l.Signed {
				n++
			}
		}
	}
	return n
}

// spare counts the unsigned sheets of an edition that no open order has.
func (d *drawer) spare(ed int64) int {
	n := d.onHand[ed] - d.loose[ed]
	for _, o := range d.orders {
		for _, l := range bench.Pending(o) {
			if l.Edition == ed && d.sheets.Has[l.ID] {
				n--
			}
		}
	}
	return n
}

func (d *drawer) stage(o order.Order) order.Stage {
	var labelled []bool
	for _, p := range d.parcels[o.ID] {
		labelled = append(labelled, p.State == Labelled)
	}
	return bench.StageOf(o, d.sheets.Has, labelled)
}

// DrawerRow is one edition in the drawer.
type DrawerRow struct {
	EditionRow
	Claimed int `json:"claimed"` // open lines that have a sheet
	Loose   int `json:"loose"`   // signed sheets of numbers that no line holds: they serve no other number
	Waiting int `json:"waiting"` // open lines that wait for one, be it for money or for the lab
}

// Drawer lists the editions with their sheets.
func (s *Studio) Drawer(ctx context.Context) ([]DrawerRow, error) {
	var out []DrawerRow
	err := s.read(ctx, func(t *turn) error {
		rows, err := t.editionRows()
		if err != nil {
			return err
		}
		d, err := t.drawer()
		if err != nil {
			return err
		}
		out = d.rows(rows)
		return nil
	})
	return out, err
}

func (d *drawer) rows(rows []EditionRow) []DrawerRow {
	out := make([]DrawerRow, len(rows))
	at := map[int64]*DrawerRow{}
	for i, r := range rows {
		out[i].EditionRow, out[i].Loose = r, d.loose[r.ID]
		at[r.ID] = &out[i]
	}
	for _, o := range d.orders {
		for _, l := range bench.Pending(o) {
			switch row := at[l.Edition]; {
			case row == nil:
			case d.sheets.Has[l.ID]:
				row.Claimed++
			default:
				row.Waiting++
			}
		}
	}
	return out
}

// CountSheets sets the drawer to what was counted: every sheet of the edition in the drawer, signed or
// not. Faults: Invalid, Missing, Refused when fewer were counted than are signed.
func (s *Studio) CountSheets(ctx context.Context, ed int64, counted int, reason string) error {
	if err := countable(counted, reason); err != nil {
		return err
	}
	return s.write(ctx, func(t *turn) error {
		e, err := t.edition(ed)
		if err != nil {
			return err
		}
		d, err := t.drawer()
		if err != nil {
			return err
		}
		if n := d.signed(ed); counted < n {
			return fault.New(fault.Refused, "%d sheets were counted, but %d signed ones must be there", counted, n).At("%s", e.Name(t.set.Units)).In("counted").
				ToMend("count again, or mark the signed sheets that are lost as spoilt")
		}
		if err := t.sheets(e, counted-d.onHand[ed], "counted: "+reason); err != nil {
			return err
		}
		return t.note(0, "%s counted: %d, before %d", e.Name(t.set.Units), counted, d.onHand[ed])
	})
}

func countable(counted int, reason string) error {
	var l fault.List
	l.Check(counted >= 0 && counted <= supply.MaxSheets, "counted", fmt.Sprintf("%d is not a possible count", counted), fmt.Sprintf("use 0 to %d", supply.MaxSheets))
	l.Add(reasonGiven(reason))
	return l.Err()
}

// mostMoves bounds a list of moves.
const mostMoves = 200

// Moves lists the latest moves of a stock, newest first.
func (s *Studio) Moves(ctx context.Context, kind supply.MoveKind, of int64) ([]supply.Move, error) {
	if kind != supply.Sheets && kind != supply.Packaging {
		return nil, fault.Invalidf("kind", "%.20q is not a stock", string(kind)).ToMend("use sheets or packaging")
	}
	var out []supply.Move
	err := s.read(ctx, func(t *turn) (err error) {
		out, err = t.Moves(kind, of, mostMoves)
		return err
	})
	return out, err
}
