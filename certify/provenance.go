package certify

import (
	"context"
	"errors"
	"strings"

	"solander/calendar"
	"solander/certificate"
	"solander/edition"
	"solander/fault"
	"solander/order"
	"solander/studio"
)

// TellIn is what an owner tells of a print, with its certificate in hand.
type TellIn struct {
	Code string // of the certificate, or its file
	Told certificate.Event
	Name string // of the owner: the new one of a transfer or resale; "" = not said
	Note string
	Day  calendar.Day // none: today
}

// Validate looks at the input alone.
func (in TellIn) Validate() error {
	var l fault.List
	known := false
	for _, e := range certificate.Events() {
		known = known || e == in.Told
	}
	l.Check(strings.TrimSpace(in.Code) != "", "code", "the certificate is missing", "paste the text of its code, or of its file")
	l.Check(known, "told", "an owner tells of a transfer, a resale, a theft, a loss, or that it was found", "choose one of them")
	l.Add(order.Text("name", in.Name, 120, false))
	l.Add(order.Text("note", in.Note, 400, false))
	l.Add(studio.Sane("day", in.Day))
	return l.Err()
}

// Tell notes what an owner tells of a print. The certificate must be in hand, and hold.
// Faults: Invalid; Refused for a certificate that does not hold, or a print that did not leave the house.
func Tell(ctx context.Context, s *studio.Studio, in TellIn) (certificate.Transfer, error) {
	if err := in.Validate(); err != nil {
		return certificate.Transfer{}, err
	}
	var out certificate.Transfer
	err := write(ctx, s, func(t *Certify) (err error) {
		out, err = t.tell(in)
		return err
	})
	return out, err
}

func (t *Certify) tell(in TellIn) (certificate.Transfer, error) {
	v, err := t.check(in.Code)
	if err != nil {
		return certificate.Transfer{}, err
	}
	if !v.Word.Good() {
		return certificate.Transfer{}, fault.New(fault.Refused, "the certificate does not hold: %s", strings.TrimSuffix(v.Says, ".")).In("code").ToMend("ask for the certificate that goes with the print")
	}
	serial, err := certificate.SerialIn(in.Code)
	if err != nil {
		return certificate.Transfer{}, err
	}
	c, err := t.Certificate(serial)
	if err != nil {
		return certificate.Transfer{}, err
	}
	e, err := t.EditionOf(c.Edition)
	if err != nil {
		return certificate.Transfer{}, err
	}
	where := c.Number.Of(e) + " of " + e.Title
	st, err := t.Standing(c.Edition, c.Number)
	if err != nil {
		return certificate.Transfer{}, err
	}
	if st.State != edition.Sent {
		return certificate.Transfer{}, fault.New(fault.Refused, "it is %s: it did not leave the house", st.State).At("%s", where).In("code").ToMend("an owner tells of a print that was sent")
	}
	day, err := t.NotFuture("day", in.Day)
	if err != nil {
		return certificate.Transfer{}, err
	}
	salts, err := t.NewSalts(1)
	if err != nil {
		return certificate.Transfer{}, err
	}
	o := certificate.Owner{Salt: salts[0], Name: strings.TrimSpace(in.Name), Note: strings.TrimSpace(in.Note)}
	x := certificate.Transfer{
		Edition: c.Edition, Number: c.Number, Certificate: c.ID, Told: in.Told, Kept: o.Commitment(), Day: day, At: t.Now, Who: t.Who, Words: o.Words(),
	}
	if x.ID, err = t.AddTransfer(x); err != nil {
		return x, err
	}
	if _, err := t.AppendLeaf(x.Leaf()); err != nil {
		return x, err
	}
	return x, t.Note(0, "%s: its owner tells: %s", where, in.Told)
}

// Forget forgets who told something; that it was told, and its proof, stand: it returns them. Faults: Missing.
func Forget(ctx context.Context, s *studio.Studio, id int64) (x certificate.Transfer, err error) {
	err = write(ctx, s, func(t *Certify) (err error) {
		if x, err = t.ForgetTransfer(id); err != nil {
			return err
		}
		return t.Note(0, "who told %d of a print was forgotten", id)
	})
	return x, err
}

// Link is one link of the chain of who had a print.
type Link struct {
	Day   calendar.Day `json:"day"`
	What  string       `json:"what"`           // "sent", "resale"
	Name  string       `json:"name,omitempty"` // "" = not said, or forgotten
	Note  string       `json:"note,omitempty"`
	Order string       `json:"order,omitempty"`
	ID    int64        `json:"id,omitempty"` // of what an owner told
	Gone  bool         `json:"forgotten,omitempty"`
}

// Provenance is who had a number: the studio, its buyer, and what owners told since.
type Provenance struct {
	Edition edition.Edition `json:"edition"`
	Label   string          `json:"label"`
	Links   []Link          `json:"links"`
	Missing bool            `json:"missing"` // stolen or lost, and not found again
}

// Has is who has it now, as far as is known: the name of the last link.
func (p Provenance) Has() string {
	if len(p.Links) == 0 || p.Missing {
		return ""
	}
	return p.Links[len(p.Links)-1].Name
}

// ProvenanceOf reads who had a number. Faults: Invalid, Missing.
func ProvenanceOf(ctx context.Context, s *studio.Studio, ed int64, n edition.Number) (Provenance, error) {
	return studio.Got(ctx, s, read, func(t *Certify) (Provenance, error) { return t.provenance(ed, n) })
}

func (t *Certify) provenance(ed int64, n edition.Number) (Provenance, error) {
	e, err := t.EditionOf(ed)
	if err != nil {
		return Provenance{}, err
	}
	if err := n.In(e); err != nil {
		return Provenance{}, err
	}
	out := Provenance{Edition: e, Label: n.Of(e)}
	history, err := t.History(ed, n)
	if err != nil {
		return out, err
	}
	for _, x := range edition.InForce(history) {
		switch x.Step {
		case edition.Send:
			link := Link{Day: x.Day, What: "sent", Order: x.Order}
			if link.Name, err = t.buyerOf(x.Order); err != nil {
				return out, err
			}
			out.Links = append(out.Links, link)
		case edition.Sign, edition.Return, edition.Spoil, edition.Keep:
			out.Links = append(out.Links, Link{Day: x.Day, What: string(x.After.State), Name: t.Set.Artist})
		}
	}
	told, err := t.Transfers(ed, n)
	if err != nil {
		return out, err
	}
	for _, x := range told {
		o, known := x.Owner()
		out.Links = append(out.Links, Link{Day: x.Day, What: string(x.Told), Name: o.Name, Note: o.Note, ID: x.ID, Gone: !known})
		out.Missing = (out.Missing || x.Told == certificate.Stolen || x.Told == certificate.Lost) && x.Told != certificate.Found
	}
	return out, nil
}

// buyerOf is the name of an order's buyer; "" when there is no such order.
func (t *Certify) buyerOf(mark string) (string, error) {
	o, err := t.OrderByMark(mark)
	var f *fault.Error
	if errors.As(err, &f) && f.Code == fault.Missing {
		return "", nil
	}
	if err != nil {
		return "", err
	}
	b, err := t.BuyerOf(o.Buyer)
	return b.Name, err
}
