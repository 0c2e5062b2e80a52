package demo

import (
	"fmt"
	"maps"
	"slices"

	"solander/book"
	"solander/certificate"
	"solander/certify"
	"solander/disclosure"
	"solander/edition"
	"solander/order"
	"solander/studio"
)

// certifiedSince is how many days before today she began to make a certificate for each fine print that she signs.
const certifiedSince = 35

// untoldYet are the places in the catalogue of the largest prints: of them alone nothing is told yet.
var untoldYet = []int{oversized, 23}

// told is what is told of some editions beside what holds of all, by place in the catalogue.
var told = map[int]certify.Words{
	1: withFiles("oil on panel", "8 x 11 in, on a sheet of 12 x 16 in"),
	3: withFiles("oil on panel", "12 x 16 in, on a sheet of 16 x 20 in"),
	9: withFiles("oil on linen", "12 x 16 in, on a sheet of 16 x 20 in"),
	17: {
		disclosure.Workshop: "by the artist, at her own press", disclosure.Image: "6 x 9 in, on a sheet of 9 x 12 in",
		disclosure.Master:        "kept until the edition is sold, then struck through",
		disclosure.OtherEditions: "a reproduction of 9 x 12 in, limited to 250", disclosure.ArtistsPart: "made the master; printed the edition",
	},
}

func withFiles(shows, image string) certify.Words {
	return certify.Words{
		disclosure.Image: image, disclosure.Reproduction: "photographed from " + shows, disclosure.OtherEditions: "a smaller one on matt paper",
		disclosure.Files: "kept, locked, for this edition alone",
	}
}

// tellFacts says what is told of an edition, on the day on which it is declared: what does not hold of it does not apply.
func (p *past) tellFacts(st *studio.Studio, at int) error {
	if slices.Contains(untoldYet, at) {
		return nil
	}
	year, _, _ := p.day.Civil()
	_, err := certify.Say(p.ctx, st, p.stocks[at].ed.ID, func(typed *certify.Words) error {
		for _, a := range disclosure.Asked() {
			if a.Fact != disclosure.Artist && a.Fact != disclosure.Medium { // her settings and the declaration say them
				(*typed)[a.Fact] = disclosure.NoneWords
			}
		}
		maps.Copy(*typed, certify.Words{
			disclosure.Signature: "by the artist, in pencil, lower right", disclosure.Workshop: labs[1], disclosure.Year: fmt.Sprint(year),
			disclosure.ArtistsPart: "made the painting; approved the first proof",
		})
		maps.Copy(*typed, told[at])
		return nil
	})
	return err
}

// untold is why she lets an order go of which the buyer is still to be told something.
const untold = "the facts are posted after it, with the certificate"

// letUntold lets orders go although their buyers are still to be told facts.
func (p *past) letUntold(st *studio.Studio, orders []order.Order) error {
	tell, err := p.t.Untold(orders...)
	if err != nil {
		return err
	}
	for i, o := range orders {
		if len(tell[i]) == 0 || o.Override != nil {
			continue
		}
		if err := book.Override(p.ctx, st, o.ID, untold); err != nil {
			return err
		}
	}
	return nil
}

// certify makes certificates for the numbered fine prints of lines that were signed.
func (p *past) certify(st *studio.Studio, prints []order.Line) error {
	if p.day.Before(p.today.Add(-certifiedSince)) {
		return nil
	}
	byEdition := map[int64][]edition.Number{}
	for _, x := range prints {
		has, err := certify.In(p.t).Valid(x.Edition, x.Number)
		if err != nil {
			return err
		}
		if has == 0 && !x.Number.IsZero() {
			byEdition[x.Edition] = append(byEdition[x.Edition], x.Number)
		}
	}
	for _, s := range p.stocks {
		if s == nil || s.ed.Grade != "fine" || len(byEdition[s.ed.ID]) == 0 {
			continue
		}
		made, err := certify.Make(p.ctx, st, certify.MakeIn{Edition: s.ed.ID, Numbers: byEdition[s.ed.ID], Place: "Cinder Gap"})
		if err != nil {
			return err
		}
		p.certificates = append(p.certificates, made...)
	}
	return nil
}

// tellTransfer lets the buyer of a certified print that was sent tell that it has another owner.
func (l *lately) tellTransfer() error {
	for _, c := range l.certificates {
		st, err := l.days.tx.Standing(c.Edition, c.Number)
		if err != nil {
			return err
		}
		if st.State != edition.Sent {
			continue
		}
		_, err = certify.Tell(l.ctx, l.studio, certify.TellIn{
			Code: c.Code, Told: certificate.Transferred, Name: "Rosalind Marrable", Note: "a present for her thirtieth birthday", Day: l.today.Add(-2),
		})
		return err
	}
	return nil
}
