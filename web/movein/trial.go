package movein

import (
	"context"
	"fmt"
	"net/http"

	"solander/dayplan"
	"solander/fault"
	"solander/intake"
	"solander/movein"
	"solander/studio"
	"solander/web/page"
)

// TrialPage shows what bringing a file in would do, and asks what only she can say.
type TrialPage struct {
	page.Frame
	Arrival   studio.Arrival
	Trial     movein.FileTrial
	Colours   string
	Problems  []problemGroup
	Left      int // problems that are not shown
	Questions []questionView
	Editions  []declarationView
	Same      []*page.Field // of all editions that say none
	Facts     []factView
	FactsLeft int
	Plain     int // of all unanswered facts, those plainly written
	Orders    []proposalView
	More      int
	Known     []proposalView
	KnownMore int
	SetAside  []asideView
	AsideMore int
	Ask       *page.Form
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
	Field *page.Field
}

// declarationView is an edition to be declared, with its fields.
type declarationView struct {
	movein.Declaration
	Title  string
	Size   string
	Where  string
	Fields []*page.Field
	Sure   *page.Field
}

// factView is a fact with the words it came from.
type factView struct {
	intake.Fact
	Where                string
	Before, Words, After string
	Field                *page.Field
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

func (f *Files) Trial(w http.ResponseWriter, r *http.Request) error {
	x := &page.Reckoning{Title: "Trial", Room: "orders", Word: "looked at", Halt: "Stop looking"}
	x.Show = func(w http.ResponseWriter, r *http.Request, result any) error {
		got, ok := result.(*TrialPage)
		if !ok {
			return fmt.Errorf("web: %T is no trial", result)
		}
		return f.showTrial(w, r, got, nil)
	}
	req := r.Clone(context.WithoutCancel(r.Context()))
	f.Reckon(r, x, func(ctx context.Context, tell dayplan.Tell) (any, error) {
		got, err := f.try(req.WithContext(ctx), tell)
		if err != nil {
			return nil, err
		}
		return got.page(), nil
	})
	if !x.Over() {
		http.Redirect(w, r, x.Path(), http.StatusSeeOther)
		return nil
	}
	if _, err := x.Outcome(); err != nil {
		return f.trialFault(w, r, err)
	}
	return x.Answer(w, r)
}

// trialFault shows a reading that does not fit on the page where it is chosen.
func (f *Files) trialFault(w http.ResponseWriter, r *http.Request, err error) error {
	if page.Ours(err) {
		return err
	}
	x, e := f.read(r, nil)
	if e != nil {
		return f.fileFault(w, r, e)
	}
	return f.showReading(w, r, x, &page.Failure{Err: err})
}

// tried is a file with its trial.
type tried struct {
	arrival studio.Arrival
	trial   movein.FileTrial
	set     studio.Settings
}

func (f *Files) try(r *http.Request, tell dayplan.Tell) (*tried, error) {
	a, t, err := f.tableOf(r, tell)
	if err != nil {
		return nil, err
	}
	if a.Mapping == nil {
		return nil, fault.New(fault.Invalid, "what stands where is not said yet").ToMend("look at the columns and save")
	}
	x := &tried{arrival: a, set: page.Settings(r)}
	x.trial, err = movein.TryFile(r.Context(), f.Studio, movein.FileTrialIn{Table: t, Mapping: *a.Mapping, Answers: a.Answers}, tell)
	return x, err
}

// page is what is shown of a trial. It is kept for a while, and holds no more of the file than that: a large one takes tens of
// megabytes.
func (x *tried) page() *TrialPage {
	p := &TrialPage{Arrival: x.arrival, Trial: x.trial, Ask: page.NewForm("answers", fmt.Sprintf("/intake/%d/answers", x.arrival.ID))}
	p.Units = x.set.Units
	p.problems()
	p.questions()
	p.declarations(x.set)
	p.facts()
	p.orders()
	p.aside()
	p.Trial = movein.FileTrial{Before: x.trial.Before, Seen: x.trial.Seen}
	p.Trial.Counts, p.Trial.Findings, p.Trial.Mapping = x.trial.Counts, x.trial.Findings, x.trial.Mapping
	p.Trial.NoAddress, p.Trial.Owing = x.trial.NoAddress, x.trial.Owing
	return p
}

func (f *Files) showTrial(w http.ResponseWriter, r *http.Request, kept *TrialPage, fail *page.Failure) error {
	p := *kept
	var err error
	if p.Frame, err = f.Frame(r, "orders", "Trial of "+p.Arrival.Name); err != nil {
		return err
	}
	p.Tell(fail)
	return f.Show(w, r, page.StatusOf(fail), "trial", &p)
}
