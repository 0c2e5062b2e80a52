package api

import (
	"fmt"
	"strings"
	"testing"

	"solander/feed"
)

// Merging, parting, telling apart and undoing by calls: each once by its key, each with its own scope.
func TestBuyersByCalls(t *testing.T) {
	d := newDesk(t)
	for n, name := range []string{"Ada Quill", "Bo Quill"} {
		body := strings.Replace(sale(fmt.Sprint("W-", n), heron), "Ada Quill", name, 1)
		d.call(sent{method: "POST", path: "/api/v1/orders", body: body}).is(201)
	}
	before := d.call(sent{method: "GET", path: "/api/v1/orders/W-1"}).is(200)
	d.call(sent{method: "GET", path: "/api/v1/buyers"}).is(200).has("/buyers/0/name", "Ada Quill").has("/buyers/1/orders", "1")
	d.call(sent{method: "GET", path: "/api/v1/buyers?q=bo"}).is(200).has("/buyers/0/name", "Bo Quill")
	d.call(sent{method: "GET", path: "/api/v1/buyers?after=1"}).is(200).has("/buyers/0/name", "Bo Quill")
	d.call(sent{method: "GET", path: "/api/v1/buyers?after=x"}).problem(422, "invalid")
	d.call(sent{method: "GET", path: "/api/v1/buyers?page=2"}).problem(400, "")
	d.call(sent{method: "GET", path: "/api/v1/buyers?q=a&q=b"}).problem(400, "")
	d.call(sent{method: "GET", path: "/api/v1/buyers/99"}).problem(404, "missing")
	d.call(sent{method: "GET", path: "/api/v1/buyers/x"}).problem(422, "invalid")

	merge := sent{method: "POST", path: "/api/v1/buyers/1/merge", body: `{"others": [2]}`, key: "m"}
	deed := d.call(merge).is(200).has("/buyer/name", "Ada Quill").at("/deed")
	if again := d.call(merge).is(200).at("/deed"); again != deed {
		t.Errorf("the same key merged again: deed %s, then %s", deed, again)
	}
	merge.body = `{"others": [3]}`
	d.call(merge).problem(409, "taken")
	d.call(sent{method: "POST", path: "/api/v1/buyers/1/merge", body: `{"others": [2]}`}).problem(409, "refused")
	d.call(sent{method: "POST", path: "/api/v1/buyers/1/merge", body: `{"others": []}`}).problem(422, "invalid")
	d.call(sent{method: "GET", path: "/api/v1/buyers/2"}).is(200).has("/id", "1").has("/orders", "2").has("/also/0/name", "Bo Quill")
	after := d.call(sent{method: "GET", path: "/api/v1/orders/W-1"}).is(200)
	if before.text != after.text || before.header.Get("ETag") != after.header.Get("ETag") {
		t.Errorf("the order's feed sees that the buyers were merged:\n%s\n%s", before.text, after.text)
	}
	d.call(sent{method: "POST", path: "/api/v1/deeds/1/undo", body: `{}`}).problem(404, "missing") // another mark of the journal
	undo := sent{method: "POST", path: "/api/v1/deeds/" + deed + "/undo", body: `{}`, key: "u"}
	d.call(undo).is(200).has("/buyer/id", "1")
	d.call(undo).is(200)
	undo.key = "u2"
	d.call(undo).problem(409, "refused")
	d.call(sent{method: "GET", path: "/api/v1/buyers/2"}).is(200).has("/id", "2").has("/orders", "1")
	d.call(sent{method: "POST", path: "/api/v1/apart", body: `{"buyers": [1, 2]}`}).is(200)
	d.call(sent{method: "POST", path: "/api/v1/apart", body: `{"buyers": [1]}`}).problem(422, "invalid")
	d.call(sent{method: "POST", path: "/api/v1/buyers/1/part", body: `{"orders": ["S-1001"]}`}).problem(409, "refused")

	// who may only write learns nothing: not whether a buyer is there, either
	writer := "Bearer " + d.newFeed("writer", feed.OrdersWrite, feed.BuyersWrite).Token
	for _, path := range []string{"/api/v1/buyers", "/api/v1/buyers/1", "/api/v1/buyers/99"} {
		d.call(sent{method: "GET", path: path, token: writer}).problem(403, "denied")
	}
	for _, id := range []string{"1", "99"} {
		d.call(sent{method: "POST", path: "/api/v1/buyers/" + id + "/merge", body: `{"others": [2]}`, token: writer}).problem(403, "denied")
	}
}
