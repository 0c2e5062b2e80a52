package pricelist_test

import (
	"bytes"
	"encoding/csv"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/xuri/excelize/v2"
	"pgregory.net/rapid"

	"solander/intake"
	"solander/intake/csvfile"
	"solander/intake/pricelist"
	"solander/intake/xlsx"
	"solander/measure"
	"solander/money"
	"solander/tariff"
	"solander/tariff/cards"
)

// published is a table of an operator's published list, as its card holds it.
type published struct {
	card, currency string
	tariff.Prices
}

// tables are the bundled cards' tables with more than one step: each is the operator's published list that its card names.
func tables(t testing.TB) []published {
	t.Helper()
	all, err := cards.All()
	if err != nil {
		t.Fatal(err)
	}
	var out []published
	for _, c := range all {
		for _, s := range c.Services {
			if len(s.Prices.Rows) > 1 {
				out = append(out, published{c.ID + " " + s.ID, c.Currency, s.Prices})
			}
		}
	}
	if len(out) < 20 {
		t.Fatalf("%d tables: nothing was tested", len(out))
	}
	return out
}

// arrangement is how a list is written.
type arrangement struct {
	turned, comma, signs, workbook, pairs, titles, notes, rows bool
	unit                                                       string // "heading", "cell", "words", "range"
}

var joined = map[string]string{"and": " & ", "zone": "Zone "}

// written writes a table as an operator might: a grid of texts.
func (a arrangement) written(p published) [][]string {
	unit, per := "lb", int64(measure.Pound)
	switch {
	case p.By == tariff.ByVolume:
		unit, per = "ft3", int64(tariff.CubicFoot)
	case p.currency != "USD":
		unit, per = "g", int64(measure.Gram)
	case slices.ContainsFunc(p.Rows, func(r tariff.Row) bool { return r.Mass%measure.Pound != 0 }):
		unit, per = "oz", int64(measure.Ounce)
	}
	number := func(n int64) string { return shortest(n, per) }
	heads := []string{"Weight not over"}
	if a.unit == "heading" || a.unit == "range" {
		heads[0] = "Weight not over (" + unit + ")"
	}
	zones := p.Zones
	if len(zones) == 0 {
		zones = []string{""}
	}
	columns := [][]int{}
	for i := range zones {
		if a.pairs && i%2 == 1 && same(p, i-1, i) {
			columns[len(columns)-1] = append(columns[len(columns)-1], i)
			continue
		}
		columns = append(columns, []int{i})
	}
	for _, c := range columns {
		head := "Price"
		if len(p.Zones) > 0 {
			var names []string
			for _, i := range c {
				names = append(names, zones[i])
			}
			head = strings.Join(names, joined["and"])
			if len(c) == 1 {
				head = joined["zone"] + head
			}
		}
		heads = append(heads, head)
	}
	out := [][]string{heads}
	before := ""
	for _, r := range p.Rows {
		n := number(max(int64(r.Mass), int64(r.Volume)))
		step := n
		switch a.unit {
		case "cell":
			step = n + " " + unit
		case "words":
			step = "up to " + n + " " + unit
		case "range":
			if before != "" {
				step = before + "-" + n
			}
		}
		before = n
		row := []string{a.decimals(step)}
		for _, c := range columns {
			text := "–"
			if price := r.Prices[c[0]]; price != tariff.NotCarried {
				text = a.decimals(money.Of(int64(price), p.currency).Plain())
				if a.signs {
					text = map[string]string{"USD": "$" + text, "EUR": text + " €", "NOK": "kr " + text}[p.currency]
				}
			}
			row = append(row, text)
		}
		out = append(out, row)
	}
	if a.rows {
		long := [][]string{{"weight_max_" + unit, "zone", "price_" + strings.ToLower(p.currency), "source"}}
		for _, r := range out[1:] {
			for c, zone := range columns {
				for _, i := range zone {
					long = append(long, []string{r[0], zones[i], r[1+c], "page 3"})
				}
			}
		}
		return long
	}
	if a.turned {
		turned := make([][]string, len(out[0]))
		for i := range turned {
			for _, r := range out {
				turned[i] = append(turned[i], r[i])
			}
		}
		out = turned
	}
	if a.titles {
		out = append([][]string{{"Prices of parcels"}, {"valid from 2025-10-05, all prices of one parcel"}, {}}, out...)
	}
	if a.notes {
		out = append(out, []string{}, []string{"1) A parcel of more than 70 pays another price."}, []string{"Prices hold 30 days."})
	}
	return out
}

// shortest is n/per with as many decimals as tell it.
func shortest(n, per int64) string {
	for places := 0; ; places++ {
		s := strconv.FormatFloat(float64(n)/float64(per), 'f', places, 64) // of a test's text only
		if f, _ := strconv.ParseFloat(s, 64); int64(f*float64(per)+0.5) == n {
			return s
		}
	}
}

func (a arrangement) decimals(s string) string {
	if a.comma {
		return strings.ReplaceAll(s, ".", ",")
	}
	return s
}

func same(p published, a, b int) bool {
	return !slices.ContainsFunc(p.Rows, func(r tariff.Row) bool { return r.Prices[a] != r.Prices[b] })
}

// file makes a file of a grid and reads it as any file of hers is read.
func (a arrangement) file(t rapid.TB, grid [][]string) intake.Table {
	if !a.workbook {
		var b bytes.Buffer
		w := csv.NewWriter(&b)
		w.Comma = ','
		if a.comma {
			w.Comma = ';'
		}
		width := 0
		for _, r := range grid {
			width = max(width, len(r))
		}
		for _, r := range grid {
			_ = w.Write(append(slices.Clone(r), make([]string, width-len(r))...))
		}
		w.Flush()
		table, err := csvfile.Read("list.csv", b.Bytes(), nil)
		if err != nil {
			t.Fatal(err)
		}
		return table
	}
	f := excelize.NewFile()
	for i, r := range grid {
		for j, text := range r {
			at, _ := excelize.CoordinatesToCellName(j+1, i+1)
			if n, err := strconv.ParseFloat(text, 64); err == nil && !a.comma {
				_ = f.SetCellFloat("Sheet1", at, n, -1, 64)
				continue
			}
			_ = f.SetCellStr("Sheet1", at, text)
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
	return table
}

func (p published) bare() tariff.Prices {
	out := tariff.Prices{By: p.By, Zones: p.Zones}
	for _, r := range p.Rows {
		out.Rows = append(out.Rows, tariff.Row{Mass: r.Mass, Volume: r.Volume, Prices: r.Prices})
	}
	return out
}

// Sources of the tables: the operators' published lists that the bundled cards name. However such a list is laid out, what is read of
// it without a correction is what its card holds, cell by cell.
func TestPublishedListsInEveryArrangement(t *testing.T) {
	all := tables(t)
	seen := map[string]int{}
	list := func(t *rapid.T) {
		p := rapid.SampledFrom(all).Draw(t, "table")
		yes := func(name string) bool { return rapid.Bool().Draw(t, name) }
		a := arrangement{
			turned: yes("turned"), comma: yes("comma"), signs: yes("signs"), workbook: yes("workbook"), pairs: yes("pairs"), titles: yes("titles"), notes: yes("notes"),
			rows: rapid.IntRange(0, 5).Draw(t, "rows") == 0, unit: rapid.SampledFrom([]string{"heading", "cell", "words", "range"}).Draw(t, "unit"),
		}
		if a.rows = a.rows && len(p.Zones) > 0; a.rows {
			a.turned, a.unit = false, "heading"
		}
		table := a.file(t, a.written(p))
		r := pricelist.Read(table.Sheets[0], pricelist.Guess(table, p.currency))
		for _, d := range r.Doubts {
			if d.Bars {
				t.Fatalf("%s %+v, read by %+v: %s: %s", p.card, a, r.Mapping, r.Grid.Place(d.Row, d.Col), d.What)
			}
		}
		if diff := cmp.Diff(p.bare(), r.Table()); diff != "" {
			t.Fatalf("%s %+v, read by %+v (-list +read):\n%.900s", p.card, a, r.Mapping, diff)
		}
		for name, is := range map[string]bool{"turned": a.turned, "rows": a.rows, "pairs": a.pairs, "workbook": a.workbook} {
			if is {
				seen[name]++
			}
		}
	}
	rapid.Check(t, list)
	kinds := []string{"turned", "rows", "pairs", "workbook"}
	for range 9 { // a run that drew little draws on
		if t.Failed() || !slices.ContainsFunc(kinds, func(name string) bool { return seen[name] == 0 }) {
			break
		}
		rapid.Check(t, list)
	}
	for _, name := range kinds {
		if seen[name] == 0 {
			t.Errorf("no list was %s: nothing was tested", name)
		}
	}
}
