// Package privacy is what is kept of a buyer, in a browser: given out as a file, erased after a trial; and how long buyers are kept, who
// is due, what was erased. Each exported method of Privacy answers one route of package web.
package privacy

import (
	"bytes"
	"encoding/json"
	"fmt"
	"net/http"
	"strconv"

	"solander/fault"
	"solander/privacy"
	"solander/upkeep"
	"solander/web/form"
	"solander/web/page"
)

// Privacy is the handlers of this room.
type Privacy struct{ *page.Kit }

// Page is how long buyers are kept, who is due, and what was erased.
type Page struct {
	page.Frame
	Rule     *form.Form
	Set      bool // a rule makes somebody due
	Due      []privacy.Due
	Free     int // of them, whom nothing keeps
	Erasures []upkeep.Erasure
}

// latest is how many erasures the page lists.
const latest = 50

func ruleForm(r *upkeep.Retention) *form.Form {
	fm := form.New("retention", "/studio/privacy")
	fm.Whole("retention.years", "Years after the last payment or hand-over", &r.Years).Half().WithHint("0: kept without end")
	fm.Whole("retention.unpaid_years", "Years of who never paid anything", &r.UnpaidYears).Half().WithHint("after the last order; 0: kept without end")
	fm.Whole("retention.tax_years", "Years that the tax may ask for a sale", &r.TaxYears).Half().WithHint("after the end of its year; ask your adviser")
	fm.Tick("retention.scheduled", "Who is due is erased by itself", &r.Scheduled).Half().WithHint("else by your word, below")
	return fm.Sealed()
}

// Show is the page.
func (f *Privacy) Show(w http.ResponseWriter, r *http.Request, fail *page.Failure) error {
	fr, err := f.Frame(r, "studio", "Privacy")
	if err != nil {
		return err
	}
	p := &Page{Frame: fr}
	rule := upkeep.Retention{}
	if set := page.Settings(r); set.Retention != nil {
		rule = *set.Retention
	}
	p.Set = rule.Years > 0 || rule.UnpaidYears > 0
	p.Tell(fail)
	p.Rule = p.Put(ruleForm(&rule), fail)
	if p.Due, err = privacy.WhoIsDue(r.Context(), f.Seen(r)); err != nil {
		return err
	}
	for _, d := range p.Due {
		if len(d.InTheWay) == 0 {
			p.Free++
		}
	}
	if p.Erasures, err = privacy.Erasures(r.Context(), f.Seen(r), latest); err != nil {
		return err
	}
	return f.Kit.Show(w, r, page.StatusOf(fail), "privacy", p)
}

// Save keeps the rule.
func (f *Privacy) Save(w http.ResponseWriter, r *http.Request) error {
	if err := privacy.ChangeRetention(r.Context(), f.Studio, form.Changing(r, ruleForm)); err != nil {
		return f.ShowAgain(w, r, "retention", err, f.Show)
	}
	return f.DoneSaying(w, r, "/studio/privacy", "settings")
}

// EraseDue erases the chosen of those who are due.
func (f *Privacy) EraseDue(w http.ResponseWriter, r *http.Request) error {
	var ids []int64
	for _, v := range r.PostForm["buyer"] {
		id, err := strconv.ParseInt(v, 10, 64)
		if err != nil {
			return fault.Invalidf("buyers", "%.20q is not in the list", v).ToMend("choose buyers of the list")
		}
		ids = append(ids, id)
	}
	err := privacy.Chosen(ids)
	if err == nil && r.PostForm.Get("sure") == "" {
		err = unsure
	}
	if err == nil {
		_, err = privacy.EraseDue(r.Context(), f.Studio, ids)
	}
	if err != nil {
		return f.ShowAgain(w, r, "", err, f.Show)
	}
	return f.DoneSaying(w, r, "/studio/privacy", "erased")
}

var unsure = fault.New(fault.Invalid, "you have not said that you are sure").In("sure").ToMend("tick that it cannot be undone")

// Wipe writes the files of the store anew.
func (f *Privacy) Wipe(w http.ResponseWriter, r *http.Request) error {
	if err := privacy.Wipe(r.Context(), f.Studio); err != nil {
		return f.ShowAgain(w, r, "", err, f.Show)
	}
	return f.DoneSaying(w, r, "/studio/privacy", "wiped")
}

// List sends the list of erasures as a file.
func (f *Privacy) List(w http.ResponseWriter, r *http.Request) error {
	l, err := privacy.ErasureList(r.Context(), f.Seen(r))
	if err != nil {
		return err
	}
	body, err := json.Marshal(l)
	if err != nil {
		return err
	}
	return send(w, r, "application/json", "erasures.json", body)
}

// Data sends everything that is kept of a buyer as a file.
func (f *Privacy) Data(w http.ResponseWriter, r *http.Request) error {
	id, err := page.PathID(r, "buyer")
	if err != nil {
		return err
	}
	d, err := privacy.KeptOf(r.Context(), f.Seen(r), id)
	if err != nil {
		return err
	}
	var out bytes.Buffer
	if err := d.Zip(&out); err != nil {
		return err
	}
	return send(w, r, "application/zip", d.FileName(), out.Bytes())
}

func send(w http.ResponseWriter, r *http.Request, kind, name string, body []byte) error {
	return page.After(w, r, func(w http.ResponseWriter) error {
		w.Header().Set("Content-Type", kind)
		w.Header().Set("Content-Disposition", fmt.Sprintf(`attachment; filename="%s"`, name))
		_, err := w.Write(body)
		return err
	})
}

// ErasePage is the trial of erasing a buyer.
type ErasePage struct {
	page.Frame
	Trial privacy.Trial
	Stuck bool // something is in the way that she cannot say away
	Early bool // the tax's time alone is
}

// TryErase shows what erasing a buyer would do.
func (f *Privacy) TryErase(w http.ResponseWriter, r *http.Request, fail *page.Failure) error {
	id, err := page.PathID(r, "buyer")
	if err != nil {
		return err
	}
	tr, err := privacy.Try(r.Context(), f.Seen(r), id)
	if err != nil {
		return err
	}
	fr, err := f.Frame(r, "orders", "Erase "+tr.Buyer.Name)
	if err != nil {
		return err
	}
	p := &ErasePage{Frame: fr, Trial: tr}
	for _, b := range tr.InTheWay {
		if b.Rule == privacy.TaxTime {
			p.Early = true
		} else {
			p.Stuck = true
		}
	}
	p.Tell(fail)
	return f.Kit.Show(w, r, page.StatusOf(fail), "erase", p)
}

// Erase erases a buyer as the trial said.
func (f *Privacy) Erase(w http.ResponseWriter, r *http.Request, id int64) error {
	err := error(unsure)
	if r.PostForm.Get("sure") != "" {
		_, err = privacy.Erase(r.Context(), f.Studio, privacy.EraseIn{Buyer: id, Seen: r.PostForm.Get("seen"), Early: r.PostForm.Get("early") != ""})
	}
	if err != nil {
		return f.ShowAgain(w, r, "", err, f.TryErase)
	}
	return f.DoneSaying(w, r, "/studio/privacy", "erased")
}
