package desk

import (
	"fmt"
	"io"
	"strings"

	"solander/book"
	"solander/claims"
	"solander/currencies"
	"solander/measure"
	"solander/order"
	"solander/studio"
)

// ShowOrder shows an order whole, and as what it is owed in another currency, if it is.
func (d *Open) ShowOrder(v studio.OrderView) error {
	st, err := currencies.Of(d.Ctx, d.Studio, v.ID)
	if err != nil {
		return err
	}
	claimed, err := claims.OfOrder(d.Ctx, d.Studio, v.ID)
	if err != nil {
		return err
	}
	return d.Show(v, func(w io.Writer) {
		printOrder(w, v, d.Units())
		for _, c := range claimed {
			fmt.Fprintf(w, "claim %d, parcel %d: %s, %s; %s (solander claim show %d)\n", c.ID, c.Claim.Parcel, c.Kind.Words(), c.State.Words(), c.Made.Words(), c.ID)
		}
		if st.Agreed.Stands() {
			fmt.Fprintf(w, "agreed as %s, %s\n", st.Agreed.Total, st.InWords())
		}
		if st.Changed {
			fmt.Fprintln(w, "it was changed since: agree its total anew")
		}
	})
}

func printOrder(w io.Writer, v studio.OrderView, units measure.System) {
	fmt.Fprintf(w, "%s  %s  %s", v.Mark, v.BuyerData.Name, v.OutletName)
	if v.Ref != "" {
		fmt.Fprintf(w, "  %s", v.Ref)
	}
	fmt.Fprintf(w, "\n%s\n", standing(v))
	Table(w, func(row func(string, ...any)) {
		for _, l := range v.Views {
			row("  line %d\t%s\t%s\t%s\t%s", l.ID, l.Label, l.Ed.Name(units), l.Price, lineState(v.State, l))
		}
	})
	given := ""
	if g := v.Given(); g.Sign() > 0 {
		given = g.String() + " " + order.GivenInWords(g, v.Credited()) + ", "
	}
	fmt.Fprintf(w, "due %s, paid %s, %s%s\n", v.Due, v.Paid, given, order.OwedInWords(v.Owed))
	if v.InPerson {
		fmt.Fprintln(w, "handed over in person")
	} else {
		fmt.Fprintf(w, "to %s\n", OrText(strings.Join(v.ShipTo.Block(""), ", "), "no address"))
	}
	for _, doubt := range v.Doubts {
		fmt.Fprintf(w, "look at the address: %s\n", doubt.Text)
	}
	if v.GiftMessage != "" {
		fmt.Fprintf(w, "gift message: %s\n", OneLine(v.GiftMessage))
	}
	if v.Note != "" {
		fmt.Fprintf(w, "note: %s\n", OneLine(v.Note))
	}
	if v.Override != nil {
		fmt.Fprintf(w, "overridden: %s\n", OneLine(v.Override.Reason))
	}
	if v.Choice != nil {
		fmt.Fprintf(w, "goes the way that was chosen: %s\n", OneLine(v.Choice.Reason))
	}
	for _, l := range v.Lacks {
		fmt.Fprintf(w, "before it can go: %s (%s)\n", l.What, l.Mend)
	}
	for _, x := range v.LeftToTell() {
		fmt.Fprintf(w, "its buyer was not told: %s\n", x.Text)
	}
	for _, p := range v.Parcels {
		PrintParcel(w, p, units)
		if with := p.With(v.Mark); len(with) > 0 {
			fmt.Fprintf(w, "  together with %s; of its postage this order bears %s\n", strings.Join(with, ", "), p.PostageOf(v.Mark))
		}
	}
}

func standing(v studio.OrderView) string {
	s := fmt.Sprintf("%s, placed %s, promised by %s", v.State, v.Placed.Long(), v.Promised.Long())
	if v.State == order.Open {
		s = fmt.Sprintf("%s, %s", s, v.Stage.Words())
	}
	if v.Late > 0 {
		s += ", " + Late(fmt.Sprintf("%d late", v.Late))
	}
	return s
}

func lineState(of order.State, l studio.LineView) string {
	switch {
	case l.Dropped:
		return "dropped"
	case l.Sent:
		return "sent"
	case l.Signed:
		return "signed"
	case l.HasSheet:
		return "sheet on hand"
	case l.Coming != nil:
		return fmt.Sprintf("waits for run %d since %s, expected %s", l.Coming.Run, l.Coming.Since.Short(), l.Coming.Expected.Short())
	case of == order.Open && l.WaitsFor.IsZero():
		return "no sheet until something is paid"
	}
	return "no sheet"
}

func PrintParcel(w io.Writer, p studio.Parcel, units measure.System) {
	fmt.Fprintf(w, "parcel %d: %s, %s", p.ID, p.State, p.Service)
	about := "about "
	if p.HasLabel() {
		about = ""
	}
	fmt.Fprintf(w, ", postage %s%s", about, p.Postage())
	if p.Tracking != "" {
		fmt.Fprintf(w, ", %s", p.Tracking)
	}
	if p.Weighed > 0 {
		fmt.Fprintf(w, ", weighed %s", p.Weighed.In(units))
	}
	fmt.Fprintln(w)
	for _, warning := range p.Warnings {
		fmt.Fprintf(w, "  warning: %s\n", warning)
	}
}

// After shows an order as it stands once something was done to it.
func (d *Open) After(id int64) error {
	v, err := book.Order(d.Ctx, d.Studio, id)
	if err != nil {
		return err
	}
	return d.ShowOrder(v)
}
