package movein

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"solander/edition"
	"solander/fault"
	"solander/intake"
	"solander/measure"
	"solander/money"
	"solander/register"
	"solander/supply"
)

// Declaration is an edition that a file would declare. What the file does not say she adds by answers with the ids
// "declare.KEY.PART"; and she confirms the limit, which can never be raised or lowered again, not even by taking
// the file back.
type Declaration struct {
	Key     string          `json:"key"`
	LimitID string          `json:"limit_id"` // the id of the answer that gives the limit
	Place   int             `json:"place"`    // in the report's Editions
	Edition edition.Edition `json:"edition"`
	Highest int             `json:"highest"` // the highest number that the file names
	Orders  int             `json:"orders"`  // that wait for it
	// Confirmed says that she confirmed this very limit.
	Confirmed bool `json:"confirmed"`
	// LimitSaid says that the limit, also that there is none, was said by the file or by her: none is ever assumed.
	LimitSaid bool           `json:"limit_said"`
	Lacks     []*fault.Error `json:"-"` // what is missing or wrong, with the part as Field; empty: it can be declared
	Missing   []string       `json:"missing,omitempty"`
}

// The parts of a declaration that answers give.
const (
	PartLimit   = "limit" // 0 = an open edition
	PartAP      = "ap"
	PartWidth   = "width"
	PartHeight  = "height"
	PartPaper   = "paper" // by the name of a paper of the studio
	PartGrade   = "grade"
	PartPrice   = "price"
	PartConfirm = "confirm" // the limit once more
)

// declarePrefix begins the ids of answers that are about declarations.
const declarePrefix = "declare."

// ID is the id of the answer that gives a part.
func (d Declaration) ID(part string) string { return declarePrefix + d.Key + "." + part }

// theirAnswers are those that intake reads.
func theirAnswers(all intake.Answers) intake.Answers {
	theirs := intake.Answers{}
	for id, v := range all {
		if !strings.HasPrefix(id, declarePrefix) {
			theirs[id] = v
		}
	}
	return theirs
}

// limitID is the id of the answer that gives the limit: intake's own question where it asks one.
func (c trialCheck) limitID(e intake.NewEdition, d Declaration) string {
	parts := []string{e.Title}
	for _, part := range []string{e.Size, e.Grade, e.Paper} {
		if part != "" {
			parts = append(parts, part)
		}
	}
	id := "limit:" + strings.Join(parts, ", ")
	if slices.ContainsFunc(c.Questions, func(q intake.Question) bool { return q.ID == id }) {
		return id
	}
	return d.ID(PartLimit)
}

// declarations settles every edition that is not known, and bars the orders of those that are not complete.
func (c trialCheck) declarations(answers intake.Answers) error {
	incomplete := map[int]string{} // what each lacks
	c.Declarations = []Declaration{}
	for i, e := range c.Editions {
		if e.ID != 0 || e.Lines == 0 {
			continue
		}
		d, err := c.declaration(i, e, answers)
		if err != nil {
			return err
		}
		if len(d.Lacks) > 0 {
			incomplete[i] = strings.Join(d.Missing, ", ")
		}
		c.Declarations = append(c.Declarations, d)
	}
	problems := map[int]int{} // by edition: told once, of the first row
	for i := range c.Proposals {
		p := &c.Proposals[i]
		if p.Status == intake.Known {
			continue
		}
		barred := map[int]bool{}
		for _, l := range p.Lines {
			c.countOrder(l.Edition)
			why, ok := incomplete[l.Edition]
			if !ok || barred[l.Edition] {
				continue
			}
			barred[l.Edition] = true
			if _, told := problems[l.Edition]; !told {
				what := c.Editions[l.Edition].Title + " is not declared yet: " + why
				problems[l.Edition] = c.problem(p.Rows[l.Row], "edition.undeclared", what, "complete the edition and confirm its limit")
			}
			c.bar(p, problems[l.Edition])
		}
	}
	return nil
}

func (c trialCheck) countOrder(ed int) {
	for i := range c.Declarations {
		if c.Declarations[i].Place == ed {
			c.Declarations[i].Orders++
		}
	}
}

// declareKey names an edition of a file, whatever else stands in the file.
func declareKey(e intake.NewEdition) string {
	sum := sha256.Sum256([]byte(strings.Join([]string{intake.Fold(e.Title), intake.Fold(e.Size), intake.Fold(e.Grade), intake.Fold(e.Paper)}, "\n")))
	return hex.EncodeToString(sum[:6])
}

// declaring reads the parts of one declaration.
type declaring struct {
	d       Declaration
	answers intake.Answers
	units   measure.System
}

func (x *declaring) said(part string) string {
	id := x.d.ID(part)
	if part == PartLimit {
		id = x.d.LimitID
	}
	if said := strings.TrimSpace(x.answers.Of(id)); said != "" || part == PartLimit {
		return said // one limit for all would be none of hers
	}
	return strings.TrimSpace(x.answers[Declaration{Key: intake.ForAll}.ID(part)]) // of all new editions
}

func (x *declaring) lack(part, missing string, err error) {
	for _, f := range fault.All(err) {
		x.d.Lacks = append(x.d.Lacks, f.In(part))
	}
	x.d.Missing = append(x.d.Missing, missing)
}

func (c trialCheck) declaration(place int, e intake.NewEdition, answers intake.Answers) (Declaration, error) {
	x := &declaring{answers: answers, units: c.turn.Set.Units, d: Declaration{Key: declareKey(e), Place: place, Highest: e.Highest}}
	x.d.LimitID = c.limitID(e, x.d)
	x.d.Edition = edition.Edition{Work: e.Work, Title: e.Title, Width: e.Width, Height: e.Height, Grade: e.Grade, Proofs: e.Proofs, Limit: e.Limit, Price: e.Price}
	if x.d.Edition.Price.Currency == "" {
		x.d.Edition.Price = money.Of(0, c.turn.Set.Currency)
	}
	x.d.Edition.PrintCost = money.Of(0, c.turn.Set.Currency)
	x.size()
	x.paper(c.turn.Set.Papers, e.Paper)
	x.grade(c.turn.Set.Grades)
	x.price(c.turn.Set.Currency)
	x.limit(e)
	if len(x.d.Lacks) > 0 {
		return x.d, nil
	}
	if err := c.declarable(x.d.Edition); err != nil {
		if fault.Is(err, fault.Internal) {
			return x.d, err
		}
		x.lack("", fault.All(err)[0].What, err)
	}
	return x.d, nil
}

// declarable looks at an edition that would be declared, with all that declaring it asks: its work, its form, its prices, and
// that neither the book nor the file has the same print already.
func (c trialCheck) declarable(e edition.Edition) error {
	var l fault.List
	if e.Work == 0 {
		l.Add(edition.Work{Title: e.Title}.Validate())
	}
	whole := e
	whole.Work = max(e.Work, 1) // a new work is saved first
	l.Add(whole.Validate())
	_, err := register.In(c.turn.Turn).Priced(e)
	l.Add(err)
	if e.Work != 0 {
		l.Add(register.In(c.turn.Turn).OnlyOne(e))
	}
	for _, d := range c.Declarations {
		if o := d.Edition; len(d.Lacks) == 0 && sameWork(o, e) && o.Width == e.Width && o.Height == e.Height && o.Paper == e.Paper && o.Grade == e.Grade {
			l.Add(fault.New(fault.Taken, "the file has the same print twice, of which it says different things").At("%s", o.Name(c.turn.Set.Units)).
				ToMend("write size, paper and grade the same way in all its rows"))
		}
	}
	return l.Err()
}

// sameWork reports whether two editions that a file would declare are of one work.
func sameWork(a, b edition.Edition) bool {
	return a.Work == b.Work && (a.Work != 0 || intake.Fold(a.Title) == intake.Fold(b.Title))
}

func (x *declaring) size() {
	for _, side := range []struct {
		part string
		to   *measure.Length
	}{{PartWidth, &x.d.Edition.Width}, {PartHeight, &x.d.Edition.Height}} {
		said := x.said(side.part)
		if said == "" && *side.to > 0 {
			continue
		}
		if said == "" {
			x.lack(side.part, "its "+side.part, fault.Invalidf(side.part, "the %s is missing", side.part).ToMend("write it like 12 in or 300 mm"))
			continue
		}
		v, err := measure.ParseLength(said, x.units)
		if err != nil {
			x.lack(side.part, "its "+side.part, err)
			continue
		}
		*side.to = v
	}
}

// paper takes the studio's paper of that name; its only paper when the file names none.
func (x *declaring) paper(papers []supply.Paper, named string) {
	if said := x.said(PartPaper); said != "" {
		named = said
	} else if named == "" && len(papers) == 1 {
		named = papers[0].Name
	}
	i := slices.IndexFunc(papers, func(p supply.Paper) bool { return intake.Fold(p.Name) == intake.Fold(named) })
	if i < 0 {
		what, mend := "its paper is not said", "choose one of the studio's papers"
		if named != "" {
			what = fmt.Sprintf("%q is none of the studio's papers", fault.Clip(named))
			mend = "choose one, or add it under Studio, Papers and labs"
		}
		x.lack(PartPaper, "its paper", fault.Invalidf(PartPaper, "%s", what).ToMend("%s", mend))
		return
	}
	p := papers[i]
	e := &x.d.Edition
	e.Paper, e.Grammage, e.Caliper, e.TightestRoll = p.Name, p.Grammage, p.Caliper, p.TightestRoll
}

// grade takes what is said; the studio's only grade when nothing is.
func (x *declaring) grade(grades []string) {
	e := &x.d.Edition
	if said := x.said(PartGrade); said != "" {
		e.Grade = said
	} else if e.Grade == "" && len(grades) == 1 {
		e.Grade = grades[0]
	}
	for _, g := range grades {
		if intake.Fold(g) == intake.Fold(e.Grade) {
			e.Grade = g
		}
	}
	if e.Grade == "" {
		x.lack(PartGrade, "its grade", fault.Invalidf(PartGrade, "its grade is not said").ToMend("choose one of the studio's grades"))
	}
}

func (x *declaring) price(currency string) {
	said := x.said(PartPrice)
	if said == "" {
		return
	}
	a, err := money.Parse(said, currency)
	if err != nil {
		x.lack(PartPrice, "its price", err)
		return
	}
	x.d.Edition.Price = a
}

// limit reads the limit and the proofs, and whether she confirmed them. The limit is not below the highest number.
func (x *declaring) limit(e intake.NewEdition) {
	ed := &x.d.Edition
	said := x.said(PartLimit)
	if said != "" {
		n, err := strconv.Atoi(said)
		if err != nil || n < 0 || n > edition.MaxLimit {
			x.lack(PartLimit, "its limit", fault.Invalidf(PartLimit, "%q is no limit", fault.Clip(said)).ToMend("write it like 250; 0 for an open edition"))
			return
		}
		ed.Limit = n
	}
	if said := x.said(PartAP); said != "" {
		n, err := strconv.Atoi(said)
		if err != nil || n < e.Proofs.AP || n > edition.MaxProofs {
			x.lack(PartAP, "its artist's proofs", fault.Invalidf(PartAP, "%q is no count of artist's proofs", fault.Clip(said)).ToMend("the file names %d", e.Proofs.AP))
			return
		}
		ed.Proofs.AP = n
	}
	switch {
	case ed.Limit == 0 && said == "" && e.Highest > 0:
		x.lack(PartLimit, "its limit", fault.Invalidf(PartLimit, "the limit is not said").ToMend("the file names number %d; write how many there are", e.Highest))
		return
	case ed.Limit == 0 && said == "" && !e.Open:
		x.lack(PartLimit, "its limit", fault.Invalidf(PartLimit, "the limit is not said").ToMend("write how many there are; 0 for an open edition"))
		return
	case ed.Limit < e.Highest:
		x.lack(PartLimit, "its limit", fault.Invalidf(PartLimit, "a limit of %d is below number %d, which the file names", ed.Limit, e.Highest).ToMend("give at least %d", e.Highest))
		return
	}
	x.d.LimitSaid = true
	confirm := x.said(PartConfirm)
	x.d.Confirmed = confirm == strconv.Itoa(ed.Limit) || confirm == intake.Yes && x.answers[x.d.ID(PartConfirm)] == ""
	if !x.d.Confirmed {
		x.lack(PartConfirm, "its limit to be confirmed", fault.Invalidf(PartConfirm, "the limit is not confirmed").ToMend("it can never be changed afterwards"))
	}
}
