package bank

import (
	"fmt"
	"io"
	"net/http"
	"strconv"
	"strings"

	"solander/bankfile"
	"solander/banking"
	"solander/book"
	"solander/fault"
	"solander/web/page"
)

// Rename changes name and number of an account.
func (f *Bank) Rename(w http.ResponseWriter, r *http.Request, id int64) error {
	v, err := banking.Account(r.Context(), f.Studio, id)
	if err != nil {
		return err
	}
	if err = accountForm(&v.Account).Take(r.PostForm); err == nil {
		_, err = banking.SaveAccount(r.Context(), f.Studio, v.Account)
	}
	if err != nil {
		return f.ShowAgain(w, r, "account", err, f.Account)
	}
	return f.DoneSaying(w, r, address(id), "bank-account")
}

// BringIn brings a file in.
func (f *Bank) BringIn(w http.ResponseWriter, r *http.Request, id int64) error {
	var m bankfile.Mapping
	err := bringForm(&m, id).Take(r.PostForm)
	if err == nil {
		err = f.bring(r, id, m)
	}
	if err != nil {
		return f.ShowAgain(w, r, "bring", err, f.Account)
	}
	return f.DoneSaying(w, r, address(id), "bank-file")
}

func (f *Bank) bring(r *http.Request, id int64, m bankfile.Mapping) error {
	file, err := page.Sent(r, "file")
	if err != nil {
		return err
	}
	defer file.Close()
	body, err := io.ReadAll(io.LimitReader(file, banking.MaxFile+1))
	if err != nil {
		return fault.Invalidf("file", "the file could not be read").ToMend("send it again").Because(err)
	}
	in := banking.BringIn{Account: id, Name: r.MultipartForm.File["file"][0].Filename, Body: body}
	if m != (bankfile.Mapping{}) {
		in.Mapping = &m
	}
	_, err = banking.Bring(r.Context(), f.Studio, in)
	return err
}

// TakeOut forgets a file.
func (f *Bank) TakeOut(w http.ResponseWriter, r *http.Request, id int64) error {
	b, err := banking.TakeOut(r.Context(), f.Studio, id)
	if err != nil {
		return err
	}
	return f.DoneSaying(w, r, address(b.Account), "bank-gone")
}

// Yes matches the lines that are ticked.
func (f *Bank) Yes(w http.ResponseWriter, r *http.Request, id int64) error {
	var all []banking.MatchIn
	for _, v := range r.PostForm["pair"] {
		in, err := pairOf(v)
		if err != nil {
			return err
		}
		all = append(all, in)
	}
	if err := banking.Match(r.Context(), f.Studio, all); err != nil {
		return f.ShowAgain(w, r, "", err, f.Account)
	}
	return f.DoneSaying(w, r, address(id), "bank-yes")
}

// valueOf writes what a tick says: line, payment, order, payout, money of a gallery, gallery, claim, cash carried to the bank, day at a table.
func valueOf(in banking.MatchIn) string {
	return fmt.Sprintf("%d.%d.%d.%d.%d.%d.%d.%d.%d", in.Line, in.Payment, in.Order, in.Payout, in.Money, in.Gallery, in.Claim, in.Carry, in.Fair)
}

// pairOf reads what valueOf writes.
func pairOf(v string) (in banking.MatchIn, err error) {
	parts, to := strings.Split(v, "."), []*int64{&in.Line, &in.Payment, &in.Order, &in.Payout, &in.Money, &in.Gallery, &in.Claim, &in.Carry, &in.Fair}
	if len(parts) == len(to) {
		for i := range to {
			if *to[i], err = strconv.ParseInt(parts[i], 10, 64); err != nil {
				break
			}
		}
	}
	if len(parts) != len(to) || err != nil {
		return in, fault.Invalidf("pair", "%.40q is not in the list", v).ToMend("tick those of the list")
	}
	return in, nil
}

// shown is the account's page of a line.
func (f *Bank) again(w http.ResponseWriter, r *http.Request, line int64, name string, fail error) error {
	l, err := banking.Line(r.Context(), f.Studio, line)
	if err != nil {
		return err
	}
	r.SetPathValue("account", strconv.FormatInt(l.Account, 10))
	if fail != nil {
		return f.ShowAgain(w, r, name+"-"+strconv.FormatInt(line, 10), fail, f.Account)
	}
	return f.DoneSaying(w, r, address(l.Account), map[string]string{"aside": "bank-aside", "order": "bank-yes", "reopen": "bank-open"}[name])
}

// Aside sets a line aside.
func (f *Bank) Aside(w http.ResponseWriter, r *http.Request, id int64) error {
	return f.again(w, r, id, "aside", banking.SetAside(r.Context(), f.Studio, id, strings.TrimSpace(r.PostForm.Get("why"))))
}

// Order says of which order a line is a payment.
func (f *Bank) Order(w http.ResponseWriter, r *http.Request, id int64) error {
	o, err := book.OrderByMark(r.Context(), f.Studio, strings.ToUpper(strings.TrimSpace(r.PostForm.Get("order"))))
	if fault.Is(err, fault.Missing) {
		err = fault.New(fault.Missing, "there is no such order").In("order").ToMend("write its mark, like S-1042")
	}
	if err == nil {
		err = banking.Match(r.Context(), f.Studio, []banking.MatchIn{{Line: id, Order: o.ID}})
	}
	return f.again(w, r, id, "order", err)
}

// Reopen takes back what was said of a line.
func (f *Bank) Reopen(w http.ResponseWriter, r *http.Request, id int64) error {
	return f.again(w, r, id, "reopen", banking.Reopen(r.Context(), f.Studio, id))
}
