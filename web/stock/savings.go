package stock

import (
	"context"
	"fmt"
	"net/http"

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
	day, err := page.QueryDay(r)
	if err != nil {
		return err
	}
	ask, err := suppose.OneMoreLater(r.Context(), f.Seen(r), day)
	if err != nil {
		return err
	}
	fr, err := f.Frame(r, "drawer", "One more piece")
	if err != nil {
		return err
	}
	x := &page.Reckoning{Title: fr.Title, Room: fr.Room}
	x.Show = func(w http.ResponseWriter, r *http.Request, result any) error {
		found, ok := result.(suppose.OneMore)
		if !ok {
			return fmt.Errorf("web: %T is no answer about one more piece", result)
		}
		return f.Show(w, r, http.StatusOK, "savings", &SavingsPage{fr, found})
	}
	return f.Reckoned(w, r, x, func(ctx context.Context, tell dayplan.Tell) (any, error) { return ask(ctx, tell) }, nil)
}

// tellSavings puts on the shelf what is known at a glance of what one more piece would save.
func (f *Drawer) tellSavings(ctx context.Context, shelf []shelfGroup, ask func(context.Context, dayplan.Tell) (suppose.OneMore, error)) {
	ctx, stop := context.WithTimeout(ctx, f.Patience.Glance)
	defer stop()
	found, err := ask(ctx, nil)
	if err != nil {
		f.Log.DebugContext(ctx, "what one more would save is not told", "err", err)
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
