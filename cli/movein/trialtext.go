package movein

import (
	"fmt"
	"io"
	"strconv"
	"strings"
	"unicode/utf8"

	"solander/cli/desk"
	"solander/edition"
	"solander/fault"
	"solander/intake"
	"solander/measure"
	"solander/movein"
)

// textWidth is the room of a line on a plain terminal, in characters.
const textWidth = 80

// hang prints a paragraph in lines of at most textWidth: the first begins with lead, the others are set in as far.
func hang(w io.Writer, lead, text string) {
	set := strings.Repeat(" ", utf8.RuneCountInString(lead))
	line := lead
	empty := true
	for _, word := range strings.Fields(text) {
		if !empty && utf8.RuneCountInString(line)+1+utf8.RuneCountInString(word) > textWidth {
			fmt.Fprintln(w, line)
			line, empty = set, true
		}
		if !empty {
			line += " "
		}
		line, empty = line+word, false
	}
	fmt.Fprintln(w, line)
}

func place(p intake.Place) string {
	text := fmt.Sprintf("row %d", p.Row)
	if p.Sheet != "" {
		text = p.Sheet + ", " + text
	}
	if p.Column != "" {
		text += ", column " + p.Column
	}
	return text
}

// printTrial prints what a file would make and what is in the way, in lines of at most textWidth characters.
func printTrial(w io.Writer, tr movein.FileTrial, how string) {
	c := tr.Counts
	hang(w, "", fmt.Sprintf("%s, %s. Nothing is changed.", desk.OneLine(tr.Name), how))
	hang(w, "", fmt.Sprintf("Reading %s, SHA-256 of the file %s; what would be made: %s.", tr.Mapping, tr.File, tr.Seen))
	for _, b := range tr.Before {
		hang(w, "", fmt.Sprintf("This very file was brought in on %s, as file %d, by %s, read as %s: %s.", b.Day.Long(), b.ID, b.Who, b.Mapping, fault.Count(b.Made.Orders, "order")))
	}
	fmt.Fprintln(w)
	for _, r := range []struct {
		n    int
		what string
	}{
		{c.Rows, "rows"},
		{c.Sales, "rows of sales"},
		{c.Ready, "orders ready"},
		{c.Asked, "orders to look at first"},
		{c.Known, "orders known already"},
		{c.SetAside, "rows set aside"},
		{c.Buyers, "new buyers"},
		{c.Works, "new works"},
		{c.Editions, "new editions"},
		{c.Outlets, "new outlets"},
		{c.Prints, "prints of orders ready or to look at"},
		{c.Facts, "facts in notes"},
		{c.Taken, "of them taken"},
		{c.Problems, "problems that hold an order back"},
		{c.Doubts, "doubts that hold nothing back"},
		{c.Questions, "questions without an answer"},
		{tr.NoAddress, "orders ready that wait for an address"},
		{tr.Owing, "orders ready that are not paid in full: the money is chased"},
	} {
		fmt.Fprintf(w, "%7d  %s\n", r.n, r.what)
	}
	printLists(w, tr)
	printProblems(w, tr)
	printDeclarations(w, tr)
	printQuestions(w, tr)
	printFacts(w, tr)
}

func printProblems(w io.Writer, tr movein.FileTrial) {
	if len(tr.Problems) == 0 {
		return
	}
	fmt.Fprintf(w, "\nTo mend (* holds an order back):\n")
	for _, p := range tr.Problems {
		mark := "  "
		if p.Bars {
			mark = "* "
		}
		text := place(intake.Place{Sheet: p.Sheet, Row: p.Row, Column: p.Column})
		if p.Heading != "" {
			text += " (" + p.Heading + ")"
		}
		text += ": "
		if p.Text != "" {
			text += fmt.Sprintf("%q, ", p.Text)
		}
		text += p.What
		var others []string
		for _, o := range p.Others {
			others = append(others, place(o))
		}
		if len(others) > 0 {
			text += " (also " + strings.Join(others, "; ") + ")"
		}
		if text += " [" + p.Rule + "]"; p.Ask != "" {
			text += " settled by the answer to " + p.Ask
		}
		hang(w, mark, text)
		if p.Mend != "" {
			hang(w, "    ", "mend: "+p.Mend)
		}
	}
}

func printDeclarations(w io.Writer, tr movein.FileTrial) {
	if len(tr.Declarations) == 0 {
		return
	}
	fmt.Fprintf(w, "\nEditions it would declare; a limit can never be changed afterwards:\n")
	for _, d := range tr.Declarations {
		text, limit := declarationText(tr, d), "…"
		if limitKnown(d) {
			limit = strconv.Itoa(d.Edition.Limit)
		}
		if len(d.Missing) > 0 {
			text += "; lacks " + strings.Join(d.Missing, ", ")
		}
		hang(w, "  ", text)
		if d.Confirmed {
			hang(w, "    ", "its limit is confirmed; it is the answer to "+d.LimitID)
		} else {
			for _, id := range []string{d.LimitID, d.ID(movein.PartConfirm)} {
				hang(w, "    ", fmt.Sprintf("answer: %q: %q", id, limit))
			}
		}
		for _, part := range []string{movein.PartWidth, movein.PartHeight, movein.PartPaper, movein.PartGrade} {
			for _, l := range d.Lacks {
				if l.Field == part {
					hang(w, "    ", fmt.Sprintf("answer: %q: \"…\" (%s)", d.ID(part), l.What))
				}
			}
		}
	}
}

// limitKnown says whether the limit was said, by the file or by her; 0 is the limit of an open edition.
func limitKnown(d movein.Declaration) bool { return d.LimitSaid || d.Edition.Limit > 0 }

// declarationText names an edition that would be declared, with all that stands in it.
func declarationText(tr movein.FileTrial, d movein.Declaration) string {
	e := d.Edition
	parts := desk.Filled(strings.Join(strings.Fields(strings.Join([]string{e.Title, tr.Editions[d.Place].Size, e.Grade}, " ")), " "))
	if e.Width != 0 || e.Height != 0 {
		parts = append(parts, sides(e.Width, e.Height))
	}
	if e.Paper != "" {
		parts = append(parts, e.Grammage.Beside(e.Paper), e.Caliper.In(measure.Metric)+" thick")
	}
	if e.TightestRoll != 0 {
		parts = append(parts, "rolled no tighter than "+e.TightestRoll.In(measure.Metric))
	}
	if limitKnown(d) {
		parts = append(parts, fmt.Sprintf("limit %d", e.Limit))
	}
	for _, k := range edition.Kinds()[1:] {
		if n := e.Count(k); n > 0 {
			parts = append(parts, fmt.Sprintf("%d %s", n, k))
		}
	}
	return strings.Join(append(parts, "price "+e.Price.String(), fmt.Sprintf("highest number %d", d.Highest), fault.Count(d.Orders, "order")), ", ")
}

func printQuestions(w io.Writer, tr movein.FileTrial) {
	n := 0
	for _, q := range tr.Questions {
		if n == 0 {
			fmt.Fprintf(w, "\nOnly you can say:\n")
		}
		n++
		hang(w, "  ", fmt.Sprintf("%s (%s; %s)", q.What, place(q.Where), fault.Count(q.Rows, "row")))
		var choices []string
		for _, c := range q.Choices {
			choices = append(choices, fmt.Sprintf("%q (%s)", c.Value, c.Words))
		}
		if q.Offer != "" {
			hang(w, "    ", fmt.Sprintf("offered: %q, %s", q.Offer, q.Why))
		}
		if q.Answer != "" {
			hang(w, "    ", fmt.Sprintf("answered: %q", q.Answer))
		}
		hang(w, "    ", fmt.Sprintf("answer: %q: %s", q.ID, desk.OrText(strings.Join(choices, " or "), `"…"`)))
	}
}

func printFacts(w io.Writer, tr movein.FileTrial) {
	n := 0
	for _, p := range tr.Proposals {
		if p.Status == intake.Known {
			continue
		}
		for _, f := range p.Facts {
			if f.Taken || f.Refused {
				continue
			}
			if n == 0 {
				fmt.Fprintf(w, "\nWhat notes seem to say; taken only with your yes:\n")
			}
			n++
			o := p.Rows[f.Row]
			hang(w, "  ", fmt.Sprintf("%s: %q: %s", place(intake.Place{Sheet: o.Sheet, Row: o.Row, Column: intake.Letters(f.Column)}), desk.OneLine(f.Words), f.Says))
			hang(w, "    ", fmt.Sprintf("answer: %q: \"yes\" or \"no\"", f.ID))
		}
	}
}

func printTakenIn(w io.Writer, got movein.TakenIn) {
	if got.Intake == nil {
		fmt.Fprintf(w, "nothing is new: nothing was changed (known already: %d, to look at first: %d)\n", got.Known, got.Asked)
		return
	}
	m := got.Intake.Made
	fmt.Fprintf(w, "file %d is brought in: %s\n", got.Intake.ID, desk.OneLine(got.Intake.Name))
	fmt.Fprintf(w, "orders: %d, of them still to be sent: %d; prints: %d; payments: %d\n", m.Orders, m.Open, m.Prints, m.Payments)
	fmt.Fprintf(w, "new buyers: %d, works: %d, editions: %d, outlets: %d\n", len(m.Buyers), len(m.Works), len(m.Editions), len(m.Outlets))
	if got.Known > 0 {
		fmt.Fprintf(w, "known already, left as they are: %d\n", got.Known)
	}
	if got.Asked > 0 {
		fmt.Fprintf(w, "to look at first, not brought in: %d\n", got.Asked)
	}
	fmt.Fprintf(w, "hint: count the drawer now; solander intake undo %d takes it all back\n", got.Intake.ID)
}
