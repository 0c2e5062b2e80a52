package demo

import (
	"strings"

	"solander/claim"
	"solander/claims"
	"solander/fault"
	"solander/money"
	"solander/studio"
)

// sentLately is a parcel of one of the latest hand-overs that has no claim, of a service whose card says when claims are taken.
func (p *past) sentLately(st *studio.Studio) (parcel int64, err error) {
	err = st.Store.Read(p.ctx, func(tx studio.Tx) error {
		batches, err := tx.HandOvers(12)
		if err != nil {
			return err
		}
		for _, h := range batches {
			_, parcels, err := tx.HandOver(h.ID)
			if err != nil {
				return err
			}
			for _, x := range parcels {
				if (strings.HasPrefix(x.Plan.Class, "ground") || strings.HasPrefix(x.Plan.Class, "priority")) && !strings.Contains(x.Plan.Class, "abroad") {
					parcel = x.ID
					return nil
				}
			}
		}
		return fault.New(fault.Internal, "no parcel of the demo left lately")
	})
	return parcel, err
}

// oneCameDamaged is that a parcel came with a crushed corner, and was claimed.
func (p *past) oneCameDamaged(st *studio.Studio) error {
	id, err := p.sentLately(st)
	if err != nil {
		return err
	}
	c, err := claims.Open(p.ctx, st, claims.OpenIn{Parcel: id, Kind: claim.Damaged, Note: "one corner is crushed, the print itself has a short crease in its margin"})
	if err != nil {
		return err
	}
	p.claim = c.ID
	if _, err = claims.File(p.ctx, st, claims.FileIn{Claim: c.ID, Amount: money.Of(25_00, "USD"), Reference: "DMG-48213"}); err != nil {
		return err
	}
	_, err = claims.Refund(p.ctx, st, claims.RefundIn{Claim: c.ID, Amount: money.Of(20_00, "USD"), Keeps: true, Reason: "a crease in the margin"})
	return err
}

// operatorPays is the end of it.
func (p *past) operatorPays(st *studio.Studio) error {
	if _, err := claims.Answer(p.ctx, st, claims.AnswerIn{Claim: p.claim, Granted: money.Of(25_00, "USD"), Words: "granted as claimed"}); err != nil {
		return err
	}
	if _, err := claims.Paid(p.ctx, st, claims.PaidIn{Claim: p.claim}); err != nil {
		return err
	}
	_, err := claims.Close(p.ctx, st, claims.CloseIn{Claim: p.claim})
	return err
}

// oneIsMissing is that a parcel did not come; it is open still.
func (p *past) oneIsMissing(st *studio.Studio) error {
	id, err := p.sentLately(st)
	if err == nil {
		_, err = claims.Open(p.ctx, st, claims.OpenIn{Parcel: id, Kind: claim.Lost, Note: "the last scan was in the sorting centre, eleven days ago"})
	}
	return err
}
