package api

import (
	"context"
	"fmt"
	"net/http"
	"reflect"
	"strings"

	"github.com/danielgtaylor/huma/v2"

	"solander/feed"
)

// config describes the whole; nothing of what the library adds by itself is wanted.
func config() huma.Config {
	c := huma.DefaultConfig("Solander", "1")
	c.Info.Description = "Orders of one outlet, for the feed of that outlet; and the studio's buyers, for a feed that may see them. docs/formats/api.md says more."
	c.Info.License = &huma.License{Name: "MIT", Identifier: "MIT"}
	c.CreateHooks, c.DocsPath, c.SchemasPath, c.OpenAPIPath = nil, "", "", ""
	c.Servers = []*huma.Server{{URL: Base, Description: "This studio"}}
	c.Components.SecuritySchemes = map[string]*huma.SecurityScheme{
		"token": {Type: "http", Scheme: "bearer", Description: "The token of a feed, shown once when the feed is made."},
	}
	c.Security = []map[string][]string{{"token": {}}}
	c.Tags = []*huma.Tag{{Name: "orders", Description: "Orders by the outlet's reference."}, {Name: "buyers", Description: "Buyers of the studio, whatever the outlet, and who is the same person."}, {Name: "editions", Description: "What can be sold."}, {Name: "papers", Description: "What is printed for the parcels of a day."}, {Name: "money", Description: "Days at a table, and claims on operators."}}
	return c
}

// Every call may fail in these ways, and every write in the further ones.
var (
	anyFails   = []int{http.StatusUnauthorized, http.StatusForbidden, http.StatusUnprocessableEntity, http.StatusTooManyRequests, http.StatusServiceUnavailable, http.StatusInternalServerError}
	writeFails = append([]int{http.StatusBadRequest, http.StatusNotFound, http.StatusConflict, http.StatusRequestEntityTooLarge, http.StatusUnsupportedMediaType, http.StatusGatewayTimeout}, anyFails...)
	matchFails = append([]int{http.StatusPreconditionFailed, http.StatusPreconditionRequired}, writeFails...)
)

// describe is every call: its address, what it takes, how it may fail, and what does it.
func describe(f *face, a huma.API) {
	op := func(id, method, path, tag, scope, summary string, status int, fails []int) huma.Operation {
		return huma.Operation{
			OperationID: id, Method: method, Path: path, Tags: []string{tag}, Summary: summary, Description: "Scope: " + scope + ".",
			DefaultStatus: status, Errors: fails, SkipValidateParams: true, // we look at them ourselves, and say more
		}
	}
	const post, get, put, patch = http.MethodPost, http.MethodGet, http.MethodPut, http.MethodPatch
	takes[NewOrder](a, op("takeOrder", post, "/orders", "orders", "orders:write", "Take an order; its prints get their numbers at once", http.StatusCreated, writeFails), f.takeOrder)
	huma.Register(a, op("readOrder", get, "/orders/{ref}", "orders", "orders:read", "Read an order", http.StatusOK, append([]int{http.StatusNotFound}, anyFails...)), f.order)
	takes[Change](a, op("changeOrder", patch, "/orders/{ref}", "orders", "orders:write", "Change days, charges and texts of an order; what is left out stays", http.StatusOK, matchFails), f.changeOrder)
	takes[Address](a, op("changeAddress", put, "/orders/{ref}/address", "orders", "addresses:write", "Correct where an order goes, while it can be", http.StatusOK, matchFails), f.changeAddress)
	takes[Buyer](a, op("changeBuyer", put, "/orders/{ref}/buyer", "orders", "buyers:write", "Correct who the buyer of an order is", http.StatusOK, matchFails), f.changeBuyer)
	takes[NewPayment](a, op("addPayment", post, "/orders/{ref}/payments", "orders", "payments:write", "Record money in, or back", http.StatusCreated, append([]int{http.StatusPreconditionFailed}, writeFails...)), f.pay)
	readFails := append([]int{http.StatusNotFound}, anyFails...)
	huma.Register(a, op("listBuyers", get, "/buyers", "buyers", "buyers:read", "List buyers of the studio by name, or search them", http.StatusOK, append([]int{http.StatusBadRequest}, anyFails...)), f.people)
	huma.Register(a, op("readBuyer", get, "/buyers/{buyer}", "buyers", "buyers:read", "Read a buyer; by the number of one who was taken as another, that one", http.StatusOK, readFails), f.person)
	takes[Merge](a, op("mergeBuyers", post, "/buyers/{buyer}/merge", "buyers", "buyers:merge", "Take others as the same person", http.StatusOK, writeFails), f.merge)
	takes[Part](a, op("partBuyer", post, "/buyers/{buyer}/part", "buyers", "buyers:merge", "Make a buyer of their own of some orders", http.StatusCreated, writeFails), f.part)
	takes[Apart](a, op("tellBuyersApart", post, "/apart", "buyers", "buyers:merge", "Note that buyers are not the same person", http.StatusOK, writeFails), f.apart)
	takes[Empty](a, op("undoBuyers", post, "/deeds/{deed}/undo", "buyers", "buyers:merge", "Take a deed about buyers back, while nothing was built on it", http.StatusOK, writeFails), f.undo)
	huma.Register(a, op("listEditions", get, "/editions", "editions", "editions:read", "List the editions that can be sold", http.StatusOK, anyFails), f.editions)
	huma.Register(a, op("quote", get, "/quote", "editions", "quotes:read", "Ask what sending prints would cost that nobody ordered yet", http.StatusOK, append([]int{http.StatusNotFound}, anyFails...)), f.quote)
	huma.Register(a, op("readLeaving", get, "/leaving", "papers", "papers:read", "Read by which ways the parcels of a day leave", http.StatusOK, anyFails), f.leaving)
	huma.Register(a, op("readAhead", get, "/ahead", "papers", "papers:read", "Read what goes on which of the next working days, and what may wait", http.StatusOK, append([]int{http.StatusConflict}, anyFails...)), f.ahead)
	huma.Register(a, op("listFairs", get, "/fairs", "money", "fairs:read", "List the outlet's days at a table, with what each took, cost and earned", http.StatusOK, append([]int{http.StatusBadRequest}, anyFails...)), f.fairs)
	huma.Register(a, op("listClaims", get, "/claims", "money", "claims:read", "List the claims on operators for the outlet's parcels", http.StatusOK, append([]int{http.StatusBadRequest}, anyFails...)), f.claims)
	takes[Filing](a, op("fileClaim", post, "/claims/{claim}/file", "money", "claims:write", "Note that a claim was filed with the operator", http.StatusOK, writeFails), f.fileClaim)
	takes[Reply](a, op("answerClaim", post, "/claims/{claim}/answer", "money", "claims:write", "Note what the operator answered", http.StatusOK, writeFails), f.answerClaim)
	takes[MoneyIn](a, op("payClaim", post, "/claims/{claim}/paid", "money", "claims:write", "Note that the operator paid", http.StatusOK, writeFails), f.payClaim)
	print := op("printPapers", get, "/papers/{kind}", "papers", "papers:read", "Print the papers of a day's parcels as PDF", http.StatusOK, append([]int{http.StatusConflict}, anyFails...))
	print.Responses = map[string]*huma.Response{"200": {Description: "The papers.", Content: map[string]*huma.MediaType{pdfType: {Schema: &huma.Schema{Type: "string", Format: "binary"}}}}}
	huma.Register(a, print, f.papers)
	f.serveDescription(a)
}

// takes registers a call with a body of JSON. The body is read and checked by us, strictly, so the library is only
// told afterwards what it looks like.
func takes[B, I, O any](a huma.API, op huma.Operation, do func(context.Context, *I) (*O, error)) {
	op.Responses = unseen(op)
	huma.Register(a, op, do)
	doc := a.OpenAPI()
	schema := doc.Components.Schemas.Schema(reflect.TypeFor[B](), true, "")
	item := doc.Paths[op.Path]
	for _, o := range []*huma.Operation{item.Post, item.Put, item.Patch} {
		if o != nil && o.OperationID == op.OperationID {
			o.RequestBody = &huma.RequestBody{Required: true, Content: map[string]*huma.MediaType{"application/json": {Schema: schema}}}
		}
	}
}

// unseen describes the answer to a feed that may not read the order, or the claim, that it changes; who takes an order is told what it took.
func unseen(op huma.Operation) map[string]*huma.Response {
	if op.OperationID == "takeOrder" {
		return nil
	}
	scope, of := feed.OrdersRead, "order"
	if strings.HasPrefix(op.Path, "/claims/") {
		scope, of = feed.ClaimsRead, "claim"
	}
	return map[string]*huma.Response{"204": {Description: fmt.Sprintf("Done; the feed lacks the scope %s, so nothing is told of the %s.", scope, of)}}
}

// serveDescription answers with the OpenAPI document, made once.
func (f *face) serveDescription(a huma.API) {
	body, err := a.OpenAPI().MarshalJSON()
	if err != nil {
		panic(err) // the description is made of constants: only a broken build gets here
	}
	f.mux.HandleFunc("GET "+Base+"/openapi.json", func(w http.ResponseWriter, _ *http.Request) {
		w.Header().Set("Content-Type", "application/openapi+json")
		if _, err := w.Write(body); err != nil {
			f.log.Debug("a caller left early", "err", err)
		}
	})
}
