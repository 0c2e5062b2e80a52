package web

import (
	"context"
	"fmt"
	"net/http"

	"solander/fault"
	"solander/intake"
	"solander/studio"
)

// trialPage shows what bringing a file in would do, and asks what only she can say.
type trialPage struct {
	frame
	Arrival   studio.Arrival
	Trial     studio.FileTrial
	Colours   string
	Problems  []problemGroup
	Left      int // problems that are not shown
	Questions []questionView
	Editions  []declarationView
	Same      []*field // of all editions that say none
	Facts     []factView
	FactsLeft int
	Plain     int // of all unanswered facts, those plainly written
	Orders    []proposalView
	More      int
	Known     []proposalView
	KnownMore int
	SetAside  []asideView
	AsideMore int
	Ask       *form
}

// Bounds of what one page shows.
const (
	problemsShown  = 120
	questionsShown = 60
	factsShown     = 60
	ordersShown    = 60
	asideShown     = 40
)

// problemGroup is the problems of one kind.
type problemGroup struct {
	Bars  bool
	Rule  string
	Items []problemView
}

type problemView struct {
	intake.Problem
	Where  string
	Others string
}

// questionView is a question with its field.
type questionView struct {
	intake.Question
	Place string
	Field *field
}

// declarationView is an edition to be declared, with its fields.
type declarationView struct {
	studio.Declaration
	Title  string
	Size   string
	Where  string
	Fields []*field
	Sure   *field
}

// factView is a fact with the words it came from.
type factView struct {
	intake.Fact
	Where                string
	Before, Words, After string
	Field                *field
}

// proposalView is an order that would be made, or is known.
type proposalView struct {
	Where  string
	Class  string
	Word   string
	Buyer  string
	Outlet string
	Placed string
	Prints []string
	Money  string
	State  string
	Mark   string
	Why    string
	Held   bool
}

type asideView struct {
	Where, Why, Text string
}

func (f *face) trial(w http.ResponseWriter, r *http.Request) error {
	x := &reckoning{title: "Trial", room: "orders", word: "looked at", halt: "Stop looking"}
	x.show = func(w http.ResponseWriter, r *http.Request, result any) error {
		got, ok := result.(*trialPage)
		if !ok {
			return fmt.Errorf("web: %T is no trial", result)
		}
		return f.showTrial(w, r, got, nil)
	}
	req := r.Clone(context.WithoutCancel(r.Context()))
	f.reckon(r, x, func(ctx context.Context, tell studio.Tell) (any, error) {
		got, err := f.try(req.WithContext(ctx), tell)
		if err != nil {
			return nil, err
		}
		return got.page(), nil
	})
	if !x.over() {
		http.Redirect(w, r, x.path(), http.StatusSeeOther)
		return nil
	}
	if _, err := x.outcome(); err != nil {
		return f.trialFault(w, r, err)
	}
	return x.answer(w, r)
}

// trialFault shows a reading that does not fit on the page where it is chosen.
func (f *face) trialFault(w http.ResponseWriter, r *http.Request, err error) error {
	if ours(err) {
		return err
	}
	x, e := f.read(r, nil)
	if e != nil {
		return f.fileFault(w, r, e)
	}
	return f.showReading(w, r, x, &failure{err: err})
}

// tried is a file with its trial.
type tried struct {
	arrival studio.Arrival
	trial   studio.FileTrial
	set     studio.Settings
}

func (f *face) try(r *http.Request, tell studio.Tell) (*tried, error) {
	a, t, err := f.tableOf(r, tell)
	if err != nil {
		return nil, err
	}
	if a.Mapping == nil {
		return nil, fault.New(fault.Invalid, "what stands where is not said yet").ToMend("look at the columns and save")
	}
	x := &tried{arrival: a}
	if x.set, err = f.studio.Settings(r.Context()); err != nil {
		return nil, err
	}
	x.trial, err = f.studio.TryFile(r.Context(), studio.FileTrialIn{Table: t, Mapping: *a.Mapping, Answers: a.Answers}, tell)
	return x, err
}

// page is what is shown of a trial. It is kept for a while, and holds no more of the file than that: a large one takes tens of
// megabytes.
func (x *tried) page() *trialPage {
	p := &trialPage{Arrival: x.arrival, Trial: x.trial, Ask: newForm("answers", fmt.Sprintf("/intake/%d/answers", x.arrival.ID))}
	p.Units = x.set.Units
	p.problems()
	p.questions()
	p.declarations(x.set)
	p.facts()
	p.orders()
	p.aside()
	p.Trial = studio.FileTrial{Before: x.trial.Before, Seen: x.trial.Seen}
	p.Trial.Counts, p.Trial.Findings, p.Trial.Mapping = x.trial.Counts, x.trial.Findings, x.trial.Mapping
	p.Trial.NoAddress, p.Trial.Owing = x.trial.NoAddress, x.trial.Owing
	return p
}

func (f *face) showTrial(w http.ResponseWriter, r *http.Request, kept *trialPage, fail *failure) error {
	p := *kept
	var err error
	if p.frame, err = f.frame(r, "orders", "Trial of "+p.Arrival.Name); err != nil {
		return err
	}
	p.tell(fail)
	return f.show(w, r, statusOf(fail), "trial", &p)
}
