package claims

import (
	"net/http"
	"strconv"

	"solander/claim"
	"solander/claims"
	"solander/money"
	"solander/web/form"
	"solander/web/page"
)

// forms lays out what may be done as the claim stands.
func (p *ClaimPage) forms(fail *page.Failure) {
	v := p.View
	if !v.Open() {
		return
	}
	cur := v.Claimed.Currency
	switch v.State {
	case claim.Told:
		p.File = p.Put(fileForm(&claims.FileIn{Claim: v.ID, Amount: v.Terms.Most(), Day: p.Today}, cur), fail)
	case claim.Filed:
		p.Answer = p.Put(answerForm(&claims.AnswerIn{Claim: v.ID, Day: p.Today, Granted: v.Claimed}, cur), fail)
		p.Paid = p.Put(paidForm(&claims.PaidIn{Claim: v.ID, Day: p.Today, Amount: v.Claimed}, cur), fail)
	case claim.Granted:
		p.Paid = p.Put(paidForm(&claims.PaidIn{Claim: v.ID, Day: p.Today, Amount: v.Granted}, cur), fail)
	}
	if v.Made == "" {
		p.Replace = p.Put(replaceForm(&claims.ReplaceIn{Claim: v.ID}), fail)
		p.Refund = p.Put(refundForm(&claims.RefundIn{Claim: v.ID, Amount: v.Terms.Worth}, cur), fail)
	}
	p.Close = p.Put(closeForm(&claims.CloseIn{Claim: v.ID, Day: p.Today}, v.Made), fail)
	note := v.Claim.Note
	p.Note = p.Put(noteForm(v.ID, &note), fail)
	if len(v.Photos) < claim.MostPhotos {
		alt := ""
		p.Photo = p.Put(photoForm(v.ID, &alt), fail)
	}
}

func fileForm(in *claims.FileIn, currency string) *form.Form {
	fm := form.New("file", Address(in.Claim)+"/file")
	fm.Amount("amount", "Claimed", &in.Amount, currency).Small().Must()
	fm.Day("day", "Filed on", &in.Day).Small()
	fm.Text("reference", "Reference of the operator", &in.Reference).Half()
	fm.Text("above", "Why it is more than the cover", &in.Above).Wide().WithHint("for that alone")
	return fm
}

func answerForm(in *claims.AnswerIn, currency string) *form.Form {
	fm := form.New("answer", Address(in.Claim)+"/answer")
	fm.Amount("granted", "It pays", &in.Granted, currency).Small().OrEmpty().WithHint("empty or 0: it refuses")
	fm.Day("day", "Answered on", &in.Day).Small()
	fm.Area("answer", "In its words", &in.Words).Wide()
	return fm
}

func paidForm(in *claims.PaidIn, currency string) *form.Form {
	fm := form.New("paid", Address(in.Claim)+"/paid")
	fm.Amount("amount", "Paid", &in.Amount, currency).Small().Must()
	fm.Day("day", "On", &in.Day).Small()
	return fm
}

func replaceForm(in *claims.ReplaceIn) *form.Form {
	fm := form.New("replace", Address(in.Claim)+"/replace")
	fm.Text("reason", "Reason", &in.Reason).Wide().Must().WithHint("it stands in the register")
	fm.Day("promised", "Promised by", &in.Promised).Half().WithHint("empty: by the outlet’s promise")
	fm.Tick("new_number", "Another number; the old one stays spoilt", &in.NewNumber).Half()
	return fm
}

func refundForm(in *claims.RefundIn, currency string) *form.Form {
	fm := form.New("refund", Address(in.Claim)+"/refund")
	fm.Amount("amount", "Paid back", &in.Amount, currency).Small().Must()
	fm.Text("reason", "Reason", &in.Reason).Must().Half()
	fm.Tick("keeps", "The buyer keeps the print", &in.Keeps).Wide()
	return fm
}

func closeForm(in *claims.CloseIn, made claim.Made) *form.Form {
	fm := form.New("close", Address(in.Claim)+"/close")
	fm.Day("day", "On", &in.Day).Small()
	if made == "" {
		fm.Tick("arrived", "It arrived after all, or was whole: nothing is to be made good", &in.Arrived).Wide()
	}
	return fm
}

func noteForm(id int64, note *string) *form.Form {
	fm := form.New("note", Address(id)+"/note")
	fm.Area("note", "Note", note).Wide()
	return fm.Sealed()
}

func photoForm(id int64, alt *string) *form.Form {
	fm := form.New("photo", Address(id)+"/photos")
	page.AskPicture(fm, "A photo of the damage")
	fm.Text("alt", "What is to be seen", alt).Half().WithAuto("off").WithHint("in a sentence, for who cannot see it: “The corner is crushed”")
	return fm
}

// Deed does what the address names, and shows the claim again.
func (f *Claims) Deed(w http.ResponseWriter, r *http.Request, id int64) error {
	what := r.PathValue("deed")
	var err error
	switch what {
	case "file":
		in := claims.FileIn{Claim: id}
		err = fileForm(&in, f.currency(r)).TakeAnd(r.PostForm, func() error { _, err := claims.File(r.Context(), f.Studio, in); return err })
	case "answer":
		in := claims.AnswerIn{Claim: id}
		err = answerForm(&in, f.currency(r)).TakeAnd(r.PostForm, func() error { _, err := claims.Answer(r.Context(), f.Studio, in); return err })
	case "paid":
		in := claims.PaidIn{Claim: id}
		err = paidForm(&in, f.currency(r)).TakeAnd(r.PostForm, func() error { _, err := claims.Paid(r.Context(), f.Studio, in); return err })
	case "replace":
		in := claims.ReplaceIn{Claim: id}
		err = replaceForm(&in).TakeAnd(r.PostForm, func() error { _, err := claims.Replace(r.Context(), f.Studio, in); return err })
	case "refund":
		in := claims.RefundIn{Claim: id, Amount: money.Of(0, f.currency(r))}
		err = refundForm(&in, f.currency(r)).TakeAnd(r.PostForm, func() error { _, err := claims.Refund(r.Context(), f.Studio, in); return err })
	case "close":
		in := claims.CloseIn{Claim: id}
		err = closeForm(&in, "").TakeAnd(r.PostForm, func() error { _, err := claims.Close(r.Context(), f.Studio, in); return err })
	case "note":
		note := ""
		err = noteForm(id, &note).TakeAnd(r.PostForm, func() error { _, err := claims.Note(r.Context(), f.Studio, id, note); return err })
	case "take-back":
		if _, err = claims.TakeBack(r.Context(), f.Studio, id); err != nil {
			return err
		}
	default:
		return page.Missing("deed", id)
	}
	if err != nil {
		return f.ShowAgain(w, r, what, err, f.Claim)
	}
	if what == "take-back" {
		what = "undone"
	}
	return f.DoneSaying(w, r, Address(id), "claim-"+what)
}

func (f *Claims) currency(r *http.Request) string { return page.Settings(r).Currency }

// AddPhoto keeps a photo of the damage.
func (f *Claims) AddPhoto(w http.ResponseWriter, r *http.Request, id int64) error {
	alt := ""
	err := photoForm(id, &alt).TakeAnd(r.PostForm, func() error {
		body, err := page.SentPicture(r)
		if err == nil {
			_, err = claims.Photo(r.Context(), f.Studio, id, body, alt)
		}
		return err
	})
	if err != nil {
		return f.ShowAgain(w, r, "photo", err, f.Claim)
	}
	return f.DoneSaying(w, r, Address(id)+"#photos", "claim-photo")
}

// RemovePhoto forgets one.
func (f *Claims) RemovePhoto(w http.ResponseWriter, r *http.Request, id int64) error {
	claimed, err := page.PathID(r, "claim")
	if err != nil {
		return err
	}
	if err := claims.DropPhoto(r.Context(), f.Studio, claimed, id); err != nil {
		return err
	}
	return f.DoneSaying(w, r, here+"/"+strconv.FormatInt(claimed, 10)+"#photos", "claim-no-photo")
}
