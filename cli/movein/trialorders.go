package movein

import (
	"fmt"
	"io"
	"strings"

	"solander/calendar"
	"solander/cli/desk"
	"solander/fault"
	"solander/intake"
	"solander/measure"
	"solander/movein"
	"solander/order"
)

// The lists of a trial, whole: whoever reads the text knows what whoever reads the JSON knows.

// printLists prints the orders, and what of buyers, editions and outlets they name, the rows set aside and what the reader noticed.
func printLists(w io.Writer, tr movein.FileTrial) {
	list(w, "Orders, as they would be made:", len(tr.Proposals), func(i int) { printProposal(w, tr, tr.Proposals[i]) })
	list(w, "Buyers:", len(tr.Buyers), func(i int) { printNewBuyer(w, tr.Buyers[i]) })
	list(w, "Editions:", len(tr.Editions), func(i int) { printNewEdition(w, tr.Editions[i]) })
	list(w, "Outlets:", len(tr.Outlets), func(i int) {
		u := tr.Outlets[i]
		hang(w, "  ", u.Name+", "+newOrKnown(u.ID)+", "+fault.Count(u.Orders, "new order"))
	})
	list(w, "Rows set aside:", len(tr.SetAside), func(i int) {
		a := tr.SetAside[i]
		hang(w, "  ", fmt.Sprintf("%s (%s): %s", place(intake.Place{Sheet: a.Sheet, Row: a.Row}), a.Rule, a.Why))
		printCells(w, a.Cells)
	})
	list(w, "Noticed while reading:", len(tr.Findings), func(i int) { printFinding(w, tr.Findings[i]) })
}

func list(w io.Writer, head string, n int, one func(int)) {
	if n > 0 {
		fmt.Fprintf(w, "\n%s\n", head)
	}
	for i := range n {
		one(i)
	}
}

func newOrKnown(id int64) string {
	if id == 0 {
		return "new"
	}
	return fmt.Sprintf("known, number %d", id)
}

func printProposal(w io.Writer, tr movein.FileTrial, p intake.Proposal) {
	head := []string{string(p.Status)}
	if p.Mark != "" {
		head = append(head, "it is "+p.Mark+": "+p.Why)
	}
	head = append(head, proposalHead(tr, p)...)
	hang(w, "  ", strings.Join(head, ", "))
	for _, l := range p.Lines {
		hang(w, "      ", proposalLine(tr, p, l))
	}
	hang(w, "      ", proposalMoney(p))
	for _, m := range p.Payments {
		text := "paid " + m.Amount.String()
		if !m.Day.IsZero() {
			text += " on " + m.Day.String()
		}
		hang(w, "      ", text+", from "+m.From+because(m.Fact))
	}
	if p.ShipTo != (order.Address{}) {
		a := p.ShipTo
		hang(w, "      ", "to "+strings.Join(desk.Filled(a.Name, a.Line1, a.Line2, a.City, a.Region, a.Postcode, a.Country), ", "))
	}
	for _, x := range []struct{ what, text string }{{"tracking", p.Tracking}, {"note", p.Note}, {"gift", p.Gift}} {
		if x.text != "" {
			hang(w, "      ", x.what+": "+x.text)
		}
	}
	for _, at := range p.Problems {
		x := tr.Problems[at]
		hang(w, "      ", "see below: "+x.Rule+", "+place(intake.Place{Sheet: x.Sheet, Row: x.Row, Column: x.Column}))
	}
	for _, f := range p.Facts {
		printFact(w, p, f)
	}
	for _, o := range p.Rows {
		text := place(intake.Place{Sheet: o.Sheet, Row: o.Row})
		if !o.Fill.IsZero() {
			text += " in " + o.Fill.Word() + " (" + o.Fill.String() + ")"
		}
		hang(w, "      ", text+", known later by "+o.Hash)
		printCells(w, o.Cells)
	}
}

func because(fact string) string {
	if fact == "" {
		return ""
	}
	return ", by the fact " + fact
}

func proposalHead(tr movein.FileTrial, p intake.Proposal) []string {
	var head []string
	if p.Buyer >= 0 {
		head = append(head, tr.Buyers[p.Buyer].Buyer.Name)
	}
	if p.Outlet >= 0 {
		head = append(head, tr.Outlets[p.Outlet].Name)
	}
	if p.Ref != "" {
		head = append(head, "reference "+p.Ref)
	}
	for _, d := range []struct {
		what string
		day  calendar.Day
	}{{"sold", p.Placed}, {"promised", p.Promised}, {"to arrive by", p.ArriveBy}, {"sent", p.SentOn}} {
		if !d.day.IsZero() {
			head = append(head, d.what+" "+d.day.String())
		}
	}
	state := "state " + string(p.State)
	if p.StateFrom != "" {
		state += " (" + p.StateFrom + ")"
	}
	return append(head, state)
}

func proposalLine(tr movein.FileTrial, p intake.Proposal, l intake.Line) string {
	text := "a print that is not said"
	if l.Edition >= 0 {
		text = tr.Editions[l.Edition].Title
	}
	if n := l.Number.String(); n != "" {
		text = "number " + n + " of " + text
	}
	if l.Price != nil {
		text += ", " + l.Price.String()
	}
	return text + ", " + place(intake.Place{Row: p.Rows[l.Row].Row})
}

func proposalMoney(p intake.Proposal) string {
	parts := []string{"postage " + p.Postage.String(), "tax " + p.Tax.String()}
	if p.Fee != nil {
		parts = append(parts, "fee "+p.Fee.String())
	}
	if p.Owed != nil {
		parts = append(parts, "still owed "+p.Owed.String())
	}
	return strings.Join(parts, ", ")
}

// printFact prints what a note says, with all that was understood of it.
func printFact(w io.Writer, p intake.Proposal, f intake.Fact) {
	o := p.Rows[f.Row]
	answered := "not answered"
	switch {
	case f.Taken:
		answered = "taken"
	case f.Refused:
		answered = "refused"
	}
	text := fmt.Sprintf("%s: %q (bytes %d to %d): %s; %s, %s, %s", place(intake.Place{Sheet: o.Sheet, Row: o.Row, Column: intake.Letters(f.Column)}), desk.OneLine(f.Words), f.Start, f.End, f.Says, f.Kind, f.Sure, answered)
	parts := []string{text}
	if !f.Amount.IsZero() {
		parts = append(parts, f.Amount.String())
	}
	if f.Percent != 0 {
		parts = append(parts, fmt.Sprintf("%d %%", f.Percent))
	}
	if !f.Day.IsZero() {
		parts = append(parts, f.Day.String())
	}
	if f.NoYear {
		parts = append(parts, "without its year")
	}
	if f.Width != 0 || f.Height != 0 {
		parts = append(parts, sides(f.Width, f.Height))
	}
	if f.Text != "" {
		parts = append(parts, f.Text)
	}
	if len(f.Against) > 0 {
		parts = append(parts, "against "+strings.Join(f.Against, " and "))
	}
	hang(w, "      ", strings.Join(parts, ", "))
}

// sides prints a size exactly, in millimetres.
func sides(width, height measure.Length) string {
	return width.In(measure.Metric) + " x " + height.In(measure.Metric)
}

func printCells(w io.Writer, cells []string) {
	hang(w, "        ", "“"+strings.Join(cells, " | ")+"”")
}

func printNewBuyer(w io.Writer, b intake.NewBuyer) {
	text := strings.Join(desk.Filled(b.Buyer.Name, b.Buyer.Email, b.Buyer.Phone, b.Buyer.Note, newOrKnown(b.ID), fault.Count(b.Orders, "new order"), "first "+place(b.Row)), ", ")
	if b.Ask != "" {
		text += "; it is asked: " + b.Ask
	}
	hang(w, "  ", text)
}

func printNewEdition(w io.Writer, e intake.NewEdition) {
	parts := desk.Filled(e.Title, e.Size, e.Grade, e.Paper)
	if e.Width != 0 || e.Height != 0 {
		parts = append(parts, sides(e.Width, e.Height))
	}
	switch {
	case e.Limit > 0:
		parts = append(parts, fmt.Sprintf("limit %d", e.Limit))
	case e.Open || e.ID != 0:
		parts = append(parts, "open, without numbers")
	default:
		parts = append(parts, "limit not said")
	}
	for _, x := range []struct {
		n    int
		what string
	}{{e.Proofs.AP, "AP"}, {e.Proofs.PP, "PP"}, {e.Proofs.HC, "HC"}, {e.Proofs.BAT, "BAT"}} {
		if x.n > 0 {
			parts = append(parts, fmt.Sprintf("%d %s", x.n, x.what))
		}
	}
	if e.Price.Currency != "" {
		parts = append(parts, "price "+e.Price.String())
	}
	work := "of a new work"
	if e.Work != 0 {
		work = fmt.Sprintf("of work %d", e.Work)
	}
	parts = append(parts, fmt.Sprintf("highest number %d", e.Highest), fault.Count(e.Lines, "new print"), newOrKnown(e.ID), work, "first "+place(e.Row))
	hang(w, "  ", strings.Join(parts, ", "))
}

func printFinding(w io.Writer, f intake.Finding) {
	var at []string
	if f.Sheet != "" || f.Row > 0 {
		at = append(at, place(intake.Place{Sheet: f.Sheet, Row: f.Row}))
	}
	text := strings.Join(desk.Filled(strings.Join(at, ""), f.Cell), ", ")
	if text != "" {
		text += ": "
	}
	text += f.What
	if f.Count > 0 {
		text += fmt.Sprintf(" (%d of them)", f.Count)
	}
	text += " [" + f.Rule + "]"
	mark := "  "
	if f.Doubt {
		mark = "? "
	}
	hang(w, mark, text)
	if f.Mend != "" {
		hang(w, "    ", "mend: "+f.Mend)
	}
}
