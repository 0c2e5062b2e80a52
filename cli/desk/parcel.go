package desk

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"solander/book"
	"solander/fault"
	"solander/order"
	"solander/studio"
)

// ParcelNamed finds a parcel by its number, or by the order it is the only one of in those states.
func (d *Open) ParcelNamed(name string, states ...studio.ParcelState) (studio.Parcel, error) {
	if id, err := strconv.ParseInt(name, 10, 64); err == nil {
		return d.parcelByID(id)
	}
	o, err := d.OrderNamed(name)
	if err != nil {
		return studio.Parcel{}, err
	}
	var open []studio.Parcel
	var ids []string
	for _, p := range o.Parcels {
		if slices.Contains(states, p.State) {
			open, ids = append(open, p), append(ids, strconv.FormatInt(p.ID, 10))
		}
	}
	switch len(open) {
	case 1:
		return open[0], nil
	case 0:
		return studio.Parcel{}, noneOf(o, states)
	}
	return studio.Parcel{}, fault.Invalidf("parcel", "%s has %d such parcels: %s", o.Mark, len(open), strings.Join(ids, ", ")).ToMend("name the parcel by its number")
}

// noneOf says that an order has no parcel in those states, and which it has.
func noneOf(o studio.OrderView, states []studio.ParcelState) error {
	if len(o.Parcels) == 0 {
		return fault.New(fault.Refused, "nothing of it is packed").At("%s", o.Mark).In("parcel").ToMend("pack it first: solander pack %s", o.Mark)
	}
	var want, has []string
	for _, s := range states {
		want = append(want, string(s))
	}
	for _, p := range o.Parcels {
		has = append(has, fmt.Sprintf("parcel %d is %s", p.ID, p.State))
	}
	return fault.New(fault.Refused, "none of its parcels is %s: %s", strings.Join(want, " or "), strings.Join(has, ", ")).At("%s", o.Mark).In("parcel").
		ToMend("name a parcel by its number, or take a wrong mark back with solander undo")
}

// parcelByID finds an open parcel; its order is needed to show it afterwards.
func (d *Open) parcelByID(id int64) (studio.Parcel, error) {
	page, err := d.allOpen()
	if err != nil {
		return studio.Parcel{}, err
	}
	for _, r := range page {
		v, err := book.Order(d.Ctx, d.Studio, r.ID)
		if err != nil {
			return studio.Parcel{}, err
		}
		for _, p := range v.Parcels {
			if p.ID == id {
				return p, nil
			}
		}
	}
	return studio.Parcel{}, fault.New(fault.Missing, "there is no open parcel %d", id).In("parcel").ToMend("solander orders --stage label lists the orders that have one")
}

// allOpen lists all open orders.
func (d *Open) allOpen() ([]studio.OrderRow, error) {
	var rows []studio.OrderRow
	q := studio.OrderQuery{State: order.Open, Limit: 500}
	for {
		page, err := book.Orders(d.Ctx, d.Studio, q, "")
		if err != nil {
			return nil, err
		}
		rows = append(rows, page.Rows...)
		if page.Next == 0 {
			return rows, nil
		}
		q.Before = page.Next
	}
}
