package store

import (
	"database/sql"
	"slices"

	"solander/fault"
	"solander/studio"
)

const parcelColumns = "id, order_id, lines, state, plan, warnings, service, estimated, estimated_currency, paid, paid_currency, " +
	"tracking, packed_on, labelled_on, handed_over_on, hand_over"

func parcelValues(p studio.Parcel) ([]any, error) {
	lines, err := asJSON(p.Lines)
	if err != nil {
		return nil, err
	}
	plan, err := asJSON(p.Plan)
	if err != nil {
		return nil, err
	}
	warnings, err := asJSON(p.Warnings)
	return []any{
		p.ID, p.Order, lines, p.State, plan, warnings, p.Service, p.Estimated.Minor, p.Estimated.Currency, p.Paid.Minor, p.Paid.Currency,
		p.Tracking, p.Packed, p.Labelled, p.HandedOver, optional(p.HandOver),
	}, err
}

func scanParcel(rows *sql.Rows) (p studio.Parcel, err error) {
	err = rows.Scan(&p.ID, &p.Order, inJSON{&p.Lines}, &p.State, inJSON{&p.Plan}, inJSON{&p.Warnings}, &p.Service,
		&p.Estimated.Minor, &p.Estimated.Currency, &p.Paid.Minor, &p.Paid.Currency,
		&p.Tracking, day{&p.Packed}, day{&p.Labelled}, day{&p.HandedOver}, reference{&p.HandOver})
	return p, err
}

func (t *tx) parcels(rest string, args ...any) ([]studio.Parcel, error) {
	out, err := list(t, scanParcel, selectFrom("parcels", parcelColumns, rest), args...)
	if err != nil {
		return nil, err
	}
	return out, t.sharers(out)
}

func (t *tx) AddParcel(p studio.Parcel) (int64, error) {
	if err := t.linesOf(p); err != nil {
		return 0, err
	}
	var err error
	if p.ID, err = t.next("parcels"); err != nil {
		return 0, err
	}
	values, err := parcelValues(p)
	if err != nil {
		return 0, err
	}
	_, err = t.exec(insertInto("parcels", parcelColumns), values...)
	if err != nil {
		return 0, when(err, foreign, missing("hand-over %d", p.HandOver))
	}
	return p.ID, t.putIn(p)
}

// putIn tells the lines which parcel they are in.
func (t *tx) putIn(p studio.Parcel) error {
	if err := t.staleParcel(p); err != nil {
		return err
	}
	if _, err := t.exec(`UPDATE lines SET parcel = NULL WHERE parcel = $1`, p.ID); err != nil {
		return err
	}
	for _, l := range p.Lines {
		if _, err := t.exec(`UPDATE lines SET parcel = $2 WHERE id = $1`, l, p.ID); err != nil {
			return err
		}
	}
	return nil
}

func (t *tx) Parcel(id int64) (studio.Parcel, error) {
	out, err := t.parcels("WHERE id = $1", id)
	return only(out, err, "parcel %d", id)
}

func (t *tx) Parcels(orderID int64) ([]studio.Parcel, error) {
	return t.parcels("WHERE order_id = $1 OR id IN (SELECT parcel FROM lines WHERE order_id = $1 AND parcel IS NOT NULL) ORDER BY id", orderID)
}

func (t *tx) ParcelsTracked(tracking string) ([]studio.Parcel, error) {
	return t.parcels("WHERE tracking = $1 AND tracking <> '' ORDER BY id", tracking)
}

func (t *tx) OpenParcels() ([]studio.Parcel, error) {
	return t.parcels("WHERE state <> 'handed-over' ORDER BY id")
}

func (t *tx) SaveParcel(p studio.Parcel) error {
	before, err := t.Parcel(p.ID)
	if err != nil {
		return err
	}
	if err := t.linesOf(p); err != nil {
		return err
	}
	values, err := parcelValues(p)
	if err != nil {
		return err
	}
	err = t.change("parcel", p.ID, updateOf("parcels", parcelColumns), values...)
	if err != nil {
		return when(err, foreign, missing("hand-over %d", p.HandOver))
	}
	if before.Order == p.Order && slices.Equal(before.Lines, p.Lines) {
		return t.staleParcel(p)
	}
	if err := t.staleParcel(before); err != nil {
		return err
	}
	return t.putIn(p)
}

// DropParcel unpacks a parcel. Faults: Refused when it was handed over.
func (t *tx) DropParcel(id int64) error {
	p, err := t.Parcel(id)
	if err != nil {
		return err
	}
	if p.State == studio.HandedOver || p.HandOver != 0 {
		return fault.New(fault.Refused, "this parcel was handed over").At("parcel %d", id).ToMend("undo the hand-over first")
	}
	if err := t.staleParcel(p); err != nil {
		return err
	}
	if _, err := t.exec(`UPDATE lines SET parcel = NULL WHERE parcel = $1`, id); err != nil {
		return err
	}
	return t.change("parcel", id, `DELETE FROM parcels WHERE id = $1`, id)
}

// The count of parcels is read from the parcels.
const selectHandOver = `SELECT h.id, h.day, h.note, (SELECT count(*) FROM parcels p WHERE p.hand_over = h.id) FROM hand_overs h `

func scanHandOver(rows *sql.Rows) (h studio.HandOver, err error) {
	err = rows.Scan(&h.ID, day{&h.Day}, &h.Note, &h.Parcels)
	return h, err
}

func (t *tx) AddHandOver(h studio.HandOver) (int64, error) {
	id, err := t.next("hand_overs")
	if err != nil {
		return 0, err
	}
	_, err = t.exec(`INSERT INTO hand_overs (id, day, note) VALUES ($1, $2, $3)`, id, h.Day, h.Note)
	return id, err
}

func (t *tx) HandOvers(limit int) ([]studio.HandOver, error) {
	if limit <= 0 {
		limit = 50
	}
	return list(t, scanHandOver, selectHandOver+"ORDER BY h.id DESC LIMIT $1", limit)
}

func (t *tx) HandOver(id int64) (studio.HandOver, []studio.Parcel, error) {
	out, err := list(t, scanHandOver, selectHandOver+"WHERE h.id = $1", id)
	h, err := only(out, err, "hand-over %d", id)
	if err != nil {
		return h, nil, err
	}
	parcels, err := t.parcels("WHERE hand_over = $1 ORDER BY id", id)
	return h, parcels, err
}

// DropHandOver takes a hand-over back. Faults: Refused while a parcel belongs to it.
func (t *tx) DropHandOver(id int64) error {
	h, _, err := t.HandOver(id)
	if err != nil {
		return err
	}
	inUse := fault.New(fault.Refused, "%d parcels belong to this hand-over", h.Parcels).At("hand-over %d", id).ToMend("take them out of it first")
	if h.Parcels > 0 {
		return inUse
	}
	return when(t.change("hand-over", id, `DELETE FROM hand_overs WHERE id = $1`, id), foreign, inUse)
}
