package proposal_test

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"solander/calendar"
	"solander/edition"
	"solander/fault"
	"solander/intake"
	"solander/intake/proposal"
	"solander/internal/intaketest"
	"solander/internal/speedtest"
	"solander/order"
)

func TestHerSheet(t *testing.T) {
	in := intake.Input{Table: intaketest.TableOf(t, intaketest.HerSheet), Mapping: intaketest.MappingOf(2, intaketest.HerColumns), Today: calendar.Date(2025, time.July, 1)}
	r := intaketest.Read(t, in)
	want := []string{
		"ready 2025-03-04 Edda Quill | Heron at dusk, 12x18, fine no 17 120.00 +120.00 sent",
		"ready 2025-03-05 Odo Marsh | Heron at dusk, 12x18, fine no 18 120.00 waiting",
		"ready 2025-06-04 Ysolde Finch | Heron at dusk, 12x18, fine no AP 2 150.00 +150.00 waiting",
		"ready 2025-06-05 Tam Reed | Low tide, 8x10, standard no 3 40.00 | Low tide, 8x10, standard no 4 40.00 +40.00 waiting",
		"ready 2025-06-09 Nell Vane | Low tide, 8x10, standard no 5 40.00 cancelled",
	}
	if diff := cmp.Diff(want, intaketest.Orders(r)); diff != "" {
		t.Error(diff)
	}
	var aside []string
	for _, a := range r.SetAside {
		aside = append(aside, fmt.Sprintf("%d %s", a.Row, a.Rule))
	}
	if diff := cmp.Diff([]string{"5 section", "8 heading", "10 total"}, aside); diff != "" {
		t.Error(diff)
	}
	if len(r.Problems) != 0 || len(r.Questions) != 0 {
		t.Errorf("problems %v, questions %+v", intaketest.Rules(r), r.Questions)
	}
	if e := r.Editions; len(e) != 2 || e[0].Limit != 250 || e[1].Limit != 75 || e[0].Proofs.AP != 2 || e[0].Highest != 18 || e[1].Lines != 3 {
		t.Errorf("editions %+v", e)
	}
	wantCounts := intake.Counts{Rows: 8, Sales: 5, SetAside: 3, Ready: 5, Prints: 6, Buyers: 5, Editions: 2, Works: 2, Outlets: 1, Facts: 3}
	if diff := cmp.Diff(wantCounts, r.Counts); diff != "" {
		t.Error(diff)
	}
	takeFacts(t, in, r)
}

// takeFacts says yes to what a note says.
func takeFacts(t *testing.T, in intake.Input, r intake.Report) {
	t.Helper()
	in.Answers = intake.Answers{}
	for _, f := range r.Proposals[1].Facts {
		in.Answers[f.ID] = intake.Yes
		if len(f.Against) != 0 || f.Taken || in.Table.Sheets[0].Rows[3].Cells[f.Column].Text[f.Start:f.End] != f.Words {
			t.Errorf("fact %+v", f)
		}
	}
	r = intaketest.Read(t, in)
	if got := intaketest.Short(r, r.Proposals[1]); !strings.HasSuffix(got, "120.00 +60.00 owed 60.00 waiting") || r.Counts.Taken != 2 {
		t.Errorf("with the facts taken: %s, counts %+v", got, r.Counts)
	}
	if p := r.Proposals[1].Payments; len(p) != 1 || p[0].Fact != r.Proposals[1].Facts[0].ID {
		t.Errorf("payments %+v", p)
	}
}

func TestProblemsAreTold(t *testing.T) {
	const head = "Date|Who|Picture|Size|Grade|No.|Price|Paid|State|Remarks\n"
	for name, tt := range map[string]struct {
		rows string
		want []string
	}{
		"a number twice":          {"@2025-03-04|A|Heron|12x18|fine|17/250|1|||\n@2025-03-05|B|Heron|12x18|fine|18/250|1|||\n@2025-03-06|C|Heron|12x18|fine|#17|1|||", []string{"number.twice 2F! 4F", "number.twice 4F! 2F"}},
		"called off does not":     {"@2025-03-04|A|Heron|12x18|fine|17/250|1||called off|\n@2025-03-06|C|Heron|12x18|fine|#17|1||waits|", nil},
		"twice in the row":        {"@2025-03-04|A|Heron|12x18|fine|17, 17 of 250|1|||", []string{"number.twice 2F!", "number.twice 2F!"}},
		"beyond the limit":        {"@2025-03-04|A|Heron|12x18|fine|17/250|1|||\n@2025-03-04|B|Heron|12x18|fine|251|1|||", []string{"number.limit 3F!"}},
		"the wrong way round":     {"@2025-03-04|A|Heron|12x18|fine|250/17|1|||", []string{"number.beyond 2F!"}},
		"two limits":              {"@2025-03-04|A|Heron|12x18|fine|17/250|1|||\n@2025-03-04|B|Heron|12x18|fine|18/200|1|||", []string{"edition.limits 3F! 2"}},
		"a number become a day":   {"@2025-03-04|A|Heron|12x18|fine|@2025-03-25|1|||", []string{"number.day 2F!"}},
		"no number at all":        {"@2025-03-04|A|Heron|12x18|fine|later|1|||", []string{"number 2F!"}},
		"no day":                  {"|A|Heron|12x18|fine|17/250|1|||", []string{"day.missing 2A!"}},
		"no such day":             {"31 June 2025|A|Heron|12x18|fine|17/250|1|||", []string{"day 2A!"}},
		"a day to come":           {"@2025-08-04|A|Heron|12x18|fine|17/250|1|||", []string{"day.future 2A!"}},
		"no title":                {"@2025-03-04|A||12x18|fine|17/250|1|||", []string{"title.missing 2C!"}},
		"no buyer":                {"@2025-03-04||Heron|12x18|fine|17/250|1|||", []string{"buyer.missing 2B!"}},
		"no price":                {"@2025-03-04|A|Heron|12x18|fine|17/250||||", []string{"price.missing 2G"}},
		"another money":           {"@2025-03-04|A|Heron|12x18|fine|17/250|12 €|||", []string{"amount.currency 2G!", "price.missing 2G"}},
		"too much paid":           {"@2025-03-04|A|Heron|12x18|fine|17/250|10|12||", []string{"paid.more 2H!"}},
		"a word":                  {"@2025-03-04|A|Heron|12x18|fine|17/250|1||mounted|", []string{"state.unknown 2I!"}},
		"colour and word":         {"[green]@2025-03-04|A|Heron|12x18|fine|17/250|1||waits|", []string{"state.two 2I!"}},
		"a contradiction":         {"@2025-03-04|A|Heron|12x18|fine|17/250|100|||paid in full, owes 60", []string{"note.contradiction 2J"}},
		"the note against it":     {"@2025-03-04|A|Heron|12x18|fine|17/250|100|||the 8x10", []string{"note.row 2J"}},
		"the sum against it":      {"@2025-03-04|A|Heron|12x18|fine|17/250|100|||half paid, 80 still due", []string{"note.contradiction 2J"}},
		"no limit":                {"@2025-03-04|A|Heron|12x18|fine|17|1|||", []string{"edition.limit 2!"}},
		"a size without sense":    {"@2025-03-04|A|Heron|big|fine|17/250|1|||", []string{"size 2D!"}},
		"the same row again":      {"@2025-03-04|A|Heron|12x18|fine||1|||\n@2025-03-04|B|Heron|12x18|fine||1|||\n@2025-03-04|A|Heron|12x18|fine||1|||", []string{"row.twice 4 2"}},
		"a broken cell is no day": {"x|A|Heron|12x18|fine|17/250|1|||", []string{"day 2A!"}},
	} {
		r := intaketest.Read(t, intake.Input{Table: intaketest.TableOf(t, head+tt.rows), Mapping: intaketest.MappingOf(1, intaketest.HerColumns), Today: calendar.Date(2025, time.July, 1)})
		if diff := cmp.Diff(tt.want, intaketest.Rules(r)); diff != "" {
			t.Errorf("%s: %s", name, diff)
		}
		for _, p := range r.Problems {
			if p.What == "" || p.Mend == "" || p.Bars && r.Counts.Asked == 0 {
				t.Errorf("%s: %+v bars nothing or says nothing", name, p)
			}
		}
	}
}

func TestQuestions(t *testing.T) {
	m := intaketest.MappingOf(1, intaketest.HerColumns)
	m.Days, m.Decimal, m.Unit, m.Fills, m.Outlet = "", "", "", nil, ""
	table := intaketest.TableOf(t, "Date|Who|Picture|Size|Grade|No.|Price|Paid|State|Remarks\n[green]4/6/2025|A|Heron|12x18|fine|17|1,250|||\n5 June|B|Heron|12x18|fine|18|=90||mounted|\n7/6/2025||Heron|12x18|fine|19|=90|||")
	in := intake.Input{Table: table, Mapping: m, Today: calendar.Date(2025, time.July, 20)}
	r := intaketest.Read(t, in)
	ids := func(r intake.Report) (all []string) {
		for _, q := range r.Questions {
			if q.Answer == "" {
				all = append(all, fmt.Sprintf("%s %d", q.ID, q.Rows))
			}
		}
		slices.Sort(all)
		return all
	}
	want := []string{"days 2", "decimal 1", "fill:#C6EFCE 1", "limit:Heron, 12x18, fine 3", "nobuyer 1", "nofill 1", "outlet 3", "unit 3", "word:mounted 1"}
	if diff := cmp.Diff(want, ids(r)); diff != "" {
		t.Error(diff)
	}
	if r.Counts.Ready != 0 || r.Counts.Asked != 3 || r.Counts.Questions != len(want) {
		t.Errorf("counts %+v", r.Counts)
	}
	in.Answers = intake.Answers{"days": "dm", "decimal": ",", "fill:#C6EFCE": "sent", "limit:Heron, 12x18, fine": "100", "nobuyer": "Fair guest", "nofill": "nothing", "noword": "nothing", "outlet": "Fair", "unit": "cm", "word:mounted": "waiting"}
	r = intaketest.Read(t, in)
	if diff := cmp.Diff([]string{"year:Sales:2025 1"}, ids(r)); diff != "" {
		t.Error(diff)
	}
	in.Answers["decimal"] = "."
	in.Answers["year:Sales:2025"] = intake.Yes
	r = intaketest.Read(t, in)
	wantOrders := []string{
		"ready 2025-06-04 A | Heron, 12x18, fine no 17 1250.00 +1250.00 sent",
		"ready 2025-06-05 B | Heron, 12x18, fine no 18 90.00 waiting",
		"ready 2025-06-07 Fair guest | Heron, 12x18, fine no 19 90.00 nothing",
	}
	if diff := cmp.Diff(wantOrders, intaketest.Orders(r)); diff != "" || r.Counts.Questions != 0 {
		t.Error(diff, intaketest.Rules(r), ids(r))
	}
	in.Answers["year:Sales:2025"] = intake.No
	if r = intaketest.Read(t, in); !slices.Contains(intaketest.Rules(r), "day.year 3A!") {
		t.Errorf("problems %v", intaketest.Rules(r))
	}
	in.Answers["days"] = "md?"
	if _, err := proposal.Read(in); !fault.Is(err, fault.Invalid) {
		t.Errorf("an answer that is none: %v", err)
	}
}

func TestPriceOfSeveralPrints(t *testing.T) {
	m := intaketest.MappingOf(1, intaketest.HerColumns)
	in := intake.Input{Table: intaketest.TableOf(t, "Date|Who|Picture|Size|Grade|No.|Price|Paid|State|Remarks\n@2025-03-04|A|Heron|12x18|fine|17, 18 of 250|240|||\n@2025-03-04|B|Heron|12x18|fine|19|120|||"), Mapping: m}
	for several, want := range map[string]string{
		"each": "ready 2025-03-04 A | Heron, 12x18, fine no 17 240.00 | Heron, 12x18, fine no 18 240.00 nothing",
		"all":  "ready 2025-03-04 A | Heron, 12x18, fine no 17 120.00 | Heron, 12x18, fine no 18 120.00 nothing",
		"":     "asked 2025-03-04 A | Heron, 12x18, fine no 17 | Heron, 12x18, fine no 18 nothing",
	} {
		in.Mapping.Several = ""
		in.Answers = intake.Answers{"several": several}
		r := intaketest.Read(t, in)
		if got := intaketest.Orders(r); got[0] != want || !strings.HasPrefix(got[1], "ready") {
			t.Errorf("%q: %v %v", several, got, intaketest.Rules(r))
		}
	}
}

func TestTotalProvesThePrice(t *testing.T) {
	m := intaketest.MappingOf(1, "Date=sold_on, Who=buyer, Picture=title, Qty=quantity, Price=price, Postage=postage, Total=total")
	m.Several = ""
	r := intaketest.Read(t, intake.Input{Table: intaketest.TableOf(t, "Date|Who|Picture|Qty|Price|Postage|Total\n@2025-03-04|A|Heron|2|40|5|85\n@2025-03-04|B|Heron|2|80|5|85\n@2025-03-04|C|Heron|2|80|5|90"), Mapping: m})
	want := []string{
		"ready 2025-03-04 A | Heron 40.00 | Heron 40.00 nothing", "ready 2025-03-04 B | Heron 40.00 | Heron 40.00 nothing", "asked 2025-03-04 C | Heron | Heron nothing",
	}
	if diff := cmp.Diff(want, intaketest.Orders(r)); diff != "" || cmp.Diff([]string{"price.several 4E!"}, intaketest.Rules(r)) != "" {
		t.Error(diff, intaketest.Rules(r))
	}
}

func TestSentColumn(t *testing.T) {
	for field, want := range map[string][]string{
		"state":   {"sent ", "sent 2025-04-14", "waiting ", "nothing ", "sent 2025-04-15", "sent "},
		"sent_on": {"sent ", "sent 2025-04-14", "nothing ", "nothing ", "sent 2025-04-15", "sent "},
	} {
		r := intaketest.Read(t, intake.Input{
			Table:   intaketest.TableOf(t, "Date|Who|Picture|Sent\n@2025-04-10|A|Heron|x\n@2025-04-10|B|Heron|4/14/25\n@2025-04-10|C|Heron|no\n@2025-04-10|D|Heron|\n@2025-04-10|E|Heron|@2025-04-15\n@2025-04-10|F|Heron|✓"),
			Mapping: intaketest.MappingOf(1, "Date=sold_on, Who=buyer, Picture=title, Sent="+field),
		})
		var got []string
		for _, p := range r.Proposals {
			got = append(got, fmt.Sprintf("%s %s", p.State, p.SentOn))
		}
		if diff := cmp.Diff(want, got); diff != "" || cmp.Diff([]string{"price.missing 2"}, intaketest.Rules(r)) != "" {
			t.Errorf("%s: %s %v", field, diff, intaketest.Rules(r))
		}
	}
}

func TestMergedCellsJoinRows(t *testing.T) {
	r := intaketest.Read(t, intake.Input{
		Table:   intaketest.TableOf(t, "Date|Who|Picture|Size|Grade|No.|Price|Paid|State|Remarks\n@2025-03-04|A|Heron|12x18|fine|17/250|100|150||half paid\n@2025-03-04|^|Heron|12x18|fine|18/250|100|^||^\n@2025-03-04|B|Heron|12x18|fine|19/250|100|||"),
		Mapping: intaketest.MappingOf(1, intaketest.HerColumns),
	})
	want := []string{
		"ready 2025-03-04 A | Heron, 12x18, fine no 17 100.00 | Heron, 12x18, fine no 18 100.00 +150.00 nothing",
		"ready 2025-03-04 B | Heron, 12x18, fine no 19 100.00 nothing",
	}
	if diff := cmp.Diff(want, intaketest.Orders(r)); diff != "" || len(r.Proposals[0].Facts) != 1 || len(r.Proposals[0].Rows) != 2 {
		t.Error(diff, intaketest.Rules(r), r.Proposals[0].Facts)
	}
}

const outletRows = `
Order|Date|Name|Email|Address|Item|Qty|Total|Shipping|Fee|Sent|Tracking
A-1|2025-06-04|Edda Quill|edda@example.org|Edda Quill¶4 Mill Lane¶Roanoke, VA 24011|Heron at dusk (8x10) fine - open|2|$90.00|10.00|4.50|2025-06-05|
A-2|2025-06-05|E. Quill|EDDA@example.org|4 Mill Lane, Roanoke, VA 24011, USA|Low tide|1|45.00|5.00|-$2.25||
A-2|2025-06-05|E. Quill|EDDA@example.org||Heron at dusk, 8x10, fine|1|40.00||||
`

func TestOutletFile(t *testing.T) {
	r := intaketest.Read(t, intake.Input{Table: intaketest.TableOf(t, outletRows), Mapping: intaketest.OutletMapping()})
	want := []string{
		"ready 2025-06-04 Edda Quill | Heron at dusk, 8x10, fine 40.00 | Heron at dusk, 8x10, fine 40.00 +90.00 sent",
		"ready 2025-06-05 Edda Quill | Low tide 40.00 | Heron at dusk, 8x10, fine 40.00 nothing",
	}
	if diff := cmp.Diff(want, intaketest.Orders(r)); diff != "" {
		t.Error(diff, intaketest.Rules(r))
	}
	address := order.Address{Name: "Edda Quill", Line1: "4 Mill Lane", City: "Roanoke", Region: "VA", Postcode: "24011", Country: "US"}
	for _, p := range r.Proposals {
		if diff := cmp.Diff(address, p.ShipTo); diff != "" && p.Ref == "A-1" {
			t.Error(diff)
		}
	}
	if f := r.Proposals[0].Fee; f == nil || f.Minor != 450 || r.Proposals[0].Postage.Minor != 1000 {
		t.Errorf("fee %v, postage %v", f, r.Proposals[0].Postage)
	}
	if f := r.Proposals[1].Fee; f == nil || f.Minor != 225 {
		t.Errorf("fee %v", f)
	}
	if len(r.Buyers) != 1 || r.Counts.Prints != 4 {
		t.Errorf("buyers %+v, counts %+v", r.Buyers, r.Counts)
	}
}

// book remembers what reports made, as studio would.
type book struct {
	intake.NoBook
	rows, refs, sales map[string]string
	editions          []edition.Edition
	buyers            []order.Buyer
	outlets           []order.Outlet
	holders           map[string]string
}

func (b *book) Outlet(name string) (order.Outlet, bool) {
	for _, o := range b.outlets {
		if intake.Fold(o.Name) == intake.Fold(name) {
			return o, true
		}
	}
	return order.Outlet{}, false
}

func (b *book) Buyers(name, email string) (all []order.Buyer) {
	for _, k := range b.buyers {
		if email != "" && strings.EqualFold(k.Email, email) || email == "" && intake.Fold(k.Name) == intake.Fold(name) {
			all = append(all, k)
		}
	}
	return all
}

func (b *book) Editions(title string) (all []edition.Edition) {
	for _, e := range b.editions {
		if intake.Fold(e.Title) == intake.Fold(title) {
			all = append(all, e)
		}
	}
	return all
}

func (b *book) ByRow(hash string) (string, bool) { m, ok := b.rows[hash]; return m, ok }

func (b *book) ByRef(outlet int64, ref string) (string, bool) {
	m, ok := b.refs[fmt.Sprint(outlet, ref)]
	return m, ok
}

func (b *book) Sale(buyer, edition int64, n edition.Number, day calendar.Day) (string, bool) {
	m, ok := b.sales[fmt.Sprint(buyer, edition, n, day)]
	return m, ok
}

func (b *book) Places(int64) []order.Address { return nil }

func (b *book) ToldApart(int64, int64) bool { return false }

func (b *book) Holder(edition int64, n edition.Number) (string, bool) {
	m, ok := b.holders[fmt.Sprint(edition, n)]
	return m, ok
}

// take makes all that a report proposes.
func take(r intake.Report) *book {
	b := &book{rows: map[string]string{}, refs: map[string]string{}, sales: map[string]string{}, holders: map[string]string{}}
	for i, e := range r.Editions {
		b.editions = append(b.editions, edition.Edition{ID: int64(i + 1), Work: 1, Title: e.Title, Width: e.Width, Height: e.Height, Grade: e.Grade, Paper: e.Paper, Limit: e.Limit, Proofs: e.Proofs})
	}
	for i, u := range r.Buyers {
		u.Buyer.ID = int64(i + 1)
		b.buyers = append(b.buyers, u.Buyer)
	}
	for i, o := range r.Outlets {
		b.outlets = append(b.outlets, order.Outlet{ID: int64(i + 1), Name: o.Name})
	}
	for i, p := range r.Proposals {
		mark := fmt.Sprintf("S-%d", i+1)
		for _, o := range p.Rows {
			b.rows[o.Hash] = mark
		}
		b.refs[fmt.Sprint(int64(p.Outlet+1), p.Ref)] = mark
		for _, l := range p.Lines {
			b.sales[fmt.Sprint(int64(p.Buyer+1), int64(l.Edition+1), l.Number, p.Placed)] = mark
			if !l.Number.IsZero() && p.State != intake.Cancelled {
				b.holders[fmt.Sprint(int64(l.Edition+1), l.Number)] = mark
			}
		}
	}
	return b
}

func TestTheSameFileAgainProposesNothingNew(t *testing.T) {
	for _, in := range []intake.Input{{Table: intaketest.TableOf(t, intaketest.HerSheet), Mapping: intaketest.MappingOf(2, intaketest.HerColumns)}, {Table: intaketest.TableOf(t, outletRows), Mapping: intaketest.OutletMapping()}} {
		first := intaketest.Read(t, in)
		b := take(first)
		for name, forget := range map[string]func(){
			"by rows":       func() {},
			"by references": func() { b.rows = map[string]string{} },
			"by sales":      func() { b.rows, b.refs = map[string]string{}, map[string]string{} },
		} {
			forget()
			in.Book = b
			again := intaketest.Read(t, in)
			if c := again.Counts; c.Known != len(first.Proposals) || c.Ready+c.Asked+c.Buyers+c.Editions+c.Works+c.Outlets+c.Prints != 0 {
				t.Errorf("%s: counts %+v, orders %v", name, c, intaketest.Orders(again))
			}
			for _, p := range again.Proposals {
				if p.Mark == "" || p.Why == "" {
					t.Errorf("%s: known as %q because %q", name, p.Mark, p.Why)
				}
			}
		}
	}
}

func TestHeldNumbers(t *testing.T) {
	in := intake.Input{Table: intaketest.TableOf(t, intaketest.HerSheet), Mapping: intaketest.MappingOf(2, intaketest.HerColumns)}
	b := take(intaketest.Read(t, in))
	in.Book = b
	in.Table = intaketest.TableOf(t, strings.ReplaceAll(intaketest.HerSheet, "Edda Quill", "Somebody else"))
	r := intaketest.Read(t, in)
	if diff := cmp.Diff([]string{"number.held 3F!"}, intaketest.Rules(r)); diff != "" || r.Counts.Known != 4 || r.Counts.Asked != 1 {
		t.Error(diff, r.Counts)
	}
}

func TestHiddenRowsAreTold(t *testing.T) {
	table := intaketest.TableOf(t, intaketest.HerSheet)
	table.Sheets[0].Rows[2].Hidden = true
	r := intaketest.Read(t, intake.Input{Table: table, Mapping: intaketest.MappingOf(2, intaketest.HerColumns)})
	if len(r.Findings) != 1 || r.Findings[0].Rule != "rows.hidden" || r.Findings[0].Count != 1 || r.Counts.Sales != 5 {
		t.Errorf("findings %+v, counts %+v", r.Findings, r.Counts)
	}
}

// What grows with the square of the rows would take minutes here.
func TestManyRowsOfOneKind(t *testing.T) {
	if testing.Short() {
		t.Skip("long: make test runs it")
	}
	const rows = 5_000
	for name, row := range map[string]string{
		"one number":         "@2025-03-04|A|Heron|12x18|fine|17/250|1|||",
		"no year":            "4 March|A|Heron|12x18|fine||1|||",
		"editions unlimited": "@2025-03-04|A|Heron %d|12x18|fine|17|1|||",
		"sizes of one title": "@2025-03-04|A|Heron|%dx18|fine|17|1|||",
		"one order":          "@2025-03-04|A|Heron|12x18|fine||1||mounted|owes 60, paid in full",
	} {
		table := intaketest.TableOf(t, "Date|Who|Picture|Size|Grade|No.|Price|Paid|State|Remarks\n"+row)
		model := table.Sheets[0].Rows[1]
		for i := range rows {
			r := intake.Row{N: i + 3, Cells: slices.Clone(model.Cells)}
			for j := range r.Cells {
				if strings.Contains(r.Cells[j].Text, "%d") {
					r.Cells[j].Text = fmt.Sprintf(r.Cells[j].Text, i%2000+1)
				}
			}
			table.Sheets[0].Rows = append(table.Sheets[0].Rows, r)
		}
		start := speedtest.Processor(t)
		r := intaketest.Read(t, intake.Input{Table: table, Mapping: intaketest.MappingOf(1, intaketest.HerColumns)})
		if took := speedtest.Processor(t) - start; took > 30*time.Second || r.Counts.Sales != rows+1 {
			t.Errorf("%s: %d sales took %v", name, r.Counts.Sales, took)
		} else {
			t.Logf("%s: %v", name, took)
		}
	}
}

func TestReportsAreTheSameEachTime(t *testing.T) {
	in := intake.Input{Table: intaketest.TableOf(t, intaketest.HerSheet+outletRows), Mapping: intaketest.MappingOf(2, intaketest.HerColumns)}
	var last []byte
	for range 5 {
		r := intaketest.Read(t, in)
		if !slices.IsSortedFunc(r.Problems, func(a, b intake.Problem) int { return a.Row - b.Row }) {
			t.Error("the problems are not in the order of the file")
		}
		b, err := json.Marshal(r)
		if err != nil {
			t.Fatal(err)
		}
		if last != nil && string(b) != string(last) {
			t.Fatal("two trials differ")
		}
		last = b
	}
}
