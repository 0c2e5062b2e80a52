package studio

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io"

	"solander/calendar"
	"solander/intake"
)

// FileTrialIn is a file that was read, how it is to be read, and what she said of it.
type FileTrialIn struct {
	Table   intake.Table
	Mapping intake.Mapping
	Answers intake.Answers
	Today   calendar.Day // zero: today; later days than this are looked at as mistakes
}

// FileTrial is what bringing a file in would do. Nothing is written.
type FileTrial struct {
	intake.Report
	// Declarations are the editions that it would declare, each with its place in Editions.
	Declarations []Declaration `json:"declarations"`
	Before       []Intake      `json:"before,omitempty"` // the same file, brought in earlier
	// Seen names all that would be made: TakeIn refuses when it has changed since.
	Seen string `json:"seen"`
}

// Free reports that nothing is left to look at: no problem, no question, no edition to confirm.
func (t FileTrial) Free() bool {
	return t.Counts.Asked == 0 && t.Counts.Problems == 0
}

// TryFile reads a table dry: what it would make, what is wrong, what is known already. An order of an edition that
// is not declared yet, and not confirmed by her answers, is asked about. Faults: Invalid when the mapping does
// not fit the table.
func (s *Studio) TryFile(ctx context.Context, in FileTrialIn, tell Tell) (FileTrial, error) {
	var out FileTrial
	err := s.read(ctx, func(t *turn) (err error) {
		out, err = t.trial(in, tell)
		return err
	})
	return out, err
}

func (t *turn) trial(in FileTrialIn, tell Tell) (FileTrial, error) {
	b, err := t.book()
	if err != nil {
		return FileTrial{}, err
	}
	if in.Today.IsZero() {
		in.Today = t.today
	}
	var out FileTrial
	out.Report, err = intake.Read(intake.Input{Table: in.Table, Mapping: in.Mapping, Book: b, Answers: theirAnswers(in.Answers), Today: in.Today, Progress: tell})
	if err != nil {
		return out, err
	}
	if b.failed != nil {
		return out, b.failed
	}
	c := trialCheck{turn: t, FileTrial: &out}
	c.declarations(in.Answers)
	c.unnumbered()
	if out.Before, err = t.broughtBefore(out.File); err != nil {
		return out, err
	}
	out.Seen = out.digest()
	return out, nil
}

// broughtBefore returns the intakes of the same bytes that stand.
func (t *turn) broughtBefore(hash string) ([]Intake, error) {
	all, err := t.Intakes(mostIntakes)
	var out []Intake
	for _, x := range all {
		if x.Hash == hash && x.Back == nil {
			out = append(out, x)
		}
	}
	return out, err
}

// trialCheck adds to a report what only the studio knows.
type trialCheck struct {
	*FileTrial
	turn *turn
}

// problem adds a problem of a row that bars orders, and returns its place.
func (c trialCheck) problem(o intake.Origin, rule, what, mend string) int {
	c.Problems = append(c.Problems, intake.Problem{Rule: rule, Bars: true, Sheet: o.Sheet, Row: o.Row, What: what, Mend: mend})
	c.Counts.Problems++
	return len(c.Problems) - 1
}

// bar holds a proposal back for a problem: it cannot be taken until that is mended.
func (c trialCheck) bar(p *intake.Proposal, problem int) {
	p.Problems = append(p.Problems, problem)
	if p.Status == intake.Ready {
		p.Status = intake.Asked
		c.Counts.Ready--
		c.Counts.Asked++
	}
}

// unnumbered bars prints that left the house without a number being said: which one it was cannot be invented.
func (c trialCheck) unnumbered() {
	limited := c.limited()
	for i := range c.Proposals {
		p := &c.Proposals[i]
		if p.Status == intake.Known || p.State != intake.Sent && p.State != intake.Returned {
			continue
		}
		for _, l := range p.Lines {
			if l.Edition >= 0 && limited[l.Edition] && l.Number.IsZero() {
				what := fmt.Sprintf("a print of %s left the house, and the row does not say which number", c.Editions[l.Edition].Title)
				c.bar(p, c.problem(p.Rows[l.Row], "number.unsaid", what, "write its number, or say that the row is still to be sent"))
			}
		}
	}
}

// limited tells which editions of the report have numbers.
func (c trialCheck) limited() []bool {
	out := make([]bool, len(c.Editions))
	for i, e := range c.Editions {
		if e.ID != 0 {
			known, err := c.turn.edition(e.ID)
			out[i] = err == nil && !known.Open()
		}
	}
	for _, d := range c.Declarations {
		out[d.Place] = d.Edition.Limit > 0
	}
	return out
}

// digest is a sum over all that would be made.
func (t FileTrial) digest() string {
	h := sha256.New()
	for _, d := range t.Declarations {
		fmt.Fprintf(h, "e %d %+v\n", d.Place, d.Edition)
	}
	for _, u := range t.Outlets {
		fmt.Fprintf(h, "u %d %q\n", u.ID, u.Name)
	}
	for _, b := range t.Buyers {
		fmt.Fprintf(h, "b %d %+v\n", b.ID, b.Buyer)
	}
	for i := range t.Proposals {
		if t.Proposals[i].Status == intake.Ready {
			writeProposal(h, &t.Proposals[i])
		}
	}
	return hex.EncodeToString(h.Sum(nil))
}

func writeProposal(w io.Writer, p *intake.Proposal) {
	fmt.Fprintf(w, "o %s %d %q %d %s %s %s %s %s %v %v %q\n", p.ID, p.Outlet, p.Ref, p.Buyer, p.Placed, p.Promised, p.ArriveBy, p.State, p.SentOn, p.Postage, p.Tax, p.Note)
	fmt.Fprintf(w, "a %+v\n", p.ShipTo)
	for _, l := range p.Lines {
		price := ""
		if l.Price != nil {
			price = l.Price.String()
		}
		fmt.Fprintf(w, "l %d %s %s\n", l.Edition, l.Number, price)
	}
	for _, m := range p.Payments {
		fmt.Fprintf(w, "p %v %s\n", m.Amount, m.Day)
	}
}
