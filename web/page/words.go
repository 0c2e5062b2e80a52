package page

import (
	"time"

	"solander/calendar"
	"solander/edition"
	"solander/measure"
	"solander/order"
	"solander/packing"
	"solander/papers"
	"solander/studio"
)

// words of the states of a number.
// ShowLoose asks an edition's page for the signed numbers that nobody has.
const ShowLoose = "loose"

var StateWords = map[edition.State]string{
	edition.Free: "free", edition.Promised: "promised", edition.Signed: "signed", edition.Sent: "sent",
	edition.Returned: "returned", edition.Spoilt: "spoilt", edition.Kept: "kept", edition.Withdrawn: "withdrawn",
	edition.Consigned: "consigned", edition.SoldThere: "sold by a gallery", // a sheet of numbers draws it as "sold-there"
}

// OrderRow is one order in a list.
type OrderRow struct {
	studio.OrderRow
	Word string
	By   string // the promise; with its year when that is not plain
	Lies string // what it has or wants of the drawer; "" = not asked for
}

func RowsOf(rows []studio.OrderRow, today calendar.Day) []OrderRow {
	var out []OrderRow
	for _, r := range rows {
		word := r.Stage.Words()
		if r.Stage == order.Done {
			word = string(r.State)
		}
		out = append(out, OrderRow{OrderRow: r, Word: word, By: near(r.Promised, today)})
	}
	return out
}

// near prints a day as it is read beside today: without its year within half a year, else with it.
func near(d, today calendar.Day) string {
	if away := d.Sub(today); away < -182 || away > 182 {
		return d.Long()
	}
	return d.Short()
}

// ItemSize prints the inner size of an item.
func ItemSize(it packing.Item, u measure.System) string {
	switch it.Kind {
	case packing.Tube:
		return it.Diameter.In(u) + " wide, " + it.Length.In(u) + " long"
	case packing.Carton:
		return papers.Sides(u, it.Length, it.Width, it.Height)
	}
	return papers.Sides(u, it.Width, it.Height)
}

// DayIn is the day of an instant in the studio's time zone; no day for none.
func DayIn(t time.Time, set studio.Settings) calendar.Day {
	if t.IsZero() {
		return calendar.Day{}
	}
	return calendar.In(t, set.Place())
}
