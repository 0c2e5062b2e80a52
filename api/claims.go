package api

import (
	"context"
	"encoding/json"
	"net/http"
	"strconv"
	"strings"

	"solander/api/problem"
	"solander/claim"
	"solander/claims"
	"solander/fault"
	"solander/feeds"
	"solander/internal/strict"
)

// claimsAsked is which claims are wanted.
type claimsAsked struct {
	All string `query:"all" doc:"1: closed ones, too; open ones alone when it is left out."`
}

// Claimed is a claim on an operator as it stands with the operator.
type Claimed struct {
	Claim     int64  `json:"claim"`
	State     string `json:"state" enum:"told,filed,granted,refused,paid,closed" doc:"told: nothing was filed yet."`
	Filed     *Day   `json:"filed,omitempty"`
	Reference string `json:"reference,omitempty" doc:"By which the operator knows it."`
	Amount    Money  `json:"claimed"`
	Answered  *Day   `json:"answered,omitempty"`
	Granted   Money  `json:"granted"`
	PaidOn    *Day   `json:"paid_on,omitempty"`
	Paid      Money  `json:"paid"`
}

// Claim is a claim on an operator for a parcel.
type Claim struct {
	Claimed
	Kind    string   `json:"kind" enum:"damaged,lost,missing" doc:"missing: a part of what was in the parcel."`
	Told    *Day     `json:"told" doc:"When the studio was told."`
	Refs    []string `json:"refs" nullable:"false" doc:"The outlet's own names of the orders in the parcel."`
	Marks   []string `json:"marks" nullable:"false" doc:"The studio's."`
	Prints  []string `json:"prints" nullable:"false" doc:"That it is about."`
	Service string   `json:"service,omitempty"`
	Posted  *Day     `json:"posted"`
	First   *Day     `json:"first,omitempty" doc:"On which it may be filed; left out when the price card does not tell: ask the operator."`
	Last    *Day     `json:"last,omitempty"`
	Cover   Money    `json:"cover" doc:"Up to which the parcel is covered."`
	Worth   Money    `json:"worth" doc:"Of the prints, at their prices."`
	Made    string   `json:"made,omitempty" enum:"replaced,paid-back,kept,arrived" doc:"How it was made good to the buyer; left out when it was not yet."`
	MadeOn  *Day     `json:"made_on,omitempty"`
	Todo    []string `json:"todo" nullable:"false" doc:"What is to be done, in words."`
}

// Claims is the list of them, the latest told first.
type Claims struct {
	Claims []Claim `json:"claims" nullable:"false"`
}

// Filing notes that a claim was filed with the operator.
type Filing struct {
	Amount    *Money `json:"amount,omitempty" doc:"The worth of the prints, up to the cover, when it is left out."`
	Day       *Day   `json:"day,omitempty" doc:"Today when it is left out."`
	Reference string `json:"reference,omitempty" maxLength:"100"`
	Above     string `json:"above,omitempty" maxLength:"500" doc:"Why more than the cover is claimed; needed for that alone."`
}

// Reply is what the operator answered.
type Reply struct {
	Granted Money  `json:"granted" doc:"What it pays; 0 when it refuses."`
	Day     *Day   `json:"day,omitempty" doc:"Today when it is left out."`
	Answer  string `json:"answer,omitempty" maxLength:"4000" doc:"In its words."`
}

// MoneyIn is what the operator paid.
type MoneyIn struct {
	Amount *Money `json:"amount,omitempty" doc:"What was granted when it is left out."`
	Day    *Day   `json:"day,omitempty" doc:"Today when it is left out."`
}

type (
	claimsTold  struct{ Body Claims }
	claimedTold struct {
		Status int
		Body   Claimed
	}
)

// ofClaim is a write about a claim.
type ofClaim struct {
	Keyed
	Claim string `path:"claim" doc:"The number of the claim."`
}

func claimedOf(c claim.Claim) Claimed {
	return Claimed{
		Claim: c.ID, State: string(c.State), Filed: dayOf(c.Filed), Reference: c.Reference, Amount: moneyOf(c.Claimed),
		Answered: dayOf(c.Answered), Granted: moneyOf(c.Granted), PaidOn: dayOf(c.PaidOn), Paid: moneyOf(c.Paid),
	}
}

func claimOf(v feeds.FeedClaim) Claim {
	out := Claim{
		Claimed: claimedOf(v.Claim), Kind: string(v.Kind), Told: dayOf(v.Told), Refs: v.Refs, Marks: v.Marks, Prints: []string{}, Service: v.Service,
		Posted: dayOf(v.Terms.Posted), Cover: moneyOf(v.Terms.Cover), Worth: moneyOf(v.Terms.Worth), Made: string(v.Made), MadeOn: dayOf(v.MadeOn), Todo: []string{},
	}
	if v.Terms.Stated {
		out.First, out.Last = dayOf(v.Terms.First), dayOf(v.Terms.Last)
	}
	for _, p := range v.Prints {
		out.Prints = append(out.Prints, p.Name)
	}
	for _, d := range v.Todo {
		out.Todo = append(out.Todo, d.What)
	}
	return out
}

func (f *face) claims(ctx context.Context, in *claimsAsked) (*claimsTold, error) {
	if in.All != "" && in.All != "1" {
		return nil, f.told(ctx, ofParameters(fault.Invalidf("all", "it is not 1").ToMend("send 1, or leave it out")))
	}
	all, err := feeds.FeedClaims(ctx, f.studio, callOf(ctx).ID, in.All == "1")
	if err != nil {
		return nil, f.told(ctx, err)
	}
	out := &claimsTold{Claims{[]Claim{}}}
	for _, v := range all {
		out.Body.Claims = append(out.Body.Claims, claimOf(v))
	}
	return out, nil
}

func (f *face) fileClaim(ctx context.Context, in *ofClaim) (*claimedTold, error) {
	return didClaim(ctx, f, in, func(id int64, b Filing) claims.Deed {
		return claims.FileIn{Claim: id, Amount: b.Amount.amount(), Day: b.Day.day(), Reference: strings.TrimSpace(b.Reference), Above: strings.TrimSpace(b.Above)}
	})
}

func (f *face) answerClaim(ctx context.Context, in *ofClaim) (*claimedTold, error) {
	return didClaim(ctx, f, in, func(id int64, b Reply) claims.Deed {
		return claims.AnswerIn{Claim: id, Granted: b.Granted.amount(), Day: b.Day.day(), Words: strings.TrimSpace(b.Answer)}
	})
}

func (f *face) payClaim(ctx context.Context, in *ofClaim) (*claimedTold, error) {
	return didClaim(ctx, f, in, func(id int64, b MoneyIn) claims.Deed {
		return claims.PaidIn{Claim: id, Amount: b.Amount.amount(), Day: b.Day.day()}
	})
}

// inClaim are the fields whose names in faults are others than in the body.
var inClaim = map[string]string{"claim": ""}

// didClaim reads a body, notes it of a claim and answers.
func didClaim[B any](ctx context.Context, f *face, in *ofClaim, deed func(int64, B) claims.Deed) (*claimedTold, error) {
	c := callOf(ctx)
	id, err := strconv.ParseInt(in.Claim, 10, 64)
	if err != nil || id <= 0 {
		return nil, f.told(ctx, fault.Invalidf("", "%.20q is no number of a claim", in.Claim).ToMend("send the number as the list has it"))
	}
	var body B
	if err := strict.Decode(c.body, &body); err != nil {
		return nil, f.told(ctx, problem.InBody(err, c.body, nil))
	}
	say := func(is claim.Claim) (string, error) {
		b, err := json.Marshal(claimedOf(is))
		return string(b), err
	}
	answer, err := feeds.FeedClaimDeed(ctx, f.studio, feeds.FeedCall{Feed: c.ID, Key: in.Key, Print: c.print()}, id, deed(id, body), say)
	if err != nil {
		return nil, f.told(ctx, problem.InBody(err, c.body, inClaim))
	}
	if answer == "" { // to a feed that may not read claims
		return &claimedTold{Status: http.StatusNoContent}, nil
	}
	out := &claimedTold{Status: http.StatusOK}
	if err := json.Unmarshal([]byte(answer), &out.Body); err != nil {
		return nil, f.told(ctx, err)
	}
	return out, nil
}
