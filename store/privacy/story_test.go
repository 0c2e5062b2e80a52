package privacy_test

import (
	"bytes"
	"context"
	"database/sql"
	"encoding/json"
	"fmt"
	"image"
	"image/png"
	"math/rand/v2"
	"path/filepath"
	"strings"
	"testing"

	_ "github.com/jackc/pgx/v5/stdlib"
	_ "modernc.org/sqlite"

	"solander/bankfile"
	"solander/banking"
	"solander/billing"
	"solander/book"
	"solander/buyers"
	"solander/claim"
	"solander/claims"
	"solander/dispatch"
	"solander/edition"
	"solander/feed"
	"solander/feeds"
	"solander/internal/bed"
	"solander/internal/pgtest"
	"solander/invoice"
	"solander/labelling"
	"solander/order"
	"solander/register"
	"solander/stockroom"
	"solander/store"
	"solander/studio"
	"solander/tax"
	"solander/taxing"
)

// engines give an empty place of each engine.
var engines = map[string]func(*testing.T) string{
	"sqlite": func(t *testing.T) string { return filepath.Join(t.TempDir(), "studio.db") },
	"postgres": func(t *testing.T) string {
		return pgtest.Copy(t, "an empty studio", func(dsn string) error {
			s, err := store.Open(context.Background(), dsn, store.Options{})
			if err != nil {
				return err
			}
			return s.Close()
		})
	},
}

func onEach(t *testing.T, do func(t *testing.T, b *bed.Bed)) {
	t.Helper()
	for name, place := range engines {
		t.Run(name, func(t *testing.T) { do(t, bed.On(t, place(t))) })
	}
}

// raw opens the database beside the store.
func raw(t testing.TB, b *bed.Bed) *sql.DB {
	t.Helper()
	driver := "sqlite"
	if isServer(b.Path) {
		driver = "pgx"
	}
	db, err := sql.Open(driver, b.Path)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { db.Close() })
	return db
}

func isServer(place string) bool { return !strings.HasSuffix(place, "studio.db") }

// told begins every word that is about the buyer of the story; no other text holds it.
const told = "zq"

// banked brings in what the bank says of the first payment of an order.
func banked(b *bed.Bed, v studio.OrderView) {
	b.Helper()
	account, err := banking.SaveAccount(b.Ctx, b.Studio, bankfile.Account{Name: "Current"})
	b.Must(err)
	p := v.Payments[0]
	_, err = banking.Bring(b.Ctx, b.Studio, banking.BringIn{Account: account, Name: "bank.ofx", Body: fmt.Appendf(nil,
		"OFXHEADER:100\n<OFX><STMTRS><CURDEF>USD<BANKACCTFROM><ACCTID>12</BANKACCTFROM><STMTTRN><DTPOSTED>%s<TRNAMT>%s<FITID>f1<NAME>ZQNAME<MEMO>zqpurpose</STMTTRN></STMTRS></OFX>",
		strings.ReplaceAll(p.Day.String(), "-", ""), p.Amount.Plain())})
	b.Must(err)
	lines, err := banking.Lines(b.Ctx, b.Studio, bankfile.Query{Account: account})
	b.Must(err)
	b.Must(banking.Match(b.Ctx, b.Studio, []banking.MatchIn{{Line: lines[0].ID, Payment: p.ID}}))
}

// claimedBy is a claim for a parcel of hers, with a photo; it is closed.
func claimedBy(b *bed.Bed, parcel int64) {
	b.Helper()
	c, err := claims.Open(b.Ctx, b.Studio, claims.OpenIn{Parcel: parcel, Kind: claim.Damaged, Note: "Zqname says that the corner is crushed"})
	b.Must(err)
	img := image.NewRGBA(image.Rect(0, 0, 200, 200)) // noise, so that its base64 holds any two letters
	chance := rand.New(rand.NewPCG(7, 7))
	for i := range img.Pix {
		img.Pix[i] = byte(chance.Uint32())
	}
	var file bytes.Buffer
	b.Must(png.Encode(&file, img))
	_, err = claims.Photo(b.Ctx, b.Studio, c.ID, file.Bytes(), "her zqhand holds it")
	b.Must(err)
	_, err = claims.File(b.Ctx, b.Studio, claims.FileIn{Claim: c.ID, Reference: "ZQ-C-77", Amount: bed.USD(500_00), Above: "zqname has a receipt"})
	b.Must(err)
	_, err = claims.Answer(b.Ctx, b.Studio, claims.AnswerIn{Claim: c.ID, Words: "zqname packed it badly"})
	b.Must(err)
	_, err = claims.Close(b.Ctx, b.Studio, claims.CloseIn{Claim: c.ID, Arrived: true})
	b.Must(err)
}

// story is a buyer of whom the studio keeps something in every place that there is. All of it is closed. It returns her.
func story(b *bed.Bed) int64 {
	b.Helper()
	her := order.Buyer{Name: "Zqname Zqfamily", Email: "zqmail@post.example", Phone: "+1 540 zq 0177", Note: "zqnote of hers"}
	place := order.Address{Name: "Zqname Zqshipped", Line1: "7 Zqlane", Line2: "Zqfloor", City: "Zqcity", Region: "VA", Postcode: "24011", Country: "US"}

	in := b.Sale()
	in.Buyer, in.ShipTo, in.Ref = her, place, "R-77"
	in.Note, in.GiftMessage, in.Paid, in.PaidNote = "zqorder", "zqgift", bed.USD(95_00), "zqpaid in cash"
	v := b.Take(in)
	if owed := b.Order(v.ID).Owed; !owed.IsZero() && owed.Sign() > 0 {
		b.Must(book.Pay(b.Ctx, b.Studio, book.PaymentIn{Order: v.ID, Amount: owed, Note: "zqrest"}))
	}
	bill, err := billing.Write(b.Ctx, b.Studio, billing.WriteIn{Kind: invoice.Invoice, Order: v.ID})
	b.Must(err)
	_, err = taxing.AddResale(b.Ctx, b.Studio, tax.Certificate{Buyer: v.Buyer, Country: "US", Region: "VA", Number: "ZQ-77", From: v.Placed})
	b.Must(err)
	_, err = billing.Correct(b.Ctx, b.Studio, billing.CorrectIn{Bill: bill.ID, Amount: bed.USD(1_00), Reason: "Zqname Zqfamily asked for it"})
	b.Must(err)
	banked(b, b.Order(v.ID))
	b.Must(book.Override(b.Ctx, b.Studio, v.ID, "zqtrusted"))
	note := "zqorder, told anew"
	_, err = book.Amend(b.Ctx, b.Studio, book.AmendIn{Order: v.ID, Note: &note})
	b.Must(err)
	b.Must(register.Sign(b.Ctx, b.Studio, bed.LineIDs(v)))
	parcels, err := dispatch.Pack(b.Ctx, b.Studio, dispatch.PackIn{Order: v.ID})
	b.Must(err)
	for i, p := range parcels {
		b.Must(labelling.Label(b.Ctx, b.Studio, labelling.LabelIn{Parcel: p.ID, Tracking: fmt.Sprintf("ZQTRACK%d", i)}))
	}
	_, err = dispatch.HandOver(b.Ctx, b.Studio, dispatch.HandOverIn{Note: "the one of Zqname Zqfamily by hand"})
	b.Must(err)

	claimedBy(b, parcels[0].ID)

	// One that is cancelled: its number's note in the register is typed.
	in = b.Sale()
	in.Buyer, in.ShipTo, in.Postage = her, place, bed.USD(0)
	c := b.Take(in)
	b.Must(book.Cancel(b.Ctx, b.Studio, book.CancelIn{Order: c.ID, Reason: "zqmoved away"}))

	// One by a feed, whose answer is kept; cancelled as well.
	f := b.Feed("Web", feed.OrdersWrite, feed.OrdersRead)
	fed := b.FedSale("W-1")
	fed.Buyer, fed.ShipTo = her, place
	say := func(o feeds.FeedOrder) (string, error) {
		text, err := json.Marshal(map[string]any{"mark": o.Mark, "ship_to": place, "buyer": her.Name})
		return string(text), err
	}
	_, err = feeds.FeedTake(b.Ctx, b.Studio, feeds.FeedCall{Feed: f.ID, Key: "k1", Print: "p1", Say: say}, fed)
	b.Must(err)
	w := b.ByRef("W-1")
	b.Must(book.Cancel(b.Ctx, b.Studio, book.CancelIn{Order: w.ID, Reason: "zqagain"}))

	// One that a file brought in.
	b.MovedIn(`Date,Who,Address,Print,Size,No,Price,Paid,State,Sent,Order,Note
3/4/2025,Zqname Zqfamily,"7 Zqlane, Zqcity, VA 24011",Heron at dusk,11 x 14 in,4/5,90,90,posted,3/9/2025,M-1,zqrow
`)

	// Somebody who was taken as her.
	other := b.Sale()
	other.Buyer, other.ShipTo = order.Buyer{Name: "Zqname Zqborn", Email: "zqborn@post.example"}, place
	o := b.Take(other)
	b.Must(book.Cancel(b.Ctx, b.Studio, book.CancelIn{Order: o.ID, Reason: "zqtwice"}))
	_, err = buyers.MergeBuyers(b.Ctx, b.Studio, buyers.MergeIn{Into: v.BuyerData.ID, Others: []int64{o.BuyerData.ID}})
	b.Must(err)
	_, err = buyers.ChangeBuyer(b.Ctx, b.Studio, v.BuyerData.ID, func(x *order.Buyer) error { x.Name = "Zqname Zqwed"; return nil })
	b.Must(err)

	// Where others' rows name her.
	gift := b.Sale()
	gift.Note = "a gift for Zqname Zqwed, her mail is ZQMAIL@post.example"
	b.Take(gift)
	_, err = register.SaveWork(b.Ctx, b.Studio, edition.Work{Title: "Quay", Note: "painted for Zqname Zqfamily"})
	b.Must(err)
	b.Must(stockroom.CountSheets(b.Ctx, b.Studio, b.Card.ID, 9, "Zqname Zqfamily took one"))

	// What no use case of this story writes.
	db := raw(b.TB, b)
	for _, text := range []string{
		`UPDATE orders SET choice_reason = 'zqchosen', chosen = 1, choice_by = '' WHERE id = ` + fmt.Sprint(v.ID),
		`UPDATE orders SET said_phone = 'zq said 0177', said_email = 'zqsaid@post.example', ship_postcode = 'ZQ24011' WHERE id = ` + fmt.Sprint(v.ID),
	} {
		_, err := db.Exec(text)
		b.Must(err)
	}
	return v.BuyerData.ID
}
