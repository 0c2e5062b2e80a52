// Package parcels keeps parcels, which lines lie in them, and hand-overs. A parcel may hold lines of several orders.
package parcels

import (
	"database/sql"
	"encoding/json"
	"slices"

	"solander/calendar"
	"solander/fault"
	"solander/ledger"
	"solander/measure"
	"solander/store/engine"
	"solander/store/table"
	"solander/store/words"
	"solander/studio"
)

// Parcels are the parcels. What a parcel was packed by stays: its plan and its warnings, its wrap and what was to weigh how much.
var Parcels = table.Make("parcels", "parcel", func(p *studio.Parcel) table.Columns {
	return table.Columns{
		"id", &p.ID, "order_id", &p.Order, "lines", table.JSON(&p.Lines), "state", &p.State,
		"plan", table.Once(table.JSON(&p.Plan)), "warnings", table.Once(table.JSON(&p.Warnings)), "service", &p.Service,
		"estimated", &p.Estimated, "paid", &p.Paid, "tracking", &p.Tracking, "packed_on", &p.Packed,
		"labelled_on", &p.Labelled, "handed_over_on", &p.HandedOver, "hand_over", table.Ref(&p.HandOver),
		"wrap", table.Once(&p.Wrap), "wrap_mass", table.Once(&p.WrapMass), "bare_mass", table.Once(&p.Bare), "weighed", &p.Weighed,
	}
})

// HandOvers are the hand-overs; how many parcels belong to one is read from the parcels.
var HandOvers = table.Make("hand_overs", "hand-over", func(h *studio.HandOver) table.Columns {
	return table.Columns{"id", &h.ID, "day", &h.Day, "note", &h.Note}
})

// ParcelRows are parcels and hand-overs within one transaction.
type ParcelRows struct {
	conn  *table.Conn
	index *words.Index
	held  map[int64]holding // by parcels, as they were read or written last
}

// holding is what a parcel holds, and of which order it is.
type holding struct {
	order int64
	lines []int64
}

// New are the parcels of a transaction.
func New(c *table.Conn, x *words.Index) *ParcelRows {
	return &ParcelRows{c, x, map[int64]holding{}}
}

func (t *ParcelRows) parcels(rest string, args ...any) ([]studio.Parcel, error) {
	out, err := Parcels.List(t.conn, rest, args...)
	if err != nil {
		return nil, err
	}
	for _, p := range out {
		t.remember(p)
	}
	return out, t.sharers(out)
}

func (t *ParcelRows) remember(p studio.Parcel) {
	if t.conn.MayWrite() == nil {
		t.held[p.ID] = holding{p.Order, slices.Clone(p.Lines)}
	}
}

func (t *ParcelRows) AddParcel(p studio.Parcel) (int64, error) {
	of, err := t.linesOf(p)
	if err != nil {
		return 0, err
	}
	if p.ID, err = Parcels.Add(t.conn, p); err != nil {
		return 0, engine.When(err, engine.Foreign, engine.Missing("hand-over %d", p.HandOver))
	}
	t.stale(p.Order, of)
	t.conn.Added(ledger.Parcel, p.ID)
	t.conn.Touch(ledger.Parcel, p.ID)
	return p.ID, t.putIn(p)
}

// putIn tells lines which parcel they are in.
func (t *ParcelRows) putIn(p studio.Parcel) error {
	t.remember(p)
	for _, l := range p.Lines {
		if _, err := t.conn.Exec(`UPDATE lines SET parcel = $2 WHERE id = $1`, l, p.ID); err != nil {
			return err
		}
	}
	return nil
}

func (t *ParcelRows) Parcel(id int64) (studio.Parcel, error) {
	out, err := t.parcels("WHERE id = $1", id)
	return table.Only(out, err, "parcel %d", id)
}

func (t *ParcelRows) Parcels(orderID int64) ([]studio.Parcel, error) {
	return t.parcels("WHERE id IN (SELECT id FROM parcels WHERE order_id = $1 UNION SELECT parcel FROM lines WHERE order_id = $1 AND parcel IS NOT NULL) ORDER BY id", orderID)
}

func (t *ParcelRows) ParcelsTracked(tracking string) ([]studio.Parcel, error) {
	return t.parcels("WHERE tracking = $1 AND tracking <> '' ORDER BY id", tracking)
}

func (t *ParcelRows) OpenParcels() ([]studio.Parcel, error) {
	return t.parcels("WHERE state <> 'handed-over' ORDER BY id")
}

func (t *ParcelRows) Weighings(wrap string, own measure.Mass, limit int) ([]studio.Weighing, error) {
	return table.List(t.conn, func(rows *sql.Rows) (w studio.Weighing, err error) {
		err = rows.Scan(&w.Parcel, &w.Bare, &w.Weighed)
		return w, err
	}, `SELECT id, bare_mass, weighed FROM parcels WHERE wrap = $1 AND weighed > 0
		AND id > coalesce((SELECT max(id) FROM parcels WHERE wrap = $1 AND wrap_mass <> $2), 0) ORDER BY id DESC LIMIT $3`, wrap, int64(own), limit)
}

// SaveParcel saves everything of a parcel but what it was packed by. Faults: Missing.
func (t *ParcelRows) SaveParcel(p studio.Parcel) error {
	before, err := t.holds(p.ID)
	if err != nil {
		return err
	}
	same := before.order == p.Order && slices.Equal(before.lines, p.Lines)
	var of map[int64]int64
	if !same || len(p.Lines) > 1 { // the only line of a parcel is of its order
		if of, err = t.linesOf(p); err != nil {
			return err
		}
	}
	if err := Parcels.Change(t.conn, p); err != nil {
		return engine.When(err, engine.Foreign, engine.Missing("hand-over %d", p.HandOver))
	}
	t.stale(p.Order, of)
	t.conn.Touch(ledger.Parcel, p.ID)
	if same {
		return nil
	}
	if err := t.empty(p.ID, before); err != nil {
		return err
	}
	return t.putIn(p)
}

// holds is what a parcel holds in this transaction, which alone writes until it ends. Faults: Missing.
func (t *ParcelRows) holds(id int64) (holding, error) {
	if h, ok := t.held[id]; ok {
		return h, nil
	}
	p, err := t.Parcel(id)
	return holding{p.Order, p.Lines}, err
}

// empty takes the lines of a parcel out of it.
func (t *ParcelRows) empty(id int64, h holding) error {
	of, err := t.ordersOf(h.lines)
	if err != nil {
		return err
	}
	t.stale(h.order, of)
	_, err = t.conn.Exec(`UPDATE lines SET parcel = NULL WHERE parcel = $1`, id)
	return err
}

// DropParcel unpacks a parcel. Faults: Refused when it was handed over.
func (t *ParcelRows) DropParcel(id int64) error {
	p, err := t.Parcel(id)
	if err != nil {
		return err
	}
	if p.State == studio.HandedOver || p.HandOver != 0 {
		return fault.New(fault.Refused, "this parcel was handed over").At("parcel %d", id).ToMend("undo the hand-over first")
	}
	delete(t.held, id)
	t.conn.Touch(ledger.Parcel, id)
	if err := t.empty(id, holding{p.Order, p.Lines}); err != nil {
		return err
	}
	return Parcels.Drop(t.conn, id)
}

// AddHandOver adds a hand-over.
func (t *ParcelRows) AddHandOver(h studio.HandOver) (int64, error) { return HandOvers.Add(t.conn, h) }

func (t *ParcelRows) handOvers(rest string, args ...any) ([]studio.HandOver, error) {
	return HandOvers.Read(t.conn, "SELECT "+HandOvers.Under("h")+", (SELECT count(*) FROM parcels p WHERE p.hand_over = h.id) FROM hand_overs h "+rest, args,
		func(h *studio.HandOver) any { return &h.Parcels })
}

// HandOvers returns the latest hand-overs; limit 0 = 50.
func (t *ParcelRows) HandOvers(limit int) ([]studio.HandOver, error) {
	if limit <= 0 {
		limit = 50
	}
	return t.handOvers("ORDER BY h.id DESC LIMIT $1", limit)
}

func (t *ParcelRows) HandOver(id int64) (studio.HandOver, []studio.Parcel, error) {
	out, err := t.handOvers("WHERE h.id = $1", id)
	h, err := table.Only(out, err, "hand-over %d", id)
	if err != nil {
		return h, nil, err
	}
	parcels, err := t.parcels("WHERE hand_over = $1 ORDER BY id", id)
	return h, parcels, err
}

// Went lets the engine look into the plans: read and taken apart one by one, those of a year take twice as long.
func (t *ParcelRows) Went(since calendar.Day) ([]studio.Went, error) {
	return table.List(t.conn, func(rows *sql.Rows) (w studio.Went, err error) {
		var planned string
		if err = rows.Scan(&planned, &w.Service, &w.Estimated.Currency, &w.Paid.Currency, &w.Parcels, &w.Estimated.Minor, &w.Paid.Minor); err != nil {
			return w, err
		}
		return w, json.Unmarshal([]byte(planned), &[...]any{&w.Card, &w.Planned, &w.Zone, &w.Size, &w.Billed})
	}, `SELECT `+t.conn.Dialect.Fields("p.plan", "card", "service", "zone", "size", "billed")+`, p.service, p.estimated_currency, p.paid_currency, count(*), CAST(sum(p.estimated) AS BIGINT), CAST(sum(p.paid) AS BIGINT)
		FROM parcels p JOIN hand_overs h ON h.id = p.hand_over WHERE h.day >= $1 AND p.paid <> 0 GROUP BY 1, 2, 3, 4 ORDER BY 1, 2, 3, 4`, since.String())
}

// DropHandOver takes a hand-over back. Faults: Refused while a parcel belongs to it.
func (t *ParcelRows) DropHandOver(id int64) error {
	h, _, err := t.HandOver(id)
	if err != nil {
		return err
	}
	inUse := fault.New(fault.Refused, "%d parcels belong to this hand-over", h.Parcels).At("hand-over %d", id).ToMend("take them out of it first")
	if h.Parcels > 0 {
		return inUse
	}
	return engine.When(HandOvers.Drop(t.conn, id), engine.Foreign, inUse)
}
