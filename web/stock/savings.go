package stock

import (
	"context"
	"fmt"
	"net/http"

	"solander/calendar"
	"solander/dayplan"
	"solander/suppose"
	"solander/web/page"
)

// SavingsPage is what one more piece of packaging would save today.
type SavingsPage struct {
	page.Frame
	suppose.OneMore
}

// Savings asks what one more piece would save.
func (f *Drawer) Savings(w http.ResponseWriter, r *http.Request) error {
	x := &page.Reckoning{Title: "One more piece", Room: "drawer"}
	x.Show = func(w http.ResponseWriter, r *http.Request, result any) error {
		fr, err := f.Frame(r, "drawer", x.Title)
		if err != nil {
			return err
		}
		found, ok := result.(suppose.OneMore)
		if !ok {
			return fmt.Errorf("web: %T is no answer about one more piece", result)
		}
		return f.Show(w, r, http.StatusOK, "savings", &SavingsPage{fr, found})
	}
	day, err := page.QueryDay(r)
	if err != nil {
		return err
	}
	f.Reckon(r, x, func(ctx context.Context, tell dayplan.Tell) (any, error) {
		return suppose.AskOneMore(ctx, f.Studio, day, tell)
	})
	if x.Over() {
		return x.Answer(w, r)
	}
	http.Redirect(w, r, x.Path(), http.StatusSeeOther)
	return nil
}

// tellSavings puts on the shelf what is known at a glance of what one more piece would save.
func (f *Drawer) tellSavings(ctx context.Context, shelf []shelfGroup) {
	ctx, stop := context.WithTimeout(ctx, f.Patience.Glance)
	defer stop()
	found, err := suppose.AskOneMore(ctx, f.Studio, calendar.Day{}, nil)
	if err != nil {
		f.Log.Debug("what one more would save is not told", "err", err)
		return
	}
	for _, g := range shelf {
		for i := range g.Items {
			for _, m := range found.Items {
				if m.ID == g.Items[i].ID {
					g.Items[i].OneMore = m.Text
				}
			}
		}
	}
}
