package movein

import (
	"context"
	"fmt"
	"net/http"

	"solander/dayplan"
	"solander/movein"
	"solander/web/movein/trial"
	"solander/web/page"
)

func (f *Files) Trial(w http.ResponseWriter, r *http.Request) error {
	a, err := f.givenOf(r)
	if err != nil {
		return err
	}
	fr, err := f.Frame(r, "orders", "Trial of "+a.Name)
	if err != nil {
		return err
	}
	x := &page.Reckoning{Title: "Trial", Room: "orders", Word: "looked at", Halt: "Stop looking"}
	x.Show = func(w http.ResponseWriter, r *http.Request, result any) error {
		got, ok := result.(*trial.Page)
		if !ok {
			return fmt.Errorf("web: %T is no trial", result)
		}
		return f.showTrial(w, r, fr, got, nil)
	}
	set := page.Settings(r)
	return f.Reckoned(w, r, x, func(ctx context.Context, tell dayplan.Tell) (any, error) {
		got, err := f.try(ctx, a, tell)
		if err != nil {
			return nil, err
		}
		return trial.New(a.Arrival, got, set), nil
	}, f.trialFault)
}

// trialFault shows a reading that does not fit on the page where it is chosen.
func (f *Files) trialFault(w http.ResponseWriter, r *http.Request, err error) error {
	if page.Ours(err) {
		return err
	}
	x, e := f.read(r)
	if e != nil {
		return f.fileFault(w, r, e)
	}
	return f.showReadingAgain(w, r, x, &page.Failure{Err: err})
}

// try makes the trial of a file on the studio as it stands then: it takes longer than a page holds one of its states.
func (f *Files) try(ctx context.Context, a given, tell dayplan.Tell) (movein.FileTrial, error) {
	in, err := f.mappedOf(ctx, a, tell)
	if err != nil {
		return movein.FileTrial{}, err
	}
	return movein.TryFile(ctx, f.Studio, in, tell)
}

func (f *Files) showTrial(w http.ResponseWriter, r *http.Request, fr page.Frame, kept *trial.Page, fail *page.Failure) error {
	p := *kept
	p.Frame = fr
	p.Tell(fail)
	return f.Show(w, r, page.StatusOf(fail), "trial", &p)
}
