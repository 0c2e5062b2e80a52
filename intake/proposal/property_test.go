package proposal_test

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"solander/calendar"
	"solander/edition"
	"solander/intake"
	"solander/intake/guess"
	"solander/intake/proposal"
	"solander/internal/intaketest"
	"solander/measure"
)

// wholeColumns are the columns into which a proposal is written.
var wholeColumns = []intake.Field{intake.Ref, intake.SoldOn, intake.Buyer, intake.Email, intake.Line1, intake.City, intake.Region, intake.Postcode, intake.Country, intake.Title, intake.Size, intake.Grade, intake.Limit, intake.Numbers, intake.Price, intake.Postage, intake.Paid, intake.SentOn, intake.State, intake.Tracking, intake.Note}

// drawSales draws invented sales as rows of wholeColumns.
func drawSales(t *rapid.T) [][]string {
	var rows [][]string
	next := map[string]int{}
	for i := range rapid.IntRange(1, 12).Draw(t, "rows") {
		title := rapid.SampledFrom([]string{"Heron at dusk", "Low tide", "Ash, in winter"}).Draw(t, "title")
		size := rapid.SampledFrom([]string{"12 × 18 in", "8 × 10 in", "300 × 400 mm"}).Draw(t, "size")
		grade := rapid.SampledFrom([]string{"fine", "standard"}).Draw(t, "grade")
		next[title+size+grade]++
		price := rapid.IntRange(1, 99_999).Draw(t, "price")
		day := calendar.Date(2024, time.January, 1).Add(rapid.IntRange(0, 500).Draw(t, "day"))
		state := rapid.SampledFrom([]string{"waits", "posted", "called off"}).Draw(t, "state")
		sent := ""
		if state == "posted" {
			sent = day.Add(3).String()
		}
		n := rapid.IntRange(1, 8).Draw(t, "buyer")
		rows = append(rows, []string{
			fmt.Sprintf("R-%d", i), day.String(), fmt.Sprintf("Edda Quill %d", n), fmt.Sprintf("edda%d@example.org", n), "4 Mill Lane", "Roanoke", "VA", "24011", "US",
			title, size, grade, "250", strconv.Itoa(next[title+size+grade]), cents(price), cents(500), cents(rapid.IntRange(0, price).Draw(t, "paid")), sent, state, "", "met at the fair",
		})
	}
	return rows
}

func cents(n int) string { return fmt.Sprintf("%d.%02d", n/100, n%100) }

// tableOfColumns writes rows under the names of their fields, in the order of columns.
func tableOfColumns(rows [][]string, columns []int, blank func(row int) bool) intake.Table {
	s := intake.Sheet{Name: "Sales"}
	var head intake.Row
	for _, c := range columns {
		head.Cells = append(head.Cells, intaketest.Text(wholeColumns[c].Long()))
	}
	head.N = 1
	s.Rows = append(s.Rows, head)
	n := 1
	for i, values := range rows {
		for n++; blank(i + n*100); n++ {
			if n%2 == 0 {
				s.Rows = append(s.Rows, intake.Row{N: n, Cells: []intake.Cell{{}, {Kind: intake.Words, Text: " "}}})
			}
		}
		row := intake.Row{N: n}
		for _, c := range columns {
			cell := intake.Cell{}
			if values[c] != "" {
				cell = intaketest.Text(values[c])
			}
			row.Cells = append(row.Cells, cell)
		}
		s.Rows = append(s.Rows, row)
	}
	return intake.Table{Name: "drawn", Sheets: []intake.Sheet{s}}
}

func wholeMapping() intake.Mapping {
	var columns []string
	for _, f := range wholeColumns {
		columns = append(columns, f.Long()+"="+string(f))
	}
	return intaketest.MappingOf(1, strings.ReplaceAll(strings.Join(columns, ", "), "’", "'"))
}

func never(int) bool { return false }

func inOrder() []int {
	var all []int
	for i := range wholeColumns {
		all = append(all, i)
	}
	return all
}

// written writes proposals as rows again, from nothing but the report.
func written(r intake.Report) [][]string {
	var rows [][]string
	for _, p := range r.Proposals {
		b, l := r.Buyers[p.Buyer].Buyer, p.Lines[0]
		e := r.Editions[l.Edition]
		paid := "0"
		if len(p.Payments) > 0 {
			paid = p.Payments[0].Amount.Plain()
		}
		state := map[intake.Meaning]string{intake.Waiting: "waits", intake.Sent: "posted", intake.Cancelled: "called off"}[p.State]
		size := edition.Edition{Width: e.Width, Height: e.Height}.Size(measure.SystemOf(e.Width, e.Height))
		a := p.ShipTo
		rows = append(rows, []string{
			p.Ref, p.Placed.String(), b.Name, b.Email, a.Line1, a.City, a.Region, a.Postcode, a.Country, e.Title, size, e.Grade, strconv.Itoa(e.Limit), l.Number.String(),
			l.Price.Plain(), p.Postage.Plain(), paid, p.SentOn.String(), state, p.Tracking, p.Note,
		})
	}
	return rows
}

func TestWrittenProposalsAreReadBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rows := drawSales(t)
		table := tableOfColumns(rows, inOrder(), never)
		r, err := proposal.Read(intake.Input{Table: table, Mapping: wholeMapping()})
		if err != nil {
			t.Fatal(err)
		}
		if r.Counts.Ready != len(rows) || len(r.Problems) != 0 {
			t.Fatalf("counts %+v, problems %+v", r.Counts, r.Problems)
		}
		for i, p := range r.Proposals {
			if got := [3]string{p.Ref, p.Lines[0].Number.String(), p.Lines[0].Price.Plain()}; got != [3]string{rows[i][0], rows[i][13], rows[i][14]} || !slices.Equal(p.Rows[0].Cells, rows[i]) {
				t.Fatalf("row %d is %v, want %v", i, got, rows[i])
			}
		}
		again, err := proposal.Read(intake.Input{Table: tableOfColumns(written(r), inOrder(), never), Mapping: wholeMapping()})
		if err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(intaketest.Orders(r), intaketest.Orders(again)); diff != "" {
			t.Fatal(diff)
		}
		if diff := cmp.Diff(written(r), written(again)); diff != "" {
			t.Fatal(diff)
		}
	})
}

func TestOrderOfColumnsAndBlankRowsDoNotMatter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rows := drawSales(t)
		plain, err := proposal.Read(intake.Input{Table: tableOfColumns(rows, inOrder(), never), Mapping: wholeMapping()})
		if err != nil {
			t.Fatal(err)
		}
		columns := rapid.Permutation(inOrder()).Draw(t, "columns")
		gaps := rapid.SliceOfN(rapid.Bool(), 7, 7).Draw(t, "gaps")
		gaps[6] = false
		other, err := proposal.Read(intake.Input{Table: tableOfColumns(rows, columns, func(n int) bool { return gaps[n/100%7] }), Mapping: wholeMapping()})
		if err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(intaketest.Orders(plain), intaketest.Orders(other)); diff != "" {
			t.Fatal(diff)
		}
		for i := range plain.Proposals {
			if plain.Proposals[i].ID != other.Proposals[i].ID {
				t.Fatalf("row %d is not known again", i)
			}
		}
		if plain.Counts != other.Counts {
			t.Fatalf("counts %+v and %+v", plain.Counts, other.Counts)
		}
	})
}

// The guess finds every column by the name of its field.
func TestNamesOfFieldsAreGuessed(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rows := drawSales(t)
		columns := rapid.Permutation(inOrder()).Draw(t, "columns")
		g := guess.New(tableOfColumns(rows, columns, never))
		for _, c := range g.Mapping.Sheets[0].Columns {
			want := wholeColumns[columns[c.Column]]
			if c.Field != want {
				t.Fatalf("column %s is guessed to be %q, want %q", c.Heading, c.Field, want)
			}
		}
	})
}

func FuzzRead(f *testing.F) {
	f.Add("Date|Who|Picture|No.|Price|Remarks", "4/6/25|Edda|Heron, 12x18|17/250|1,250|half paid, 80 still due")
	f.Add("#|Title|State|Total|Paid", "AP II|Low tide|sent|=80|yes")
	f.Add("Name|Address|Item", "A|4 Mill Lane, Roanoke, VA 24011|Heron (8x10) #17")
	f.Fuzz(func(t *testing.T, head, row string) {
		s := intake.Sheet{Name: "s"}
		for i, line := range []string{head, row, row, head} {
			r := intake.Row{N: i + 1}
			for _, c := range strings.Split(line, "|") {
				if number, ok := strings.CutPrefix(c, "="); ok && strings.Trim(number, "0123456789") == "" && number != "" && len(number) < 15 {
					r.Cells = append(r.Cells, intake.Cell{Kind: intake.Number, Number: number, Text: number})
					continue
				}
				r.Cells = append(r.Cells, intake.Cell{Kind: intake.Words, Text: c})
			}
			s.Rows = append(s.Rows, r)
		}
		table := intake.Table{Sheets: []intake.Sheet{s}}
		m := guess.New(table).Mapping
		m.Name, m.Currency = "guess", "USD"
		in := intake.Input{Table: table, Mapping: m}
		r, err := proposal.Read(in)
		if err != nil {
			return
		}
		in.Answers = intake.Answers{}
		for _, p := range r.Proposals {
			for _, fact := range p.Facts {
				in.Answers[fact.ID] = intake.Yes
			}
		}
		again, err := proposal.Read(in)
		if err != nil || len(again.Proposals) != len(r.Proposals) {
			t.Fatalf("with the facts taken: %v", err)
		}
		if c := r.Counts; c.Rows != c.Sales+c.SetAside || c.Ready+c.Asked+c.Known != len(r.Proposals) {
			t.Fatalf("counts %+v", c)
		}
	})
}
