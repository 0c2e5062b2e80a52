package movein

import (
	"context"
	"fmt"
	"net/http"

	"solander/dayplan"
	"solander/fault"
	"solander/movein"
	"solander/studio"
	"solander/web/movein/trial"
	"solander/web/page"
)

func (f *Files) Trial(w http.ResponseWriter, r *http.Request) error {
	x := &page.Reckoning{Title: "Trial", Room: "orders", Word: "looked at", Halt: "Stop looking"}
	x.Show = func(w http.ResponseWriter, r *http.Request, result any) error {
		got, ok := result.(*trial.Page)
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

// page is what is shown of it.
func (x *tried) page() *trial.Page { return trial.New(x.arrival, x.trial, x.set) }

func (f *Files) showTrial(w http.ResponseWriter, r *http.Request, kept *trial.Page, fail *page.Failure) error {
	p := *kept
	var err error
	if p.Frame, err = f.Frame(r, "orders", "Trial of "+p.Arrival.Name); err != nil {
		return err
	}
	p.Tell(fail)
	return f.Show(w, r, page.StatusOf(fail), "trial", &p)
}
