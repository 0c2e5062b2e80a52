package storetest

import (
	"crypto/sha256"
	"encoding/hex"
	"testing"

	"solander/claim"
	"solander/fault"
	"solander/ledger"
	"solander/studio"
	"solander/studio/storetest/bed"
)

// claimsKept: a claim comes back whole, its parcel has no second one unless it was noted wrongly, its photos come with their bytes, and the journal
// follows each change of it.
func claimsKept(t *testing.T, s studio.Store) {
	h := bed.Furnished(t, s)
	o := bed.Add(t, s, h.Sale(h.Declare(t, s, 5)))
	var parcel int64
	bed.Write(t, s, func(tx studio.Tx) (err error) {
		if parcel, err = tx.AddParcel(studio.Parcel{Order: o.ID, Lines: []int64{o.Lines[0].ID}, State: studio.HandedOver}); err != nil {
			return err
		}
		return bed.Claimed(tx, parcel, o)
	})
	stands(t, s, map[string]int64{ledger.ClaimLosses: 32 - 50, ledger.CostOfPrints: -30, ledger.PackagingUsed: -2, ledger.Claims: 50})
	bed.Read(t, s, func(tx studio.Tx) error {
		want := bed.Claim(tx, parcel, o)
		for _, q := range []claim.Query{{}, {Parcel: parcel}, {Order: o.ID}, {Open: true}, {Parcel: parcel, Order: o.ID, Open: true}} {
			all, err := tx.Claims(q)
			if err != nil {
				return err
			}
			bed.Same(t, "claims found", 1, len(all))
			want.ID, want.At, want.Above, want.Paid = all[0].ID, all[0].At, "", all[0].Paid
			bed.Same(t, "the claim", want, all[0])
		}
		none, err := tx.Claims(claim.Query{Order: o.ID + 1})
		bed.Same(t, "of another order", 0, len(none))
		if err != nil {
			return err
		}
		photos, err := tx.ClaimPhotos(1)
		bed.Same(t, "photos", 1, len(photos))
		if err != nil {
			return err
		}
		body, err := tx.ClaimPhotoBody(photos[0].ID)
		sum := sha256.Sum256(body)
		bed.Same(t, "its bytes", photos[0].Digest, hex.EncodeToString(sum[:]))
		return err
	})
	bed.Refused(t, s, fault.Taken, func(tx studio.Tx) error { return bed.Claimed(tx, parcel, o) })
	bed.Refused(t, s, fault.Missing, func(tx studio.Tx) error { return bed.Claimed(tx, 99, o) })
	bed.Refused(t, s, fault.Missing, func(tx studio.Tx) error {
		_, err := tx.AddClaimPhoto(claim.Photo{Claim: 99, Width: 1, Height: 1}, nil)
		return err
	})
	bed.Write(t, s, func(tx studio.Tx) error {
		c, err := tx.Claim(1)
		if err != nil {
			return err
		}
		if c, err = c.Receive(bed.Today, bed.USD(50)); err != nil {
			return err
		}
		if err := tx.SaveClaim(c); err != nil {
			return err
		}
		return tx.DropClaimPhoto(1)
	})
	stands(t, s, map[string]int64{ledger.ClaimLosses: 32 - 50, ledger.CostOfPrints: -30, ledger.PackagingUsed: -2, ledger.AtOutlets: 50})
	bed.Refused(t, s, fault.Missing, func(tx studio.Tx) error { _, err := tx.ClaimPhotoBody(1); return err })
	bed.Write(t, s, func(tx studio.Tx) error {
		c, err := tx.Claim(1)
		if err != nil {
			return err
		}
		c.State = claim.Void
		if err := tx.SaveClaim(c); err != nil {
			return err
		}
		return bed.Claimed(tx, parcel, o)
	})
	stands(t, s, map[string]int64{ledger.ClaimLosses: 32 - 50, ledger.CostOfPrints: -30, ledger.PackagingUsed: -2, ledger.Claims: 50})
	bed.Refused(t, s, fault.Missing, func(tx studio.Tx) error { _, err := tx.Claim(9); return err })
	bed.Refused(t, s, fault.Missing, func(tx studio.Tx) error { return tx.DropClaimPhoto(9) })
}
