package gate

import (
	"fmt"
	"net/http"
	"slices"

	"solander/studio"
)

// Row says who may ask for one address in one way. An address without a row is not answered.
type Row struct {
	Route string // method and pattern, as package net/http writes them
	Who   Set
	Fresh bool // who may, must have proved lately who they are (people.FreshFor)
	First bool // open also to who came in by a first password and has not chosen her own yet
}

// Set is who may.
type Set struct {
	word  string
	roles []studio.Role
}

// The sets. Roles are not steps of one ladder: what a reader may look at is not all that a helper needs.
var (
	anyone = Set{word: "anyone"}                                                                     // nobody need be known
	own    = Set{word: "its own key"}                                                                // the address asks for a key of its own: a secret in it, a token, a signature
	all    = Set{"everybody", []studio.Role{studio.RoleOwner, studio.RoleHelper, studio.RoleReader}} // who has an account
	work   = Set{"owner and helper", []studio.Role{studio.RoleOwner, studio.RoleHelper}}             // who works at the bench
	owner  = Set{"owner", []studio.Role{studio.RoleOwner}}
)

// String is the set in words.
func (s Set) String() string { return s.word }

// Open reports whether the gate asks nobody who they are.
func (row Row) Open() bool { return len(row.Who.roles) == 0 && row.Who.word != "" }

// May reports whether a role may.
func (row Row) May(r studio.Role) bool { return row.Open() || slices.Contains(row.Who.roles, r) }

// Rights returns the table.
func Rights() []Row { return slices.Clone(rights) }

// rights is every address of the pages, and of the calls and web-hooks for programs, and who may. A test drives each as each role and as
// nobody; one without a row fails it.
var rights = []Row{
	{Route: "GET /static/", Who: anyone},
	{Route: "GET /opened", Who: anyone},
	{Route: "GET /{$}", Who: all},
	{Route: "GET /changes", Who: all},
	{Route: "GET /scan", Who: work},
	{Route: "POST /scan/{parcel}", Who: work},
	{Route: "POST /sign", Who: work},
	{Route: "POST /marks/{mark}/undo", Who: work, Fresh: true},
	{Route: "GET /orders", Who: all},
	{Route: "GET /orders/new", Who: owner},
	{Route: "GET /orders/new/buyers", Who: work},
	{Route: "POST /orders", Who: owner},
	{Route: "GET /till", Who: work},
	{Route: "POST /till", Who: work},
	{Route: "GET /orders/{order}", Who: all},
	{Route: "GET /orders/{order}/why-not", Who: all},
	{Route: "POST /orders/{order}/way", Who: owner},
	{Route: "POST /orders/{order}/way/back", Who: owner},
	{Route: "POST /orders/{order}/wait", Who: work},
	{Route: "POST /orders/{order}/send-today", Who: work},
	{Route: "POST /orders/{order}/pay", Who: work},
	{Route: "POST /orders/{order}/pack", Who: work},
	{Route: "POST /orders/{order}/amend", Who: owner},
	{Route: "POST /orders/{order}/address", Who: owner},
	{Route: "POST /orders/{order}/in-person", Who: work},
	{Route: "POST /orders/{order}/hand-in", Who: work},
	{Route: "POST /orders/{order}/override", Who: owner},
	{Route: "POST /orders/{order}/lift", Who: owner},
	{Route: "POST /orders/{order}/cancel", Who: owner},
	{Route: "POST /orders/{order}/take-back", Who: owner},
	{Route: "POST /lines/{line}/number", Who: owner},
	{Route: "POST /lines/{line}/drop", Who: owner},
	{Route: "POST /parcels/{parcel}/label", Who: work},
	{Route: "POST /parcels/{parcel}/weigh", Who: work},
	{Route: "GET /quote", Who: all},
	{Route: "GET /ahead", Who: all},
	{Route: "GET /earnings/owed", Who: owner},
	{Route: "GET /earnings/owed/{buyer}", Who: owner},
	{Route: "GET /papers/statement/{file}", Who: owner},
	{Route: "GET /earnings/papers", Who: owner},
	{Route: "POST /earnings/papers", Who: owner},
	{Route: "POST /earnings/papers/mail", Who: owner, Fresh: true},
	{Route: "GET /earnings/papers/{bill}", Who: owner},
	{Route: "POST /earnings/papers/{bill}", Who: owner},
	{Route: "GET /papers/bill/{file}", Who: owner},
	{Route: "GET /earnings/year", Who: owner},
	{Route: "GET /earnings/year/{year}", Who: owner},
	{Route: "POST /earnings/year/{year}/close", Who: owner, Fresh: true},
	{Route: "GET /earnings/year/{year}/entries", Who: owner},
	{Route: "GET /earnings/opening", Who: owner},
	{Route: "POST /earnings/opening", Who: owner},
	{Route: "POST /earnings/opening/cost", Who: owner},
	{Route: "GET /earnings/tax", Who: owner},
	{Route: "GET /earnings/tax.csv", Who: owner},
	{Route: "GET /earnings/tax-rates", Who: owner},
	{Route: "POST /earnings/tax-rates", Who: owner},
	{Route: "POST /earnings/tax-rates/load", Who: owner},
	{Route: "POST /earnings/tax-rates/{rate}/drop", Who: owner},
	{Route: "POST /earnings/tax-rates/resale", Who: owner},
	{Route: "POST /earnings/tax-rates/resale/{resale}/end", Who: owner},
	{Route: "POST /orders/{order}/tax", Who: owner},
	{Route: "GET /orders/{order}/reminder.eml", Who: owner},
	{Route: "POST /orders/{order}/reminder", Who: owner},
	{Route: "GET /orders/{order}/papers", Who: owner},
	{Route: "POST /orders/{order}/papers", Who: owner},
	{Route: "GET /buyers", Who: all},
	{Route: "POST /buyers/same", Who: owner},
	{Route: "POST /buyers/{buyer}/part", Who: owner},
	{Route: "GET /buyers/{buyer}", Who: all},
	{Route: "POST /buyers/{buyer}", Who: owner},
	{Route: "GET /buyers/{buyer}/data.zip", Who: owner, Fresh: true},
	{Route: "GET /buyers/{buyer}/erase", Who: owner},
	{Route: "POST /buyers/{buyer}/erase", Who: owner, Fresh: true},
	{Route: "GET /editions", Who: all},
	{Route: "GET /editions/new", Who: owner},
	{Route: "POST /editions", Who: owner},
	{Route: "GET /editions/record", Who: all},
	{Route: "POST /editions/record/sign", Who: owner},
	{Route: "GET /editions/record/checkpoint.txt", Who: all},
	{Route: "GET /editions/{edition}", Who: all},
	{Route: "POST /editions/{edition}/price", Who: owner},
	{Route: "POST /editions/{edition}/close", Who: owner},
	{Route: "POST /editions/{edition}/cancel", Who: owner},
	{Route: "GET /editions/{edition}/closing.pdf", Who: all},
	{Route: "GET /editions/{edition}/certificates", Who: all},
	{Route: "POST /editions/{edition}/certificates", Who: owner},
	{Route: "POST /editions/{edition}/certificates/revoke", Who: owner},
	{Route: "GET /editions/{edition}/certificates.pdf", Who: all},
	{Route: "GET /certificates/check", Who: all},
	{Route: "POST /certificates/check", Who: all},
	{Route: "POST /certificates/tell", Who: owner},
	{Route: "POST /certificates/told/{told}/forget", Who: owner},
	{Route: "GET /certificates/{file}", Who: all},
	{Route: "GET /editions/{edition}/facts", Who: all},
	{Route: "POST /editions/{edition}/facts", Who: owner},
	{Route: "POST /editions/{edition}/disclosures", Who: all},
	{Route: "POST /editions/{edition}/sign", Who: work},
	{Route: "GET /editions/{edition}/numbers/{number}", Who: all},
	{Route: "POST /editions/{edition}/numbers/{number}/{step}", Who: owner},
	{Route: "GET /works/new", Who: owner},
	{Route: "POST /works", Who: owner},
	{Route: "GET /works/{work}", Who: all},
	{Route: "POST /works/{work}", Who: owner},
	{Route: "POST /works/{work}/picture", Who: work},
	{Route: "POST /works/{work}/picture/words", Who: work},
	{Route: "POST /works/{work}/picture/take-away", Who: owner},
	{Route: "GET /works/{work}/picture/{size}", Who: all},
	{Route: "GET /drawer", Who: all},
	{Route: "GET /drawer/{edition}", Who: all},
	{Route: "POST /drawer/{edition}/count", Who: work},
	{Route: "GET /runs/new", Who: owner},
	{Route: "POST /runs", Who: owner},
	{Route: "GET /runs/{run}", Who: all},
	{Route: "POST /runs/{run}/receive", Who: work},
	{Route: "POST /runs/{run}/close", Who: owner},
	{Route: "GET /shelf/new", Who: owner},
	{Route: "POST /shelf", Who: owner},
	{Route: "GET /shelf/{item}", Who: all},
	{Route: "POST /shelf/{item}", Who: owner},
	{Route: "POST /shelf/{item}/count", Who: work},
	{Route: "POST /shelf/{item}/restock", Who: work},
	{Route: "GET /boards", Who: all},
	{Route: "GET /shelf-savings", Who: all},
	{Route: "GET /reckoning/{reckoning}", Who: all},
	{Route: "POST /reckoning/{reckoning}/stop", Who: all},
	{Route: "GET /intake", Who: owner},
	{Route: "POST /intake", Who: owner},
	{Route: "GET /intake/colours.css", Who: owner},
	{Route: "POST /intake/mappings/drop", Who: owner},
	{Route: "GET /intake/{arrival}", Who: owner},
	{Route: "POST /intake/{arrival}", Who: owner},
	{Route: "GET /intake/{arrival}/trial", Who: owner},
	{Route: "POST /intake/{arrival}/answers", Who: owner},
	{Route: "POST /intake/{arrival}/take-in", Who: owner},
	{Route: "POST /intake/{arrival}/drop", Who: owner},
	{Route: "GET /intakes/{intake}", Who: owner},
	{Route: "POST /intakes/{intake}/take-back", Who: owner, Fresh: true},
	{Route: "GET /hand-over", Who: all},
	{Route: "POST /hand-over", Who: work},
	{Route: "GET /hand-overs/{handover}", Who: all},
	{Route: "GET /studio", Who: owner},
	{Route: "POST /studio", Who: owner},
	{Route: "GET /studio/outlets/new", Who: owner},
	{Route: "POST /studio/outlets", Who: owner},
	{Route: "GET /studio/outlets/{outlet}", Who: owner},
	{Route: "POST /studio/outlets/{outlet}", Who: owner},
	{Route: "GET /earnings", Who: owner},
	{Route: "GET /earnings.csv", Who: owner},
	{Route: "GET /earnings/parts", Who: owner},
	{Route: "GET /earnings/prices", Who: owner},
	{Route: "GET /earnings/prices/{edition}", Who: owner},
	{Route: "GET /orders/{order}/earned", Who: owner},
	{Route: "GET /studio/outlets/{outlet}/fees", Who: owner},
	{Route: "POST /studio/outlets/{outlet}/fees", Who: owner},
	{Route: "GET /studio/cards/new", Who: owner},
	{Route: "GET /studio/cards/renew", Who: owner},
	{Route: "POST /studio/cards/renew", Who: owner},
	{Route: "GET /studio/cards/diff", Who: owner},
	{Route: "GET /studio/zones", Who: owner},
	{Route: "POST /studio/zones", Who: owner},
	{Route: "POST /studio/zones/drop", Who: owner},
	{Route: "GET /studio/cards/edit", Who: owner},
	{Route: "POST /studio/cards/edit", Who: owner},
	{Route: "GET /studio/cards/list", Who: owner},
	{Route: "POST /studio/cards/list", Who: owner},
	{Route: "POST /studio/cards/lists", Who: owner},
	{Route: "POST /studio/cards", Who: owner},
	{Route: "GET /studio/card.json", Who: owner},
	{Route: "POST /studio/cards/drop", Who: owner},
	{Route: "GET /studio/wraps", Who: owner},
	{Route: "POST /studio/wraps", Who: owner},
	{Route: "GET /studio/wraps.json", Who: owner},
	{Route: "GET /studio/wrap", Who: owner},
	{Route: "POST /studio/wrap", Who: owner},
	{Route: "GET /studio/weighed", Who: owner},
	{Route: "POST /studio/weighed", Who: owner},
	{Route: "GET /studio/rule", Who: owner},
	{Route: "POST /studio/rule", Who: owner},
	{Route: "POST /studio/rules/order", Who: owner},
	{Route: "GET /studio/leaving", Who: owner},
	{Route: "POST /studio/leaving", Who: owner},
	{Route: "GET /studio/leaving/way", Who: owner},
	{Route: "POST /studio/leaving/way", Who: owner},
	{Route: "GET /studio/lists", Who: owner},
	{Route: "POST /studio/lists", Who: owner},
	{Route: "GET /studio/what-if", Who: owner},
	{Route: "POST /studio/what-if", Who: owner},
	{Route: "GET /phone", Who: anyone},
	{Route: "POST /phone", Who: anyone},
	{Route: "GET /phone/authority.crt", Who: anyone},
	{Route: "GET /studio/phones", Who: owner},
	{Route: "POST /studio/phones/let-in", Who: owner, Fresh: true},
	{Route: "POST /studio/phones/open", Who: owner, Fresh: true},
	{Route: "POST /studio/phones/shut", Who: owner},
	{Route: "POST /studio/phones/{phone}/end", Who: owner},
	{Route: "POST /studio/phones/{phone}/hide", Who: owner},
	{Route: "GET /studio/feeds", Who: owner},
	{Route: "POST /studio/feeds", Who: owner, Fresh: true},
	{Route: "GET /studio/feeds/{feed}", Who: owner},
	{Route: "POST /studio/feeds/{feed}/revoke", Who: owner, Fresh: true},
	{Route: "POST /studio/feeds/{feed}/buyers", Who: owner, Fresh: true},
	{Route: "POST /studio/feeds/{feed}/mapping", Who: owner, Fresh: true},
	{Route: "POST /studio/feeds/{feed}/secrets", Who: owner, Fresh: true},
	{Route: "POST /studio/feeds/{feed}/secrets/{secret}/drop", Who: owner, Fresh: true},
	{Route: "GET /studio/hook-mappings/new", Who: owner},
	{Route: "POST /studio/hook-mappings", Who: owner},
	{Route: "GET /studio/hook-mappings/{mapping}", Who: owner},
	{Route: "POST /studio/hook-mappings/{mapping}", Who: owner},
	{Route: "GET /studio/hook-mappings/{mapping}/mapping.json", Who: owner},
	{Route: "POST /studio/hook-mappings/{mapping}/drop", Who: owner},
	{Route: "GET /earnings/galleries", Who: owner},
	{Route: "POST /earnings/galleries", Who: owner},
	{Route: "GET /earnings/galleries/{gallery}", Who: owner},
	{Route: "POST /earnings/galleries/{gallery}", Who: owner},
	{Route: "POST /earnings/galleries/{gallery}/send", Who: owner},
	{Route: "POST /earnings/galleries/{gallery}/money", Who: owner},
	{Route: "GET /earnings/galleries/{gallery}/statement.pdf", Who: owner},
	{Route: "GET /earnings/galleries/{gallery}/statement.csv", Who: owner},
	{Route: "POST /earnings/galleries/prints/{print}/{deed}", Who: owner},
	{Route: "POST /earnings/galleries/money/{money}/reverse", Who: owner},
	{Route: "GET /earnings/payouts", Who: owner},
	{Route: "POST /earnings/payouts", Who: owner},
	{Route: "GET /earnings/payouts/new", Who: owner},
	{Route: "GET /earnings/payouts/{payout}", Who: owner},
	{Route: "POST /earnings/payouts/{payout}/take-back", Who: owner},
	{Route: "GET /earnings/bank", Who: owner},
	{Route: "POST /earnings/bank", Who: owner},
	{Route: "GET /earnings/bank/{account}", Who: owner},
	{Route: "POST /earnings/bank/{account}/name", Who: owner},
	{Route: "POST /earnings/bank/{account}/files", Who: owner},
	{Route: "POST /earnings/bank/{account}/yes", Who: owner},
	{Route: "POST /earnings/bank/files/{file}/take-out", Who: owner},
	{Route: "POST /earnings/bank/lines/{line}/order", Who: owner},
	{Route: "POST /earnings/bank/lines/{line}/aside", Who: owner},
	{Route: "POST /earnings/bank/lines/{line}/reopen", Who: owner},
	{Route: "GET /studio/privacy", Who: owner},
	{Route: "POST /studio/privacy", Who: owner, Fresh: true},
	{Route: "POST /studio/privacy/due", Who: owner, Fresh: true},
	{Route: "POST /studio/privacy/wipe", Who: owner, Fresh: true},
	{Route: "GET /studio/privacy/erasures.json", Who: owner, Fresh: true},
	{Route: "GET /studio/check", Who: owner},
	{Route: "GET /studio/copies", Who: owner},
	{Route: "POST /studio/copies", Who: owner, Fresh: true},
	{Route: "POST /studio/copies/stop", Who: owner, Fresh: true},
	{Route: "POST /studio/copies/make", Who: owner},
	{Route: "POST /studio/copies/drill", Who: owner},
	{Route: "POST /studio/copies/key", Who: owner, Fresh: true},
	{Route: "POST /studio/copies/leave", Who: owner, Fresh: true},
	{Route: "POST /studio/copies/back", Who: owner, Fresh: true},
	{Route: "POST /studio/close", Who: owner},
	{Route: "POST /studio/look-around", Who: owner},
	{Route: "GET /studio/backup", Who: owner, Fresh: true},
	{Route: "GET /studio/files", Who: owner},
	{Route: "GET /studio/export", Who: owner, Fresh: true},
	{Route: "GET /studio/layouts/new", Who: owner},
	{Route: "GET /studio/layouts/{layout}", Who: owner},
	{Route: "POST /studio/layouts", Who: owner},
	{Route: "POST /studio/layouts/drop", Who: owner},
	{Route: "GET /postage/{file}", Who: owner},
	{Route: "POST /postage/back", Who: owner},
	{Route: "GET /promises.ics", Who: owner},
	{Route: "GET /promises/{file}", Who: own},
	{Route: "POST /promises", Who: owner, Fresh: true},
	{Route: "POST /promises/end", Who: owner, Fresh: true},
	{Route: "GET /cards.vcf", Who: owner, Fresh: true},
	{Route: "GET /cards/{file}", Who: owner},
	{Route: "GET /papers/boards.pdf", Who: all},
	{Route: "GET /papers/{file}", Who: all},
	{Route: "GET /papers/{paper}/{file}", Who: all},
	{Route: "GET /papers/day/{file}", Who: all},
	{Route: "GET /papers/stickers", Who: all},
	{Route: "GET /papers/stickers.pdf", Who: all},
	{Route: "GET /papers/wrap/{file}", Who: all},
	{Route: "GET /search", Who: all},
	{Route: "GET /sign-in", Who: anyone},
	{Route: "POST /sign-in", Who: anyone},
	{Route: "POST /sign-in/passkey/ask", Who: anyone},
	{Route: "POST /sign-in/passkey", Who: anyone},
	{Route: "POST /sign-out", Who: all, First: true},
	{Route: "GET /account", Who: all},
	{Route: "GET /account/prove", Who: all},
	{Route: "POST /account/prove", Who: all},
	{Route: "GET /account/password", Who: all, First: true},
	{Route: "POST /account/password", Who: all, First: true},
	{Route: "POST /account/second", Who: all, Fresh: true},
	{Route: "POST /account/second/take", Who: all, Fresh: true},
	{Route: "POST /account/second/drop", Who: all, Fresh: true},
	{Route: "POST /account/codes", Who: all, Fresh: true},
	{Route: "POST /account/passkeys/offer", Who: all, Fresh: true},
	{Route: "POST /account/passkeys", Who: all, Fresh: true},
	{Route: "POST /account/passkeys/{passkey}/drop", Who: all, Fresh: true},
	{Route: "POST /account/sessions/{session}/end", Who: all},
	{Route: "POST /account/everywhere", Who: all},
	{Route: "POST /account/trust", Who: owner, Fresh: true},
	{Route: "POST /account/devices/{device}/revoke", Who: all},
	{Route: "GET /studio/people", Who: owner},
	{Route: "POST /studio/people", Who: owner, Fresh: true},
	{Route: "POST /studio/people/first", Who: owner},
	{Route: "POST /studio/people/{person}/role", Who: owner, Fresh: true},
	{Route: "POST /studio/people/{person}/end", Who: owner, Fresh: true},
	{Route: "POST /studio/people/{person}/readmit", Who: owner, Fresh: true},
	{Route: "POST /studio/people/{person}/everywhere", Who: owner},
	{Route: "GET /help", Who: anyone},
	{Route: "GET /set-up", Who: owner},
	{Route: "POST /set-up", Who: owner},
	{Route: "POST /set-up/bring", Who: owner},

	// Calls for programs: what their feed's scopes say is asked by package api.
	{Route: "GET /api/v1/openapi.json", Who: anyone},
	{Route: "GET /api/v1/problems/{code}", Who: anyone},
	{Route: "GET /api/v1/ahead", Who: own},
	{Route: "POST /api/v1/apart", Who: own},
	{Route: "GET /api/v1/buyers", Who: own},
	{Route: "GET /api/v1/buyers/{buyer}", Who: own},
	{Route: "POST /api/v1/buyers/{buyer}/merge", Who: own},
	{Route: "POST /api/v1/buyers/{buyer}/part", Who: own},
	{Route: "POST /api/v1/deeds/{deed}/undo", Who: own},
	{Route: "GET /api/v1/editions", Who: own},
	{Route: "GET /api/v1/leaving", Who: own},
	{Route: "POST /api/v1/orders", Who: own},
	{Route: "GET /api/v1/orders/{ref}", Who: own},
	{Route: "PATCH /api/v1/orders/{ref}", Who: own},
	{Route: "PUT /api/v1/orders/{ref}/address", Who: own},
	{Route: "PUT /api/v1/orders/{ref}/buyer", Who: own},
	{Route: "POST /api/v1/orders/{ref}/payments", Who: own},
	{Route: "GET /api/v1/papers/{kind}", Who: own},
	{Route: "GET /api/v1/quote", Who: own},
	{Route: "POST /hooks/{feed}", Who: own},
}

// Table is the rights, by route.
type Table map[string]Row

// NewTable returns the table of rows. Two rows of one route are a mistake of the program: it panics.
func NewTable(rows []Row) Table {
	out := Table{}
	for _, row := range rows {
		if _, twice := out[row.Route]; twice || row.Who.word == "" {
			panic(fmt.Sprintf("the rights of %s (%s) are said twice, or of nobody", row.Route, row.Who))
		}
		out[row.Route] = row
	}
	return out
}

// Of returns the row of a route. A route without one is a mistake of the program: nobody may, not even an owner.
func (t Table) Of(method, pattern string) Row {
	if row, ok := t[method+" "+pattern]; ok {
		return row
	}
	return Row{Route: method + " " + pattern}
}

// Match returns the row of a request, as the router of the pages would match it.
func (t Table) Match(mux *http.ServeMux, r *http.Request) (Row, bool) {
	_, pattern := mux.Handler(r)
	row, ok := t[pattern]
	return row, ok
}
