// Package claims is claims on operators in a browser: what was told of a parcel, its photos, and the deeds until it is closed. Each exported method
// of Claims answers one route of package web.
package claims

import (
	"bytes"
	"fmt"
	"net/http"
	"strconv"
	"time"

	"solander/calendar"
	"solander/claim"
	"solander/claims"
	"solander/fault"
	"solander/money"
	"solander/web/form"
	"solander/web/page"
)

// Claims is the handlers of this room.
type Claims struct{ *page.Kit }

// ListPage lists claims.
type ListPage struct {
	page.Frame
	Claims []claims.View
	All    bool // closed ones, too
}

const here = "/claims"

// Address is the page of a claim.
func Address(id int64) string { return here + "/" + strconv.FormatInt(id, 10) }

// List lists them: open ones, or with ?all=1 all.
func (f *Claims) List(w http.ResponseWriter, r *http.Request) error {
	fr, err := f.Frame(r, "orders", "Claims")
	if err != nil {
		return err
	}
	p := &ListPage{Frame: fr, All: r.URL.Query().Get("all") == "1"}
	if p.Claims, err = claims.List(r.Context(), f.Seen(r), p.All); err != nil {
		return err
	}
	return f.Show(w, r, http.StatusOK, "claims", p)
}

// TellPage asks what went wrong with a parcel.
type TellPage struct {
	page.Frame
	Parcel claims.Told
	Form   *form.Form
}

func tellForm(in *claims.OpenIn, p claims.Told, today calendar.Day) *form.Form {
	fm := form.New("claim", fmt.Sprintf("/parcels/%d/claim", p.Parcel))
	if in.Told.IsZero() {
		in.Told = today
	}
	var picks []form.Choice
	for _, k := range claim.Kinds() {
		picks = append(picks, form.Pick(string(k), form.Upper(k.Words())))
	}
	form.Select(fm, "kind", "What is wrong", &in.Kind, picks...).Half().Must()
	fm.Day("told", "You were told on", &in.Told).Half()
	if len(p.Prints) > 1 {
		for _, x := range p.Prints {
			about := false
			fm.Tick(fmt.Sprintf("line-%d", x.ID), "It is about "+x.Name, &about).Half()
			fm.Then(func(*fault.List) {
				if about {
					in.Lines = append(in.Lines, x.ID)
				}
			})
		}
	}
	fm.Area("note", "What was told", &in.Note).Wide()
	return fm
}

// Tell asks what went wrong with a parcel.
func (f *Claims) Tell(w http.ResponseWriter, r *http.Request, fail *page.Failure) error {
	id, err := page.PathID(r, "parcel")
	if err != nil {
		return err
	}
	told, err := claims.OfParcel(r.Context(), f.Seen(r), id)
	if err != nil {
		return err
	}
	fr, err := f.Frame(r, "orders", fmt.Sprintf("Something went wrong with parcel %d", id))
	if err != nil {
		return err
	}
	p := &TellPage{Frame: fr, Parcel: told}
	if !told.Sent || told.Claim != 0 {
		p.Tell(fail)
		return f.Show(w, r, page.StatusOf(fail), "claimtell", p)
	}
	p.Form = p.Put(tellForm(&claims.OpenIn{Kind: claim.Damaged}, told, fr.Today), fail)
	return f.Show(w, r, page.StatusOf(fail), "claimtell", p)
}

// Open notes it.
func (f *Claims) Open(w http.ResponseWriter, r *http.Request, id int64) error {
	told, err := claims.OfParcel(r.Context(), f.Studio, id)
	if err != nil {
		return err
	}
	in := claims.OpenIn{Parcel: id}
	var c claim.Claim
	if err = tellForm(&in, told, in.Told).Take(r.PostForm); err == nil {
		c, err = claims.Open(r.Context(), f.Studio, in)
	}
	if err != nil {
		return f.ShowAgain(w, r, "claim", err, f.Tell)
	}
	return f.DoneSaying(w, r, Address(c.ID), "claim")
}

// ClaimPage is one claim.
type ClaimPage struct {
	page.Frame
	View                                             claims.View
	Facts                                            []fact
	Photos                                           []photoRow
	Losses                                           []lossRow
	File, Answer, Paid, Replace, Refund, Close, Note *form.Form
	Photo                                            *form.Form
	Undo                                             string // "" = what was noted last cannot be taken back
	ByOrder                                          bool   // since the buyer was served by it
}

type fact struct {
	Name, Text string
	Late       bool
}

type photoRow struct {
	claim.Photo
	At, Remove string
}

type lossRow struct {
	Name                    string
	Print, Packing, Postage money.Amount
}

// Claim shows one.
func (f *Claims) Claim(w http.ResponseWriter, r *http.Request, fail *page.Failure) error {
	id, err := page.PathID(r, "claim")
	if err != nil {
		return err
	}
	v, err := claims.Claim(r.Context(), f.Seen(r), id)
	if err != nil {
		return err
	}
	fr, err := f.Frame(r, "orders", fmt.Sprintf("Claim %d", id))
	if err != nil {
		return err
	}
	p := &ClaimPage{Frame: fr, View: v, Facts: facts(v, fr.Today)}
	p.Tell(fail)
	for _, x := range v.Photos {
		at := fmt.Sprintf("%s/photos/%d", Address(id), x.ID)
		p.Photos = append(p.Photos, photoRow{x, at, at + "/remove"})
	}
	for _, l := range v.Losses {
		row := lossRow{Print: l.Print, Packing: l.Packing, Postage: l.Postage}
		for _, x := range v.Prints {
			if x.ID == l.Line {
				row.Name = x.Name
			}
		}
		p.Losses = append(p.Losses, row)
	}
	p.forms(fail)
	if v.MayUndo {
		p.Undo = Address(id) + "/take-back"
	}
	p.ByOrder = !v.MayUndo && v.Made.Gone()
	return f.Show(w, r, page.StatusOf(fail), "claim", p)
}

// facts are what is known of a claim, in the order in which it goes.
func facts(v claims.View, today calendar.Day) []fact {
	var out []fact
	say := func(name, text string, late bool) {
		if text != "" {
			out = append(out, fact{name, text, late})
		}
	}
	day := func(d calendar.Day) string {
		if d.IsZero() {
			return ""
		}
		return d.Long()
	}
	t := v.Terms
	say("Handed over", day(t.Posted)+", by "+v.Service, false)
	if t.Stated {
		say("May be filed", fmt.Sprintf("from %s to %s, %s after posting", t.First.Long(), t.Last.Long(), t.Words), v.State == claim.Told && t.Late(today) > 0)
		say("Other days", t.Note, false)
		say("By", fmt.Sprintf("%s (%s)", t.Source, t.Status), false)
	} else {
		say("May be filed", "the card does not tell; ask the operator", false)
	}
	say("Covered up to", t.Cover.String(), false)
	say("Worth", t.Worth.String()+" at the prices of the order", false)
	if !v.Filed.IsZero() {
		say("Filed", fmt.Sprintf("%s, %s claimed", v.Filed.Long(), v.Claimed), false)
		say("Above the cover", v.Above, false)
		say("Reference", v.Reference, false)
	}
	if !v.Answered.IsZero() {
		say("Answered", fmt.Sprintf("%s, %s granted", v.Answered.Long(), v.Granted), false)
		say("In its words", v.Claim.Answer, false)
	}
	if !v.PaidOn.IsZero() {
		say("Paid", fmt.Sprintf("%s, %s", v.PaidOn.Long(), v.Claim.Paid), false)
	}
	made := form.Upper(v.Made.Words())
	if !v.MadeOn.IsZero() {
		made += ", " + v.MadeOn.Long()
	}
	say("To the buyer", made, false)
	say("Closed", day(v.Ended), false)
	say("Note", v.Claim.Note, false)
	return out
}

// ShowPhoto sends a photo.
func (f *Claims) ShowPhoto(w http.ResponseWriter, r *http.Request) error {
	id, err := page.PathID(r, "photo")
	if err != nil {
		return err
	}
	p, body, err := claims.PhotoBody(r.Context(), f.Seen(r), id)
	if err != nil {
		return err
	}
	if at, err := page.PathID(r, "claim"); err != nil || at != p.Claim {
		return page.Missing("photo", id)
	}
	h := w.Header()
	h.Set("Content-Type", "image/jpeg")
	h.Set("ETag", `"`+p.Digest+`"`)
	h.Set("Cache-Control", "private, no-cache")
	http.ServeContent(w, r, "", time.Time{}, bytes.NewReader(body))
	return nil
}
