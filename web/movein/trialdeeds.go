package movein

import (
	"context"
	"fmt"
	"net/http"

	"solander/dayplan"
	"solander/fault"
	"solander/intake"
	"solander/movein"
	"solander/web/movein/trial"
	"solander/web/page"
)

// Answers saves what she said and shows the trial again.
func (f *Files) Answers(w http.ResponseWriter, r *http.Request) error {
	a, err := f.givenOf(r)
	if err != nil {
		return err
	}
	said, plain := trial.Said(r.PostForm)
	if plain {
		if err := f.yesToPlain(r, a, said); err != nil {
			return f.trialFault(w, r, err)
		}
	}
	if err := movein.Answer(r.Context(), f.Studio, a.ID, said); err != nil {
		return f.trialFault(w, r, err)
	}
	return f.DoneSaying(w, r, fmt.Sprintf("/intake/%d/trial", a.ID), "answered")
}

// yesToPlain says yes to every fact that is plainly written, contradicted by nothing and not answered.
func (f *Files) yesToPlain(r *http.Request, a given, said intake.Answers) error {
	x, err := f.try(r.Context(), a, nil)
	if err != nil {
		return err
	}
	for id, yes := range x.Yes(movein.YesToFacts) {
		if said[id] == "" {
			said[id] = yes
		}
	}
	return nil
}

// TakeIn brings the file in as it was shown.
func (f *Files) TakeIn(w http.ResponseWriter, r *http.Request) error {
	a, err := f.givenOf(r)
	if err != nil {
		return err
	}
	seen := r.PostForm.Get("seen")
	if seen == "" {
		return fault.Invalidf("seen", "the form does not say what was looked at").ToMend("open the trial anew")
	}
	x := &page.Reckoning{Title: "Bringing in", Room: "orders", Word: "made", Halt: "Stop, and make nothing"}
	x.Show = f.showTakenIn
	return f.Reckoned(w, r, x, func(ctx context.Context, tell dayplan.Tell) (any, error) {
		in, err := f.mappedOf(ctx, a, nil)
		if err != nil {
			return nil, err
		}
		return movein.TakeIn(ctx, f.Studio, movein.TakeInIn{FileTrialIn: in, Seen: seen, Arrival: a.ID}, tell)
	}, f.takeInFault)
}

// takeInFault shows the trial again, with what was in the way.
func (f *Files) takeInFault(w http.ResponseWriter, r *http.Request, err error) error {
	if page.Ours(err) {
		return err
	}
	a, e := f.givenOf(r)
	if e != nil {
		return e
	}
	x, e := f.try(r.Context(), a, nil)
	if e != nil {
		return f.trialFault(w, r, e)
	}
	fr, e := f.Frame(r, "orders", "Trial of "+a.Name)
	if e != nil {
		return e
	}
	return f.showTrial(w, r, fr, trial.New(a.Arrival, x, page.Settings(r)), &page.Failure{Err: err})
}

func (f *Files) showTakenIn(w http.ResponseWriter, r *http.Request, result any) error {
	got, ok := result.(movein.TakenIn)
	if !ok {
		return fmt.Errorf("web: %T is no file brought in", result)
	}
	f.lately.put("", "", intake.Table{}) // it is in the book now
	if got.Intake == nil {
		return f.DoneSaying(w, r, "/intake", "nothing")
	}
	return f.DoneSaying(w, r, fmt.Sprintf("/intakes/%d", got.Intake.ID), "brought-in")
}
