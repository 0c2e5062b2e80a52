package today

import (
	"net/http"
	"strconv"
	"strings"

	"solander/dispatch"
	"solander/fault"
	"solander/money"
	"solander/web/page"
)

// ScanPage is the bench for a scanner that types what it reads and then Enter: a mark, then a tracking number,
// then the next mark. The one field that is next has the focus.
type ScanPage struct {
	page.Frame
	Card  *dispatch.Scan // its tracking number is next; nil: a mark is next
	To    []string
	Noted *dispatch.Scan // what was noted just now
	Wrong string         // what could not be done
	Hint  string
	Paid  string // as typed
}

// Scan shows the field for a mark, or the parcel that ?code= means.
func (f *Bench) Scan(w http.ResponseWriter, r *http.Request) error {
	p, err := f.scanPage(r)
	if err != nil {
		return err
	}
	var fail error
	q := r.URL.Query()
	if code := q.Get("code"); code != "" {
		fail = f.cardInto(r, p, code)
	} else if id, err := strconv.ParseInt(q.Get("noted"), 10, 64); err == nil {
		if got, err := dispatch.Scanned(r.Context(), f.Seen(r), id); err == nil && got.Parcel.Tracking != "" {
			p.Noted = &got
		}
	}
	return f.showScan(w, r, p, fail)
}

func (f *Bench) scanPage(r *http.Request) (*ScanPage, error) {
	fr, err := f.Frame(r, "bench", "Scan")
	return &ScanPage{Frame: fr}, err
}

// cardInto finds the parcel that a code means.
func (f *Bench) cardInto(r *http.Request, p *ScanPage, code string) error {
	got, err := dispatch.ScanMark(r.Context(), f.Seen(r), code)
	if err != nil {
		return err
	}
	p.Card, p.To = &got, got.To.Block(page.Settings(r).Address.Country)
	return nil
}

// showScan shows the page; a fault of what was scanned stands on it in words.
func (f *Bench) showScan(w http.ResponseWriter, r *http.Request, p *ScanPage, fail error) error {
	if fail == nil {
		return f.Show(w, r, http.StatusOK, "scan", p)
	}
	if page.Ours(fail) {
		return fail
	}
	one := fault.All(fail)[0]
	p.Wrong, p.Hint = one.What, one.Mend
	p.Title = "Not done: scan"
	return f.Show(w, r, page.StatusOf(&page.Failure{Err: fail}), "scan", p)
}

// ScanTracking notes the tracking number of the card's parcel and leads to the next mark.
func (f *Bench) ScanTracking(w http.ResponseWriter, r *http.Request) error {
	id, err := page.PathID(r, "parcel")
	if err != nil {
		return err
	}
	set := page.Settings(r)
	var paid *money.Amount
	typed := strings.TrimSpace(r.PostForm.Get("paid"))
	if typed != "" {
		var a money.Amount
		if a, err = money.Parse(typed, set.Currency); err == nil {
			paid = &a
		}
	}
	if err == nil {
		err = dispatch.ScanTracking(r.Context(), f.Studio, id, r.PostForm.Get("tracking"), paid)
	}
	if err == nil {
		http.Redirect(w, r, "/scan?noted="+strconv.FormatInt(id, 10), http.StatusSeeOther)
		return nil
	}
	if page.Ours(err) {
		return err
	}
	p, broken := f.scanPage(r)
	if broken != nil {
		return broken
	}
	p.Paid = typed
	// The card stands as it was, so that the right number can be scanned; when it is gone, a mark is next.
	_ = f.cardInto(r, p, r.PostForm.Get("key"))
	return f.showScan(w, r, p, err)
}
