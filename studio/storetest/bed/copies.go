package bed

import (
	"bytes"
	"compress/gzip"
	"crypto/sha256"
	"encoding/hex"
	"image"
	"image/jpeg"
	"io"
	"strings"
	"testing"

	"solander/claim"
	"solander/intake/kept"

	"solander/bankfile"
	"solander/charging"
	"solander/consign"
	"solander/edition"
	"solander/exchange"
	"solander/fair"
	"solander/intake"
	"solander/money"
	"solander/order"
	"solander/picture"
	"solander/studio"
	"solander/supply"
)

// Stepped makes a number take a step in a write of its own.
func Stepped(t *testing.T, s studio.Store, ed int64, n edition.Number, st edition.Step, line int64, mark string) edition.Entry {
	t.Helper()
	var e edition.Entry
	Write(t, s, func(tx studio.Tx) (err error) { e, err = Step(tx, ed, n, st, line, mark); return err })
	return e
}

// Found returns the marks of the orders that a text finds.
func Found(t *testing.T, s studio.Store, text string) []string {
	t.Helper()
	got := []string{}
	Read(t, s, func(tx studio.Tx) error {
		orders, err := tx.Orders(studio.OrderQuery{Text: text})
		for _, o := range orders {
			got = append(got, o.Mark)
		}
		return err
	})
	return got
}

// Dumped is a copy of a store.
func Dumped(t *testing.T, s studio.Store) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := s.Dump(t.Context(), &b); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// Lines unpacks a copy.
func Lines(t *testing.T, packed []byte) []string {
	t.Helper()
	zip, err := gzip.NewReader(bytes.NewReader(packed))
	if err != nil {
		t.Fatal(err)
	}
	text, err := io.ReadAll(zip)
	if err != nil {
		t.Fatal(err)
	}
	return strings.SplitAfter(strings.TrimSuffix(string(text), "\n"), "\n")
}

// Sound fails the test when the store has a finding.
func Sound(t *testing.T, s studio.Store) {
	t.Helper()
	found, err := s.Integrity(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	Same(t, "findings", 0, len(found))
	for _, f := range found {
		t.Log(f)
	}
}

// Person adds a buyer.
func Person(t *testing.T, s studio.Store, b order.Buyer) int64 {
	t.Helper()
	Write(t, s, func(tx studio.Tx) (err error) { b.ID, err = tx.SaveBuyer(b); return err })
	return b.ID
}

// Promise enters the order's first line in the register.
func Promise(t *testing.T, s studio.Store, ed int64, o order.Order) {
	t.Helper()
	Write(t, s, func(tx studio.Tx) error {
		n, err := tx.Lowest(ed, edition.Numbered)
		if err != nil {
			return err
		}
		o.Lines[0].Number = n
		if err := tx.SaveLine(o.Lines[0]); err != nil {
			return err
		}
		_, err = Step(tx, ed, n, edition.Promise, o.Lines[0].ID, o.Mark)
		return err
	})
}

// Abroad is an order agreed in another currency, and a payment of it that came in it.
func Abroad(tx studio.Tx, o, payment int64) error {
	if _, err := tx.AddAgreed(exchange.Agreed{Order: o, Total: money.Of(80_00, "EUR"), Book: USD(100_00), Rate: "1.25 USD for one EUR", Day: Today, At: tx.Now(), Who: "Ines"}); err != nil {
		return err
	}
	_, err := tx.AddCame(exchange.Came{Payment: payment, Order: o, Amount: money.Of(80, "EUR"), Worth: USD(1_02), Rate: "1.275 USD for one EUR", At: tx.Now(), Who: "Ines"})
	return err
}

// Everything writes to every store.
func Everything(tx studio.Tx, h House, ed int64) error {
	if _, err := tx.Declare(h.Print(4)); err != nil {
		return err
	}
	e, err := h.Take(tx, ed)
	if err != nil {
		return err
	}
	o, err := tx.OrderByLine(e.After.Line)
	if err != nil {
		return err
	}
	paid, err := tx.AddPayment(order.Payment{Order: o.ID, Kind: order.Deposit, Amount: USD(1), Day: Today})
	if err != nil {
		return err
	}
	if _, err := tx.SaveRates([]exchange.Rate{{Base: "EUR", Quote: "USD", Day: Today, Rate: "1.25", At: tx.Now(), Who: "Ines"}}); err != nil {
		return err
	}
	if err := Abroad(tx, o.ID, paid); err != nil {
		return err
	}
	if err := Table(tx, h); err != nil {
		return err
	}
	if err := Galleries(tx, h, ed); err != nil {
		return err
	}
	if err := Banked(tx, paid); err != nil {
		return err
	}
	if err := tx.AddMove(supply.Move{Kind: supply.Sheets, Of: ed, Delta: 3, Day: Today}); err != nil {
		return err
	}
	parcel, err := tx.AddParcel(studio.Parcel{Order: o.ID, State: studio.Packed, Wrap: "flat", WrapMass: 7, Bare: 1 << 40, Weighed: 1<<40 - 1})
	if err != nil {
		return err
	}
	if err := Claimed(tx, parcel, o); err != nil {
		return err
	}
	if err := tx.SavePicture(Hung(h.Work, "a heron, standing", "x")); err != nil {
		return err
	}
	if _, err := Feeds(tx, h); err != nil {
		return err
	}
	if err := BroughtIn(tx, o.ID); err != nil {
		return err
	}
	if err := People(tx); err != nil {
		return err
	}
	mark, err := tx.AddMark(studio.Mark{Order: o.ID, Kind: studio.MarkOther, Text: "x"})
	if err != nil {
		return err
	}
	return tx.AddSentForm(studio.SentForm{Key: "ab", Print: "cd", Mark: mark, At: tx.Now()}, 5)
}

// Claim is a claim for a parcel, about the first print of an order: it was replaced, and a part of it is granted.
func Claim(tx studio.Tx, parcel int64, o order.Order) claim.Claim {
	line := o.Lines[0]
	return claim.Claim{
		Parcel: parcel, Order: o.ID, Kind: claim.Damaged, Lines: []int64{line.ID}, Told: Today, State: claim.Granted, Filed: Today, Reference: "C-1",
		Claimed: USD(80), Answered: Today, Granted: USD(50), Answer: "in part", Paid: USD(0), Made: claim.Replaced, MadeOn: Today, Note: "the corner is crushed",
		Losses:  []claim.Loss{{Order: o.ID, Line: line.ID, Edition: line.Edition, Outlet: o.Outlet, Print: USD(30), Packing: USD(2), Postage: USD(0)}},
		Instead: []int64{}, Turn: 1, At: tx.Now(), Who: "Ines",
	}
}

// Claimed adds a claim with a photo.
func Claimed(tx studio.Tx, parcel int64, o order.Order) error {
	id, err := tx.AddClaim(Claim(tx, parcel, o))
	if err != nil {
		return err
	}
	var photo bytes.Buffer
	if err := jpeg.Encode(&photo, image.NewGray(image.Rect(0, 0, 3, 2)), nil); err != nil {
		return err
	}
	sum := sha256.Sum256(photo.Bytes())
	_, err = tx.AddClaimPhoto(claim.Photo{
		Claim: id, Alt: "a crushed corner", Digest: hex.EncodeToString(sum[:]), Width: 3, Height: 2, At: tx.Now(), Who: "Ines",
	}, photo.Bytes())
	return err
}

// Galleries adds a gallery with number 1 of an edition, which it has, and what it paid.
func Galleries(tx studio.Tx, h House, ed int64) error {
	id, err := tx.SaveGallery(consign.House{Name: "Harbour Room", Address: "1 Quay", Outlet: h.Outlet, Share: 400, Wholesale: 500, Bears: consign.Gallery, PayDays: 30})
	if err != nil {
		return err
	}
	_, err = tx.AddConsignment(consign.Print{
		Gallery: id, Edition: ed, Number: Num(1), Turn: 1, Price: USD(100), Share: 400, Bears: consign.Gallery, Went: Today, State: consign.Out,
		Sold: USD(0), Kept: USD(0), At: tx.Now(), Who: "Ines",
	})
	if err != nil {
		return err
	}
	_, err = tx.AddGalleryMoney(consign.Money{Gallery: id, Kind: consign.Paid, Amount: USD(5), Day: Today, At: tx.Now(), Who: "Ines"})
	return err
}

// Table adds a day at the table of the outlet, with its stall fee.
func Table(tx studio.Tx, h House) error {
	id, err := tx.SaveFairDay(fair.Day{Outlet: h.Outlet, Day: Today, Name: "Quay fair", Float: USD(50), Counted: USD(0), At: tx.Now(), Who: "Ines"})
	if err != nil {
		return err
	}
	_, err = tx.AddFairCost(fair.Cost{FairDay: id, Kind: fair.Stall, Amount: USD(30), FromBox: true, At: tx.Now(), Who: "Ines"})
	if err != nil {
		return err
	}
	_, err = tx.AddFairCarry(fair.Carry{FairDay: id, Amount: USD(5), Day: Today, Note: "in rolls", At: tx.Now(), Who: "Ines"})
	return err
}

// PaidOut adds a payout of an order.
func PaidOut(tx studio.Tx, h House, order int64) (int64, error) {
	p := charging.Payout{Outlet: h.Outlet, Net: USD(91), Day: Today, Note: "March", At: tx.Now(), Who: "Ines"}
	return tx.AddPayout(p, []charging.PaidOut{{Order: order, Gross: USD(100), Was: USD(7), Fee: USD(8), Payment: USD(1)}})
}

// Banked adds an account with a file of two lines, the first of which is a payment.
func Banked(tx studio.Tx, payment int64) error {
	account, err := tx.SaveBankAccount(bankfile.Account{Name: "Current", Number: "12", Currency: "USD", Mapping: bankfile.Mapping{Day: "Date"}})
	if err != nil {
		return err
	}
	_, err = tx.AddBankFile(bankfile.Brought{Account: account, Name: "c.ofx", Hash: "aa", Kind: bankfile.OFX, Lines: 2, Day: Today, At: tx.Now(), Who: "Ines"}, []bankfile.Kept{
		{Account: account, Key: "k1", Ref: "1", Day: Today, Amount: USD(1), Name: "Ada", Note: "S-1001", State: bankfile.Open},
		{Account: account, Key: "k2", Ref: "2", Day: Today, Amount: USD(-5), Name: "Bank", State: bankfile.Open},
	})
	if err != nil {
		return err
	}
	return tx.SayBankLine(bankfile.Kept{ID: 1, State: bankfile.Matched, Payment: payment, At: tx.Now(), Who: "Ines"})
}

// Hung is a picture of a work, whose bytes no program has to read; those of another body are another picture.
func Hung(work int64, alt, body string) (picture.Picture, picture.Prints) {
	prints := picture.Prints{
		Small:  picture.Print{Box: picture.Box{Width: 120, Height: 160}, JPEG: []byte("small \x00\xff " + body)},
		Middle: picture.Print{Box: picture.Box{Width: 480, Height: 640}, JPEG: []byte("middle " + body)},
		Large:  picture.Print{Box: picture.Box{Width: 900, Height: 1200}, JPEG: []byte(strings.Repeat("large "+body, 40_000))},
	}
	return picture.Picture{
		Work: work, Alt: alt, Digest: prints.Digest(), Small: prints.Small.Box, Middle: prints.Middle.Box, Large: prints.Large.Box, Who: "Ines",
	}, prints
}

// BroughtIn adds a file that waits, a mapping, and a file that the order was made of.
func BroughtIn(tx studio.Tx, orderID int64) error {
	if _, err := tx.AddArrival(kept.Arrival{Name: "a.csv", Size: 3, Source: kept.FromFolder}, []byte{0, 1, 2}); err != nil {
		return err
	}
	if err := tx.SaveMapping(intake.Mapping{Format: intake.MappingFormat, Name: "Fairs", Currency: "USD"}); err != nil {
		return err
	}
	in, err := tx.AddIntake(kept.Intake{Name: "b.csv", Hash: "ff"})
	if err != nil {
		return err
	}
	return tx.AddOrigins(in, []kept.MadeOf{{Order: orderID, Origin: intake.Origin{Row: 2, Cells: []string{"x"}, Hash: "aa"}}})
}
