package today

import (
	"fmt"
	"net/http"
	"strconv"

	"solander/fault"
	"solander/labelling"
	"solander/money"
	"solander/web/form"
	"solander/web/page"
)

// ScanPage is the bench for a scanner that types what it reads and then Enter: a mark, then a tracking number,
// then the next mark. The one field that is next has the focus.
type ScanPage struct {
	page.Frame
	Card  *labelling.Scan // its tracking number is next; nil: a mark is next
	To    []string
	Form  *form.Form
	Noted *labelling.Scan // what was noted just now
	Wrong string          // what could not be done
	Hint  string
}

func markForm(mark *string) *form.Form {
	fm := form.New("scan", "/scan")
	fm.Text("code", "Mark of the order", mark).Scan()
	return fm
}

// scannedIn is what is noted of a parcel.
type scannedIn struct {
	key      string // of the card that it was scanned for
	tracking string
	paid     *money.Amount // nil: none is noted
}

// scanForm asks for the tracking number of a card's parcel.
func scanForm(id int64, card *labelling.Scan, in *scannedIn, cur string) *form.Form {
	fm := form.New("scan", fmt.Sprintf("/scan/%d", id))
	fm.Text("key", "", &in.key).As("hidden")
	fm.Text("tracking", "Tracking number", &in.tracking).Scan().WithHint("noted at once; the next mark comes after it")
	paid := fm.AmountIf("paid", "Postage paid", &in.paid, cur).WithAuto("off")
	switch {
	case card == nil:
	case card.Parcel.Paid.IsZero():
		paid.WithHint("empty: none is noted; by the card " + card.Parcel.Estimated.String())
	default:
		paid.WithHint("empty: " + card.Parcel.Paid.String() + ", as noted")
	}
	return fm
}

// Scan shows the field for a mark, or the parcel that ?code= means.
func (f *Bench) Scan(w http.ResponseWriter, r *http.Request) error {
	p, err := f.scanPage(r)
	if err != nil {
		return err
	}
	q, code := r.URL.Query(), ""
	if err := markForm(&code).Take(q); err != nil {
		return err
	}
	var fail error
	if code != "" {
		fail = f.cardInto(r, p, code)
	} else if id, err := strconv.ParseInt(q.Get("noted"), 10, 64); err == nil {
		if got, err := labelling.Scanned(r.Context(), f.Seen(r), id); err == nil && got.Parcel.Tracking != "" {
			p.Noted = &got
		}
	}
	return f.showScan(w, r, p, fail)
}

func (f *Bench) scanPage(r *http.Request) (*ScanPage, error) {
	fr, err := f.Frame(r, "bench", "Scan")
	return &ScanPage{Frame: fr, Form: markForm(new(string))}, err
}

// cardInto finds the parcel that a code means.
func (f *Bench) cardInto(r *http.Request, p *ScanPage, code string) error {
	got, err := labelling.ScanMark(r.Context(), f.Seen(r), code)
	if err != nil {
		return err
	}
	set := page.Settings(r)
	p.Card, p.To = &got, got.To.Block(set.Address.Country)
	p.Form = scanForm(got.Parcel.ID, &got, &scannedIn{key: got.Key}, set.Currency)
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
func (f *Bench) ScanTracking(w http.ResponseWriter, r *http.Request, id int64) error {
	var in scannedIn
	err := scanForm(id, nil, &in, page.Settings(r).Currency).Take(r.PostForm)
	if err == nil {
		err = labelling.ScanTracking(r.Context(), f.Studio, id, in.tracking, in.paid)
	}
	if err == nil {
		http.Redirect(w, r, "/scan?noted="+strconv.FormatInt(id, 10), http.StatusSeeOther)
		return nil
	}
	return f.ShowAgain(w, r, "scan", err, func(w http.ResponseWriter, r *http.Request, fail *page.Failure) error {
		p, err := f.scanPage(r)
		if err != nil {
			return err
		}
		// The card stands as it was, so that the right number can be scanned; when it is gone, a mark is next.
		if f.cardInto(r, p, in.key) == nil {
			p.Form.Find("paid").Is(fail.Typed.Get("paid"))
		}
		return f.showScan(w, r, p, fail.Err)
	})
}
