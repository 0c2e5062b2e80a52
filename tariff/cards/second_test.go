package cards

import (
	"bytes"
	"encoding/json"
	"math/rand/v2"
	"os/exec"
	"strings"
	"testing"

	"solander/measure"
	"solander/tariff"
)

// asked is a parcel as testdata/price.py reads it.
type asked struct {
	Card      string            `json:"card"`
	Service   string            `json:"service"`
	From      [2]string         `json:"from"`
	To        [2]string         `json:"to"`
	Form      tariff.Form       `json:"form"`
	Sides     [3]measure.Length `json:"sides"`
	Mass      measure.Mass      `json:"mass"`
	Stiff     bool              `json:"stiff"`
	Value     int64             `json:"value"`
	Container string            `json:"container"`
	Issued    []string          `json:"issued"`
	Cover     int64             `json:"cover"`
	Signature bool              `json:"signature"`
	Tracking  bool              `json:"tracking"`
}

// secondProgram is a Python with what price.py needs beside its own files: 3.11, whose library reads TOML.
func secondProgram(t *testing.T) string {
	t.Helper()
	for _, p := range []string{"/usr/bin/python3", "python3"} {
		if exec.Command(p, "-c", "import tomllib").Run() == nil {
			return p
		}
	}
	t.Skip("no python3 of 3.11 or later: the prices are not compared with those of another program; scripts/install-test-tools.sh installs it")
	return ""
}

// A thousand random parcels of each bundled card cost the same, by the same billed mass, or break the same rule, by a small
// program in another language that knows docs/formats/tariff.md alone and reads the same files.
func TestAnotherProgramPricesTheSame(t *testing.T) {
	const parcels = 1000
	python := secondProgram(t)
	all, err := All()
	if err != nil {
		t.Fatal(err)
	}
	r := rand.New(rand.NewPCG(12, 2026))
	var ask []asked
	for i := range all {
		for range parcels {
			ask = append(ask, randomParcel(r, &all[i]))
		}
	}
	in, err := json.Marshal(map[string]any{"cards": ".", "parcels": ask})
	if err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command(python, "testdata/price.py")
	var errs bytes.Buffer
	cmd.Stdin, cmd.Stderr = bytes.NewReader(in), &errs
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("%v\n%s", err, errs.String())
	}
	var answers [][3]any
	if err := json.Unmarshal(out, &answers); err != nil || len(answers) != len(ask) {
		t.Fatalf("%d answers to %d questions, %v", len(answers), len(ask), err)
	}
	priced, rules := map[string]int{}, map[string]int{}
	for i, a := range ask {
		rule, total, billed := priceOf(&all[i/parcels], a)
		if rule == "" {
			priced[a.Card]++
		}
		rules[rule]++
		got := answers[i]
		if got[0] != rule || got[1] != float64(total) || got[2] != float64(billed) {
			t.Errorf("%+v: %q %d, billed %d; the other program says %v", a, rule, total, billed, got)
		}
		if t.Failed() && i > 20 {
			t.Fatal("and so on")
		}
	}
	for i := range all {
		if n := priced[all[i].ID]; n < parcels/10 {
			t.Errorf("only %d parcels of %s have a price", n, all[i].ID)
		}
	}
	for _, rule := range []string{"", "service.destination", "zone.mass", "service.issued", "service.container", "service.form", "service.flexible", "limit.length", "limit.width", "limit.height", "limit.length+girth", "limit.length+width+height", "limit.length+2diameter", "limit.mass", "service.tracking", "price.step", "cover.most", "service.signature"} {
		if rules[rule] == 0 {
			t.Errorf("no parcel broke %q: %v", rule, rules)
		}
	}
}

// priceOf is the rule that a parcel breaks, or its price.
func priceOf(c *tariff.Card, a asked) (rule string, total int64, billed measure.Mass) {
	o, why := tariff.NewOffer(c, c.Service(a.Service), tariff.Place{Country: a.From[0], Postcode: a.From[1]}, tariff.Place{Country: a.To[0], Postcode: a.To[1]})
	if why != nil {
		return why.Rule, 0, 0
	}
	p := &tariff.Parcel{
		Size: tariff.SizeOf(a.Sides[0], a.Sides[1], a.Sides[2]), Form: a.Form, Stiff: a.Stiff, Mass: a.Mass, Value: a.Value, Container: a.Container, IssuedFor: a.Issued,
	}
	price, why := o.Price(p, tariff.Extras{Cover: a.Cover, Signature: a.Signature, Tracking: a.Tracking})
	if why != nil {
		return why.Rule, 0, 0
	}
	return "", price.Total, price.Billed
}

// randomParcel is a parcel for a service of a card, often near one of its limits and steps.
func randomParcel(r *rand.Rand, c *tariff.Card) asked {
	s := &c.Services[r.IntN(len(c.Services))]
	a := asked{Card: c.ID, Service: s.ID, Form: tariff.Box, Stiff: r.IntN(2) == 0, Value: r.Int64N(100_000), Issued: []string{}}
	home := strings.ToUpper(c.ID[:2])
	a.From = [2]string{home, map[string]string{"US": "24011", "DE": "99423", "FR": "69001", "NO": "5003"}[home]}
	countries := []string{home, home, "DE", "FR", "NO", "US", "CA", "JP", "RU", "XX"}
	a.To = [2]string{countries[r.IntN(len(countries))], []string{"24060", "10027", "90 210", "k1a-0b1", "96799", "5"}[r.IntN(6)]}
	if s.Abroad != nil && r.IntN(8) > 0 {
		for (a.To[0] != home) != *s.Abroad {
			a.To[0] = countries[r.IntN(len(countries))]
		}
	}
	if r.IntN(4) == 0 {
		a.Form = tariff.Cylinder
	}
	if r.IntN(6) > 0 {
		a.Stiff = a.Stiff && !s.Flexible
		if len(s.Forms) > 0 {
			a.Form = s.Forms[0]
		}
	}
	most := map[tariff.Measure]int64{tariff.Length: int64(900 * measure.Millimetre), tariff.Width: int64(500 * measure.Millimetre), tariff.Height: int64(300 * measure.Millimetre)}
	for _, b := range s.Limits {
		if b.Max != nil && most[b.Measure] > 0 && (b.Form == "" || b.Form == a.Form) {
			most[b.Measure] = *b.Max
		}
	}
	for i, m := range []tariff.Measure{tariff.Length, tariff.Width, tariff.Height} {
		n := int64(float64(most[m]) * (0.1 + r.Float64()))
		if r.IntN(3) == 0 {
			n = most[m] + int64(r.IntN(3)) - 1
		}
		a.Sides[i] = measure.Length(max(n, 1))
	}
	if a.Form == tariff.Cylinder {
		a.Sides[1] = a.Sides[2]
	}
	rows := s.Prices.Rows
	a.Mass = measure.Mass(r.Int64N(int64(31_500 * measure.Gram)))
	if s.Prices.By == tariff.ByMass && r.IntN(10) > 0 {
		a.Mass = rows[r.IntN(len(rows))].Mass - measure.Mass(r.IntN(3)) + 1
	}
	a.Container = s.Container
	if r.IntN(20) == 0 {
		a.Container = "a-container"
	}
	switch r.IntN(20) {
	case 0:
		a.Issued = []string{"another class"}
	case 1:
		a.Issued = []string{s.Class}
	}
	if r.IntN(3) == 0 {
		a.Cover = []int64{1, 5000, 10_000, 10_001, 45_800, 45_801, 60_001, 499_999, 500_000, 500_001}[r.IntN(10)]
	}
	a.Signature, a.Tracking = r.IntN(8) == 0, r.IntN(4) == 0
	return a
}
