package movein

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io"

	"solander/calendar"
	"solander/dayplan"
	"solander/fault"
	"solander/intake"
	"solander/intake/kept"
	"solander/intake/proposal"
	"solander/order"
	"solander/studio"
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
	Before       []kept.Intake `json:"before,omitempty"` // the same file, brought in earlier
	// NoAddress counts the orders that are ready, are still to be sent and have no address for a label: they come in, and wait
	// on the bench until it is there.
	NoAddress int `json:"no_address"`
	// Owing counts the orders that are ready, are still to be sent and are not paid in full: the bench chases that money.
	Owing int `json:"owing"`
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
func TryFile(ctx context.Context, s *studio.Studio, in FileTrialIn, tell dayplan.Tell) (FileTrial, error) {
	var out FileTrial
	err := read(ctx, s, func(t *MoveIn) error {
		tr, _, err := t.trial(in, tell)
		if err == nil {
			out = *tr
		}
		return err
	})
	return out, err
}

// trial is the trial. The composer makes each order of it that is ready again, as bringing in writes it.
func (t *MoveIn) trial(in FileTrialIn, tell dayplan.Tell) (*FileTrial, *composer, error) {
	b, err := t.book()
	if err != nil {
		return nil, nil, err
	}
	if in.Today.IsZero() {
		in.Today = t.Today
	}
	out := &FileTrial{}
	out.Report, err = proposal.Read(intake.Input{Table: in.Table, Mapping: in.Mapping, Book: b, Answers: theirAnswers(in.Answers), Today: in.Today, Progress: tell})
	if err != nil {
		return nil, nil, err
	}
	if b.failed != nil {
		return nil, nil, b.failed
	}
	check := trialCheck{turn: t, FileTrial: out}
	if err := check.declarations(in.Answers); err != nil {
		return nil, nil, err
	}
	c, err := t.newComposer(out, b)
	if err != nil {
		return nil, nil, err
	}
	err = c.compose(func(x composed) error {
		out.NoAddress += btoi(x.order.State == order.Open && x.order.NoAddress() != "")
		out.Owing += btoi(x.order.State == order.Open && x.owes())
		return nil
	}, check.unready)
	if err != nil {
		return nil, nil, err
	}
	if out.Before, err = t.broughtBefore(out.File); err != nil {
		return nil, nil, err
	}
	out.Seen = out.digest()
	return out, c, nil
}

// broughtBefore returns the intakes of the same bytes that stand.
func (t *MoveIn) broughtBefore(hash string) ([]kept.Intake, error) {
	all, err := t.Intakes(mostIntakes)
	var out []kept.Intake
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
	turn *MoveIn
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

// unready says by row why an order would be refused, and holds it back. What the order is told of already is not told again.
func (c trialCheck) unready(place int, why []refusal) {
	p := &c.Proposals[place]
	told := map[string]bool{}
	for _, at := range p.Problems {
		told[c.Problems[at].Rule] = true
	}
	for _, r := range why {
		if told[r.rule] {
			continue
		}
		for _, f := range fault.All(r.why) {
			what := f.What
			if f.Where != "" {
				what = f.Where + ": " + f.What
			}
			c.bar(p, c.problem(p.Rows[r.row], r.rule, what, f.Mend))
		}
	}
}

func btoi(b bool) int {
	if b {
		return 1
	}
	return 0
}

// digest is a sum over all that would be made.
func (t *FileTrial) digest() string {
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
