package api

import (
	"fmt"
	"log/slog"
	"testing"

	"solander/book"
	"solander/claim"
	"solander/claims"
	"solander/dispatch"
	"solander/fair"
	"solander/fairs"
	"solander/feed"
	"solander/internal/bed"
	"solander/labelling"
	"solander/order"
	"solander/studio"
)

// A feed reads the claims for parcels of its outlet alone, and notes each deed once by its key; a feed that lacks the scope learns nothing, and one
// of another outlet finds no claim.
func TestClaimsByCalls(t *testing.T) {
	b, d, v := claimed(t)
	token := "Bearer " + d.newFeed("claims", feed.ClaimsRead, feed.ClaimsWrite).Token
	get := func(token, path string) answered {
		return d.call(sent{method: "GET", path: "/api/v1" + path, token: token})
	}
	post := func(key, path, body string) answered {
		return d.call(sent{method: "POST", path: "/api/v1/claims/" + path, token: token, key: key, body: body})
	}
	get(token, "/claims").is(200).has("/claims/0/state", "told").has("/claims/0/kind", "damaged").has("/claims/0/marks/0", v.Mark).has("/claims/0/worth/minor", "9000")
	get(token, "/claims?all=yes").problem(422, "invalid")

	post("f", "1/file", `{"amount": {"minor": 99999900, "currency": "USD"}}`).problem(409, "refused").has("/errors/0/pointer", "#/amount")
	for range 2 {
		post("f", "1/file", `{"amount": {"minor": 5000, "currency": "USD"}, "reference": "C-77"}`).is(200).has("/state", "filed").has("/reference", "C-77").has("/claimed/minor", "5000")
	}
	post("f", "1/file", `{}`).problem(409, "taken")
	post("g", "1/file", `{}`).problem(409, "refused")
	post("a", "1/answer", `{"granted": {"minor": 5001, "currency": "USD"}}`).problem(422, "invalid").has("/errors/0/pointer", "#/granted")
	post("a", "1/answer", `{"granted": {"minor": 4000, "currency": "USD"}, "answer": "in part"}`).is(200).has("/state", "granted")
	post("p", "1/paid", `{}`).is(200).has("/state", "paid").has("/paid/minor", "4000")
	post("q", "9/paid", `{}`).problem(404, "missing")
	post("q", "x/paid", `{}`).problem(422, "invalid")
	if got, err := claims.Claim(b.Ctx, b.Studio, 1); err != nil || got.Who == "" || got.Claim.Answer != "in part" || !got.MayUndo {
		t.Errorf("%+v, %v", got.Claim, err)
	}

	d.outlet.ID = b.Market.ID
	token = "Bearer " + d.newFeed("elsewhere", feed.ClaimsRead, feed.ClaimsWrite).Token
	if a := get(token, "/claims?all=1").is(200); a.text != `{"claims":[]}`+"\n" {
		t.Errorf("another outlet sees %s", a.text)
	}
	post("n", "1/paid", `{}`).problem(404, "missing")
	token = "Bearer " + d.newFeed("reader", feed.ClaimsRead).Token
	post("n", "1/paid", `{}`).problem(403, "denied")
	post("n", "9/paid", `{}`).problem(403, "denied")
	b.Sound()
}

// A day at a table is read with what it took by each way of paying, by a feed of its outlet alone.
func TestFairsByCalls(t *testing.T) {
	b := bed.New(t)
	_, err := fairs.Begin(b.Ctx, b.Studio, fair.Day{Outlet: b.Market.ID, Name: "Quay fair", Float: bed.USD(50_00)})
	b.Must(err)
	in := b.Sale()
	in.Outlet, in.Lines = b.Market.ID, []book.SaleLine{{Edition: b.Card.ID}}
	in.Buyer, in.ShipTo, in.Postage, in.PaidHow = order.Buyer{}, order.Address{}, bed.USD(0), order.InCash
	v, err := dispatch.SellInPerson(b.Ctx, b.Studio, in)
	b.Must(err)
	_, err = fairs.AddCost(b.Ctx, b.Studio, fair.Cost{FairDay: 1, Kind: fair.Stall, Amount: bed.USD(8_00), FromBox: true})
	b.Must(err)
	d := &desk{TB: t, studio: b.Studio, outlet: b.Market, handler: New(b.Studio, Options{Log: slog.New(slog.DiscardHandler)})}
	get := func(token, path string) answered {
		return d.call(sent{method: "GET", path: "/api/v1" + path, token: "Bearer " + token})
	}
	token := d.newFeed("fairs", feed.FairsRead).Token
	want, err := fairs.Day(b.Ctx, b.Studio, 1)
	b.Must(err)
	a := get(token, "/fairs").is(200).has("/days/0/name", "Quay fair").has("/days/0/cash/minor", fmt.Sprint(v.Due.Minor)).has("/days/0/costs/0/kind", "stall")
	a.has("/days/0/box/minor", fmt.Sprint(want.Box.Minor)).has("/days/0/left/minor", fmt.Sprint(want.Left.Minor)).has("/days/0/prints", "1")
	if a := get(token, "/fairs?day=2020-01-01").is(200); a.text != `{"days":[]}`+"\n" {
		t.Errorf("on another day: %s", a.text)
	}
	get(token, "/fairs?day=soon").problem(422, "invalid")
	get(d.newFeed("no fairs", feed.ClaimsRead).Token, "/fairs").problem(403, "denied")
	d.outlet = b.Own
	if a := get(d.newFeed("elsewhere", feed.FairsRead).Token, "/fairs").is(200); a.text != `{"days":[]}`+"\n" {
		t.Errorf("another outlet sees %s", a.text)
	}
}

// A feed that may note what operators do and not read claims learns nothing by it: not what stands in a claim, nor whether there is one.
func TestClaimsThatAreNotRead(t *testing.T) {
	b, d, _ := claimed(t)
	token := "Bearer " + d.newFeed("writes claims", feed.ClaimsWrite).Token
	post := func(key, path, body string) answered {
		return d.call(sent{method: "POST", path: "/api/v1/claims/" + path, token: token, key: key, body: body})
	}
	ruled := post("a", "1/paid", `{}`).problem(409, "refused").text
	if none := post("b", "77/paid", `{}`).problem(409, "refused").text; none != ruled {
		t.Errorf("of a claim that is not there it is told %s, of one that a rule forbids %s", none, ruled)
	}
	for range 2 { // the second time it is what was answered
		if a := post("f", "1/file", `{"reference": "C-77"}`).is(204); a.text != "" {
			t.Errorf("it is told %s", a.text)
		}
	}
	post("f", "1/file", `{}`).problem(409, "taken")
	if got, err := claims.Claim(b.Ctx, b.Studio, 1); err != nil || got.State != claim.Filed || got.Claim.Reference != "C-77" {
		t.Errorf("%+v, %v", got.Claim, err)
	}
}

// claimed is a studio with a claim for its one parcel, its outlet's desk, and the order.
func claimed(t *testing.T) (*bed.Bed, *desk, studio.OrderView) {
	t.Helper()
	b := bed.New(t)
	v, parcels := b.Packed(b.Heron.ID)
	b.Must(labelling.Label(b.Ctx, b.Studio, labelling.LabelIn{Parcel: parcels[0].ID, Paid: bed.USD(9_25)}))
	_, err := dispatch.HandOver(b.Ctx, b.Studio, dispatch.HandOverIn{})
	b.Must(err)
	_, err = claims.Open(b.Ctx, b.Studio, claims.OpenIn{Parcel: parcels[0].ID, Kind: claim.Damaged})
	b.Must(err)
	d := &desk{TB: t, studio: b.Studio, outlet: order.Outlet{ID: v.Outlet}, handler: New(b.Studio, Options{Log: slog.New(slog.DiscardHandler)})}
	return b, d, v
}
