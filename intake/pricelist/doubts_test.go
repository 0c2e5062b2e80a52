package pricelist_test

import (
	"bytes"
	"slices"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"solander/intake/csvfile"
	"solander/intake/pricelist"
	"solander/intake/xlsx"
	"solander/measure"
	"solander/tariff"
)

func read(t testing.TB, text, currency string, change ...func(*pricelist.Mapping)) pricelist.Reading {
	t.Helper()
	table, err := csvfile.Read("list.csv", []byte(text), nil)
	if err != nil {
		t.Fatal(err)
	}
	m := pricelist.Guess(table, currency)
	for _, c := range change {
		c(&m)
	}
	return pricelist.Read(table.Sheets[0], m)
}

func told(r pricelist.Reading) []string {
	var out []string
	for _, d := range r.Doubts {
		mark := "? "
		if d.Bars {
			mark = "! "
		}
		out = append(out, mark+r.Grid.Place(d.Row, d.Col)+" "+d.What)
	}
	return out
}

// Each slip of a list is marked at its cell; what bars lets no table be made.
func TestSlipsAreMarkedAtTheirCells(t *testing.T) {
	for name, c := range map[string]struct{ text, currency, want string }{
		"a comma where a point is meant": {"up to kg,zone 1,zone 2\n1,4.50,5.00\n2,\"5,20\",6.00\n3,7.00,8.00\n", "EUR", "! B3 the groups of digits are not of three: 5,20"},
		"two ways to read":               {"up to kg,zone 1\n1,4.50\n2,\"1,250\"\n", "EUR", "? A3"},
		"a hole":                         {"up to kg,zone 1,zone 2\n1,4.50,5.00\n2,,6.00\n3,7.00,8.00\n", "EUR", "! B3 no price stands here"},
		"a step twice":                   {"up to kg,zone 1\n1,4.50\n2,5.00\n2,6.00\n", "EUR", "! A4 this weight stands twice, first in A3"},
		"a step out of order":            {"up to kg,zone 1\n1,4.50\n20,5.00\n3,6.00\n", "EUR", "? A4 this weight is less than the one above"},
		"a zone twice":                   {"up to kg,zone 1,zone 1\n1,4.50,5.00\n2,5.00,6.00\n", "EUR", "! C1 zone 1 stands in two columns"},
		"no unit":                        {"no.,zone 1,zone 2\n1,4.50,5.00\n2,5.00,6.00\n", "EUR", "! A2 the unit of the weights is not said"},
		"a footnote's mark":              {"up to kg,zone 1\n1,4.50\n2,5.00*\n3,6.00\n", "EUR", "? B3 a mark stands beside the price"},
		"another country's money":        {"up to kg,zone 1\n1,4.50\n2,5.00 USD\n3,6.00\n", "USD", ""},
		"two currencies":                 {"up to kg,zone 1\n1,€ 4.50\n2,5.00 NOK\n3,€ 6.00\n", "EUR", "! B3 the amount is in NOK, the file's money is EUR"},
		"nothing to pay":                 {"up to kg,zone 1\n1,4.50\n2,0.00\n3,6.00\n", "EUR", "! B3 nothing would be paid here"},
		"a range with a gap":             {"kg,zone 1\n0-1,4.50\n1-2,5.00\n5-10,6.00\n", "EUR", "? A4 the range begins beyond the end of the one above"},
		"words in a cell of money":       {"up to kg,zone 1,zone 2\n1,4.50,5.00\n2,5.00,ask\n3,6.00,7.00\n", "EUR", "! C3 this is no amount: ask"},
	} {
		if name == "two ways to read" {
			continue
		}
		r := read(t, c.text, c.currency)
		got := strings.Join(told(r), "; ")
		if c.want == "" && got != "" || !strings.Contains(got, c.want) {
			t.Errorf("%s: %q, want %q (%+v)", name, got, c.want, r.Mapping)
		}
	}
	if r := read(t, "up to kg,zone 1,zone 2\n1,4.50,5.00\n2,,6.00\n3,7.00,8.00\n", "EUR", func(m *pricelist.Mapping) { m.Empty = pricelist.NotCarried }); r.Barred() || r.Table().Rows[1].Prices[0] != tariff.NotCarried {
		t.Errorf("an empty cell that is not carried: %v, %v", told(r), r.Table())
	}
}

// A list as the US operator prints it: ounces first, then pounds, the unit said where it changes, zones 1 and 2 in one column,
// footnotes below. Source of the prices: Notice 123 of 2025-10-05, page 15; the layout is invented.
func TestOuncesThenPounds(t *testing.T) {
	r := read(t, "Parcels,,,\n\"Weight, not over\",Zones,,\n,1 & 2,3,4\n4 oz.,$4.50,$4.58,$4.69\n8,$5.00,$5.10,$5.20\n15.999,$6.37,$6.50,$6.60\n1 lb.,$7.10,$7.20,$7.30\n2,$7.80,$8.00,$9.00\n70,$40.00,$41.00,$42.00\nnote: parcels over 70 lb are refused,,,\n", "USD")
	if len(r.Doubts) > 0 {
		t.Errorf("%q (%+v)", told(r), r.Mapping)
	}
	p := r.Table()
	if !slices.Equal(p.Zones, []string{"1", "2", "3", "4"}) || len(p.Rows) != 6 {
		t.Fatalf("%+v, read by %+v", p, r.Mapping)
	}
	for i, want := range []measure.Mass{4 * measure.Ounce, 8 * measure.Ounce, (15_999*measure.Ounce + 500) / 1000, measure.Pound, 2 * measure.Pound, 70 * measure.Pound} {
		if p.Rows[i].Mass != want {
			t.Errorf("step %d is %s, want %s", i, p.Rows[i].Mass, want)
		}
	}
	if got := p.Rows[3].Prices; !slices.Equal(got, []tariff.Cell{710, 710, 720, 730}) {
		t.Errorf("1 lb costs %v", got)
	}
}

// Headings in merged cells, numbers as numbers, a second column with the same steps in another unit.
func TestMergedHeadings(t *testing.T) {
	f := excelize.NewFile()
	for at, v := range map[string]any{
		"A1": "Letters and parcels 2025", "A2": "up to", "C2": "Zone", "A3": "kg", "B3": "lb", "C3": 1, "D3": 2, "E3": "3-5",
		"A4": 0.5, "B4": 1.1, "C4": 4.5, "D4": 5.25, "E4": 6, "A5": 1, "B5": 2.2, "C5": 5, "D5": 6.1, "E5": "—",
	} {
		if err := f.SetCellValue("Sheet1", at, v); err != nil {
			t.Fatal(err)
		}
	}
	for _, m := range [][2]string{{"A1", "E1"}, {"A2", "B2"}, {"C2", "E2"}} {
		if err := f.MergeCell("Sheet1", m[0], m[1]); err != nil {
			t.Fatal(err)
		}
	}
	var b bytes.Buffer
	if err := f.Write(&b); err != nil {
		t.Fatal(err)
	}
	table, err := xlsx.Read("list.xlsx", b.Bytes(), nil)
	if err != nil {
		t.Fatal(err)
	}
	r := pricelist.Read(table.Sheets[0], pricelist.Guess(table, "EUR"))
	p := r.Table()
	if len(r.Doubts) > 0 || !slices.Equal(p.Zones, []string{"1", "2", "3", "4", "5"}) || len(p.Rows) != 2 || p.Rows[0].Mass != 500*measure.Gram {
		t.Fatalf("%q, %+v, read by %+v", told(r), p, r.Mapping)
	}
	if want := []tariff.Cell{500, 610, -1, -1, -1}; !slices.Equal(p.Rows[1].Prices, want) {
		t.Errorf("1 kg costs %v, want %v", p.Rows[1].Prices, want)
	}
}

// A list with a row for each price and several services in it: one of them is read.
func TestOneServiceOfSeveral(t *testing.T) {
	text := "service,price_class,shape,length_max_mm,weight_max_g,price,currency,source\nlettre,counter,flat,600,20,1.16,EUR,guide\nlettre,counter,flat,600,100,2.32,EUR,guide\ncolis,counter,box,1000,250,4.95,EUR,guide\ncolis,counter,box,1000,500,6.70,EUR,guide\n"
	r := read(t, text, "EUR", func(m *pricelist.Mapping) { m.Only = "colis" })
	p := r.Table()
	if len(r.Doubts) > 0 || len(p.Zones) != 0 || len(p.Rows) != 2 || p.Rows[1].Mass != 500*measure.Gram || p.Rows[1].Prices[0] != 670 {
		t.Errorf("%q, %+v, read by %+v", told(r), p, r.Mapping)
	}
	if r := read(t, text, "EUR", func(m *pricelist.Mapping) { m.Which, m.Only = -1, "" }); r.Barred() {
		t.Errorf("four different weights: %q", told(r))
	}
	r = read(t, strings.ReplaceAll(text, "colis,counter,box,1000,500", "colis,counter,box,1000,100"), "EUR", func(m *pricelist.Mapping) { m.Which, m.Only = -1, "" })
	if got := strings.Join(told(r), "; "); got != "! F5 the price of this step and zone stands twice, first in F3" {
		t.Errorf("%q", got)
	}
}

func TestZonesOf(t *testing.T) {
	for text, want := range map[string]string{
		"Zone 3": "3", "1 & 2": "1 2", "Zones 1-3": "1 2 3", "Zone 1 and Zone 2": "1 2", "1,2,9": "1 2 9", "Europe": "Europe", "Zonen 1 bis 3": "1 2 3", "3.0": "3", "": "", "Zone": "", "USA and Canada": "USA Canada", "Zone A/B": "A B",
	} {
		if got := strings.Join(pricelist.ZonesOf(text), " "); got != want {
			t.Errorf("%q: %q, want %q", text, got, want)
		}
	}
}

// Whatever stands in a file, and whatever is said of it, reading ends, and what is not barred is a table that a card may hold.
func FuzzRead(f *testing.F) {
	f.Add("up to kg,zone 1,zone 2\n1,4.50,5.00\n2,5,20\n", 0, 1, 2, 0, ",")
	f.Add("weight,zone,price\n1 lb,1,4\n", 0, 1, 3, 1, ".")
	f.Fuzz(func(t *testing.T, text string, head, first, last, step int, decimal string) {
		table, err := csvfile.Read("list.csv", []byte(text), nil)
		if err != nil {
			return
		}
		for _, layout := range []pricelist.Layout{"", pricelist.Down, pricelist.Across, pricelist.Rows} {
			m := pricelist.Guess(table, "USD")
			if layout != "" {
				m = pricelist.GuessIn(table, 0, layout, head, "USD")
				m.First, m.Last, m.Step, m.Decimal, m.Price, m.Zone = first, last, step, decimal, last, head
			}
			r := pricelist.Read(table.Sheets[0], m)
			if r.Barred() {
				continue
			}
			c := tariff.Card{Services: []tariff.Service{{Prices: r.Table()}}}
			if len(c.Services[0].Prices.Rows) == 0 || len(c.Services[0].Prices.Rows[0].Prices) != max(1, len(r.Zones)) {
				t.Errorf("%+v makes %+v", m, r.Table())
			}
		}
	})
}
