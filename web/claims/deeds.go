package claims

import (
	"fmt"
	"net/http"
	"slices"
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
		p.Refund = p.Put(refundForm(&claims.RefundIn{Claim: v.ID}, v), fail)
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

// refundForm asks what is paid back, in the currency in which the order is owed; of each order, where they are owed in several.
func refundForm(in *claims.RefundIn, v claims.View) *form.Form {
	fm := form.New("refund", Address(in.Claim)+"/refund")
	book := v.Claimed.Currency
	if several(v.Bought) {
		in.Of = make([]claims.Back, len(v.Bought))
		for i, x := range v.Bought {
			b := &in.Of[i]
			b.Order, b.Amount = x.Order, x.Prints
			askBack(fm, fmt.Sprintf("-%d", x.Order), " of "+x.Mark, &b.Amount, &b.Worth, book, x.Paid)
		}
	} else if len(v.Bought) > 0 {
		in.Amount = money.Of(0, v.Bought[0].Paid.Currency)
		paid := in.Amount
		for _, x := range v.Bought {
			in.Amount.Minor, paid.Minor = in.Amount.Minor+x.Prints.Minor, paid.Minor+x.Paid.Minor
		}
		askBack(fm, "", "", &in.Amount, &in.Worth, book, paid)
	}
	fm.Text("reason", "Reason", &in.Reason).Must().Half()
	fm.Tick("keeps", "The buyer keeps the print", &in.Keeps).Wide()
	return fm
}

func several(all []claims.Bought) bool {
	return slices.ContainsFunc(all, func(x claims.Bought) bool { return x.Paid.Currency != all[0].Paid.Currency })
}

// askBack asks for an amount that is paid back, and of another currency than the book's what the bank took for it.
func askBack(fm *form.Form, key, of string, amount *money.Amount, worth **money.Amount, book string, paid money.Amount) {
	label := "Paid back" + of
	if amount.Currency != book {
		label += ", in " + amount.Currency
	}
	fm.AmountAs("amount"+key, label, amount, book).Small().OrEmpty().WithHint("the buyer paid " + paid.String())
	if amount.Currency != book {
		fm.AmountIf("worth"+key, "What the bank took"+of, worth, book).Small().WithHint("in " + book + "; by the day’s rate when left empty")
	}
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
		v, err2 := claims.Claim(r.Context(), f.Studio, id)
		if err2 != nil {
			return err2
		}
		in := claims.RefundIn{Claim: id}
		err = refundForm(&in, v).TakeAnd(r.PostForm, func() error { _, err := claims.Refund(r.Context(), f.Studio, in); return err })
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
