// Package people is the buyers in a browser: by name, one with every order of hers, and who of them is one person. Each
// exported method of People answers one route of package web.
package people

import (
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strconv"

	"solander/buyers"
	"solander/calendar"
	"solander/fault"
	"solander/order"
	"solander/studio"
	"solander/web/form"
	"solander/web/page"
)

// People is the handlers of this room.
type People struct {
	*page.Kit
}

// PeoplePage is the buyers by name, and who of them may be one person.
type PeoplePage struct {
	page.Frame
	Rows   []personRow
	Asked  string // what is searched for
	More   string // address of the next page; "" = no more
	Behind bool   // it is not the first page
	Groups []likelyGroup
}

// personRow is a buyer in a list.
type personRow struct {
	buyers.BuyerRow
	Last string // the day of her latest order
}

// likelyGroup is buyers who may be one person.
type likelyGroup struct {
	N    int // for ids on the page
	Rows []likelyRow
}

// likelyRow is one of them.
type likelyRow struct {
	buyers.LikelyBuyer
	N      int // of its group
	Why    string
	Last   string
	Ticked bool // proposed: e-mail and name are the same. Two people taken for one are worse than one left as two
}

// whyAlike says in words why two buyers may be one person.
var whyAlike = map[string]string{
	order.ByEmail:       "the same e-mail address and name",
	order.ByAddress:     "the same name and address",
	order.ByMailAlone:   "the same e-mail address, another name",
	order.ByOtherMail:   "the same name and address, another e-mail address",
	order.ByNameAndLess: "the same name; of one of them nothing else is known",
}

func lastDay(d calendar.Day) string {
	if d.IsZero() {
		return ""
	}
	return d.Long()
}

func likelyRows(n int, all []buyers.LikelyBuyer) []likelyRow {
	var out []likelyRow
	for _, b := range all {
		out = append(out, likelyRow{b, n, whyAlike[b.Rule], lastDay(b.Last), b.Rule == order.ByEmail})
	}
	return out
}

func (f *People) All(w http.ResponseWriter, r *http.Request, fail *page.Failure) error {
	fr, err := f.Frame(r, "orders", "Buyers")
	if err != nil {
		return err
	}
	p := &PeoplePage{Frame: fr, Asked: r.URL.Query().Get("text")}
	p.Tell(fail)
	q := studio.BuyerQuery{Text: p.Asked}
	if after := r.URL.Query().Get("after"); after != "" {
		if q.After, err = strconv.ParseInt(after, 10, 64); err != nil || q.After <= 0 {
			return fault.Invalidf("after", "%.20q is not a place in the list", after).ToMend("start from the first page")
		}
		p.Behind = true
	}
	found, err := buyers.Buyers(r.Context(), f.Seen(r), q)
	if err != nil {
		return err
	}
	for _, b := range found.Rows {
		p.Rows = append(p.Rows, personRow{b, lastDay(b.Last)})
	}
	if found.Next != 0 {
		next := url.Values{"after": {form.Text64(found.Next)}}
		if p.Asked != "" {
			next.Set("text", p.Asked)
		}
		p.More = "/buyers?" + next.Encode()
	}
	if p.Asked == "" && !p.Behind {
		groups, err := buyers.LikelyBuyers(r.Context(), f.Seen(r))
		if err != nil {
			return err
		}
		for i, g := range groups {
			p.Groups = append(p.Groups, likelyGroup{i + 1, likelyRows(i+1, g.Buyers)})
		}
	}
	return f.Show(w, r, page.StatusOf(fail), "people", p)
}

// SamePeople takes the chosen buyers as one person, or notes that they are not. Who has been in the book longest stays.
func (f *People) SamePeople(w http.ResponseWriter, r *http.Request) error {
	ids, err := chosen(r.PostForm["buyer"])
	var d buyers.BuyerDeed
	if err == nil {
		d, err = f.sameOrApart(r, ids)
	}
	if err != nil {
		return f.ShowAgain(w, r, "", err, f.All)
	}
	return f.doneDeed(w, r, d)
}

func (f *People) sameOrApart(r *http.Request, ids []int64) (buyers.BuyerDeed, error) {
	if len(ids) < 2 {
		return buyers.BuyerDeed{}, fault.Invalidf("buyers", "fewer than two buyers are chosen").ToMend("choose those that you mean")
	}
	slices.Sort(ids)
	if r.PostForm.Get("deed") == "apart" {
		return buyers.TellApart(r.Context(), f.Studio, ids)
	}
	return buyers.MergeBuyers(r.Context(), f.Studio, buyers.MergeIn{Into: ids[0], Others: ids[1:]})
}

func chosen(values []string) ([]int64, error) {
	var out []int64
	for _, v := range values {
		id, err := strconv.ParseInt(v, 10, 64)
		if err != nil || id <= 0 {
			return nil, fault.Invalidf("buyers", "%.20q is not in the list", v).ToMend("choose buyers of the list")
		}
		out = append(out, id)
	}
	return out, nil
}

// doneDeed leads to the buyer that a deed is about, says what was done, and offers to undo it.
func (f *People) doneDeed(w http.ResponseWriter, r *http.Request, d buyers.BuyerDeed) error {
	http.Redirect(w, r, page.With(fmt.Sprintf("/buyers/%d", d.Buyer.ID), "marked", form.Text64(d.Mark)), http.StatusSeeOther)
	return nil
}

// partForm asks who the buyer of the chosen orders is.
func partForm(id int64, as *order.Buyer) *form.Form {
	fm := form.New("part", fmt.Sprintf("/buyers/%d/part", id))
	askBuyer(fm, as)
	fm.Find("buyer").WithHint("empty: as the first chosen order says")
	return fm
}

func (f *People) PartBuyer(w http.ResponseWriter, r *http.Request, id int64) error {
	in := buyers.PartIn{Buyer: id, Orders: r.PostForm["order"]}
	fm := partForm(id, &in.As)
	err := fm.Take(r.PostForm)
	if err == nil {
		var d buyers.BuyerDeed
		if d, err = buyers.PartBuyer(r.Context(), f.Studio, in); err == nil {
			return f.doneDeed(w, r, d)
		}
	}
	return f.ShowAgain(w, r, fm.Name, err, f.Buyer)
}
