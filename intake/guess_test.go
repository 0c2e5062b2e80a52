package intake

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"solander/fault"
)

// guessed tells the columns of a guess in short.
func guessed(m Mapping) []string {
	var all []string
	for _, s := range m.Sheets {
		line := fmt.Sprintf("%s %d:", s.Sheet, s.Header)
		if s.Skip {
			line = s.Sheet + " skipped"
		}
		for _, c := range s.Columns {
			if c.Field != Unused {
				line += fmt.Sprintf(" %s=%s", Letters(c.Column), c.Field)
			}
		}
		all = append(all, line)
	}
	return all
}

func TestGuesses(t *testing.T) {
	table := tableOf(t, herSheet)
	table.Sheets = append(table.Sheets, sheetOf(t, "Notes", "pay the frame maker\nring the lab"), sheetOf(t, "Old", herSheet))
	table.Sheets[2].Hidden = true
	g := NewGuess(table)
	want := []string{"Sales 2: A=sold_on B=buyer C=title D=size E=grade F=number G=price H=paid I=state J=note", "Notes skipped", "Old skipped"}
	if diff := cmp.Diff(want, guessed(g.Mapping)); diff != "" {
		t.Error(diff)
	}
	if m := g.Mapping; m.Currency != "USD" || m.Decimal != "." || m.Unit != "in" || m.Days != "" {
		t.Errorf("guessed %+v", m)
	}
	if len(g.Fills) != 2 || g.Fills[0].Fill != green || g.Fills[0].Rows != 1 || g.Fills[0].First.Row != 3 || g.Fills[0].Text[1] != "Edda Quill" || g.Fills[0].Means != "" || len(g.Mapping.Fills) != 0 {
		t.Errorf("colours %+v", g.Fills)
	}
	var asks []string
	for _, a := range g.Asks {
		asks = append(asks, a.Part+" "+a.Value)
	}
	if diff := cmp.Diff([]string{"outlet ", "word waits", "word called off", "fill #C6EFCE", "fill #FFC7CE", "no_fill ", "no_word "}, asks); diff != "" {
		t.Error(diff)
	}
	for _, r := range g.Reasons {
		if r.Why == "" || r.Part == "" || r.Sure == "" {
			t.Errorf("no reason: %+v", r)
		}
	}
	w := g.With(mappingOf(2, herColumns))
	if w.Fills[0].Means != Sent || w.Words[0].Means != Waiting || g.Fills[0].Means != "" {
		t.Errorf("with a saved mapping: %+v %+v", w.Fills, w.Words)
	}
}

func TestGuessesByValues(t *testing.T) {
	for text, want := range map[string]string{
		"Nr|Bild|Käufer|Datum|Betrag|Bemerkung\n17/250|Reiher|Edda Quill|13.06.25|1.250,00 €|\n18/250|Reiher|Odo Marsh|04.06.25|80,- €|halb bezahlt":                              "Sales 1: A=number B=title C=buyer D=sold_on E=price F=note",
		"a@example.org|17/250|2025-06-04|$12.50|30x40 cm\nb@example.org|18/250|2025-06-05|$13.50|30x40 cm":                                                                        "Sales 0: A=email B=number C=sold_on D=price E=size",
		"Name|Title|State|Zip|Status\nEdda|Heron|VA|24011|sent\nOdo|Heron|NY|10001|open":                                                                                          "Sales 1: A=buyer B=title C=region D=postcode E=state",
		"Name|Title|State\nEdda|Heron|sent\nOdo|Heron|open":                                                                                                                       "Sales 1: A=buyer B=title C=state",
		"Name|Title|Sent\nEdda|Heron|yes\nOdo|Heron|no":                                                                                                                           "Sales 1: A=buyer B=title C=state",
		"Name|Title|Sent|#\nEdda|Heron|@2025-06-04|=3\nOdo|Heron|@2025-06-05|=4":                                                                                                  "Sales 1: A=buyer B=title C=sent_on D=number",
		"Name|Price|Title|What she thinks of it\nEdda|=10|Heron|a long text that goes on and on about the picture\nOdo|=12|Heron|another long text that goes on and on, and ends": "Sales 1: A=buyer B=price C=title D=note",
		"Order #|Customer name|Street 1|Street 2|Item|Item price|Price with tax|Buyer's note\nA|Edda|Mill|x|Heron|$12.00|$13.00|hello\nB|Odo|Quay|y|Heron|$12.00|$13.00|hello":    "Sales 1: A=ref B=buyer C=line1 D=line2 E=title F=price H=note",
		"just|some|words\nwithout|any|sense": "Sales skipped",
	} {
		if got := guessed(NewGuess(tableOf(t, text)).Mapping); len(got) != 1 || got[0] != want {
			t.Errorf("%.40q: %q, want %q", text, got, want)
		}
	}
}

func TestGuessedHabits(t *testing.T) {
	for text, want := range map[string]string{
		"13.06.25|1.250,00 €|30x40 cm": "dm , cm EUR",
		"6/13/25|$1,250.00|12x18 in":   "md . in USD",
		"04.06.25|80,50|12x18":         "dm ,   asks unit currency",
		"4/6/25|1,250|12x18":           "    asks days decimal unit currency",
		"2025-06-04|=80|A3":            "    asks currency",
		"13/6/25, x|12 GBP|":           "   GBP",
	} {
		g := NewGuess(tableOf(t, "Date|Price|Size|Name|Title|Outlet\n"+text+"|Edda|Heron|Fair"))
		m := g.Mapping
		got := fmt.Sprintf("%s %s %s %s", m.Days, m.Decimal, m.Unit, m.Currency)
		var asks []string
		for _, a := range g.Asks {
			asks = append(asks, a.Part)
		}
		if len(asks) > 0 {
			got += " asks " + strings.Join(asks, " ")
		}
		if got != want {
			t.Errorf("%q: %q, want %q", text, got, want)
		}
	}
}

func TestSavedMappingsAreOffered(t *testing.T) {
	mine, other := mappingOf(2, herColumns), outletMapping()
	other.Name = "corner shop"
	table := tableOf(t, "\n\n"+"New|Who|Date|Picture|Size|Grade|No.|Price|Paid|State|Remarks\nby hand|Edda Quill|@2025-03-04|Heron|12x18|fine|17/250|=120|yes||\n|Odo Marsh|@2025-03-05|Heron|12x18|fine|18/250|=120|yes||")
	table.Sheets[0].Name = "Summer"
	matches := Offer(table, []Mapping{other, mine})
	if len(matches) != 1 || matches[0].Mapping.Name != "her workbook" || !matches[0].Whole || matches[0].Found != 10 || cmp.Diff([]string{"New"}, matches[0].New) != "" {
		t.Fatalf("offered %+v", matches)
	}
	newColumnIsAsked(t, table, matches[0].Mapping)
	poorer := tableOf(t, "Who|Date|Picture|Size|Grade|No.|Price\nEdda Quill|@2025-03-04|Heron|12x18|fine|17/250|=120")
	matches = Offer(poorer, []Mapping{other, mine})
	if len(matches) != 1 || matches[0].Whole || matches[0].Found != 7 || matches[0].Of != 10 || len(matches[0].Mapping.Sheets[0].Columns) != 7 {
		t.Errorf("offered %+v", matches)
	}
	if _, err := Read(Input{Table: poorer, Mapping: mine}); !fault.Is(err, fault.Invalid) || !strings.Contains(err.Error(), "Paid, State, Remarks") {
		t.Errorf("headings that are missing: %v", err)
	}
}

// newColumnIsAsked: a column that the saved reading does not know bars the rows that have a value in it, until it is said what it is.
func newColumnIsAsked(t *testing.T, table Table, m Mapping) {
	t.Helper()
	for id, want := range map[string]struct{ first, second, note string }{
		"":                         {"asked", "ready", ""},
		"column:Summer:new=unused": {"ready", "ready", ""},
		"column:Summer:new=note":   {"ready", "ready", "by hand"},
		"column:*=unused":          {"ready", "ready", ""},
		"column:Summer:new=price":  {"asked", "ready", ""}, // another column is it
		"column:Summer:new=none":   {"asked", "ready", ""},
	} {
		key, value, _ := strings.Cut(id, "=")
		r := read(t, Input{Table: table, Mapping: m, Answers: Answers{key: value}})
		got := []string{string(r.Proposals[0].Status), string(r.Proposals[1].Status), r.Proposals[0].Note}
		if diff := cmp.Diff([]string{want.first, want.second, want.note}, got); diff != "" {
			t.Errorf("%q: %s %v", id, diff, rules(r))
		}
		if want.first == "asked" && (len(r.Questions) != 1 || r.Questions[0].ID != "column:Summer:new" || len(r.Questions[0].Choices) < 30) {
			t.Errorf("%q: questions %+v", id, r.Questions)
		}
	}
}

func TestOtherSheetsAreTold(t *testing.T) {
	table := tableOf(t, herSheet)
	m := mappingOf(2, herColumns)
	m.Sheets[0].Sheet = "Sales"
	table.Sheets = append(table.Sheets, sheetOf(t, "2024", "Date|Who\n@2024-01-02|Edda"))
	r := read(t, Input{Table: table, Mapping: m})
	if len(r.Findings) != 1 || r.Findings[0].Rule != "sheet.unread" || r.Findings[0].Sheet != "2024" {
		t.Errorf("findings %+v", r.Findings)
	}
	m.Sheets[0].Sheet = "Winter"
	if _, err := Read(Input{Table: table, Mapping: m}); !fault.Is(err, fault.Invalid) {
		t.Errorf("a mapping for no sheet: %v", err)
	}
}

func TestMappingsAreReadBack(t *testing.T) {
	m := mappingOf(2, herColumns)
	b, err := m.JSON()
	if err != nil {
		t.Fatal(err)
	}
	got, err := ReadMapping(b)
	if err != nil || cmp.Diff(m, got) != "" {
		t.Errorf("%v %s", err, cmp.Diff(m, got))
	}
}

func TestUnsoundMappings(t *testing.T) {
	good, err := mappingOf(2, herColumns).JSON()
	if err != nil {
		t.Fatal(err)
	}
	for _, tt := range []struct{ from, to, field string }{
		{`"format": "solander-mapping/1"`, `"format": "solander-mapping/2"`, "format"},
		{`"name": "her workbook"`, `"name": ""`, "name"},
		{`"currency": "USD"`, `"currency": "XXZ"`, "currency"},
		{`"country": "US"`, `"country": "UK"`, "country"},
		{`"days": "md"`, `"days": "ymd"`, "days"},
		{`"decimal": "."`, `"decimal": "'"`, "decimal"},
		{`"unit": "in"`, `"unit": "ft"`, "unit"},
		{`"several": "each"`, `"several": "some"`, "several"},
		{`"field": "buyer"`, `"field": "seller"`, "sheets[0].columns[1].field"},
		{`"field": "buyer"`, `"field": "title"`, ""},
		{`"field": "buyer"`, `"field": "size"`, "sheets[0].columns[3].field"},
		{`"column": 1,`, `"column": 0,`, "sheets[0].columns[1].column"},
		{`"column": 1,`, `"column": -1,`, "sheets[0].columns[1].column"},
		{`"header": 2`, `"header": -2`, "sheets[0].header"},
		{`"header": 2`, `"header": 2, "first": 2`, "sheets[0].first"},
		{`"fill": "#C6EFCE"`, `"fill": "green"`, "fills[0].fill"},
		{`"fill": "#C6EFCE"`, `"fill": "#FFC7CE"`, "fills[1].fill"},
		{`"means": "sent"`, `"means": "gone"`, "fills[0].means"},
		{`"text": "posted"`, `"text": " "`, "words[0].text"},
		{`"text": "posted"`, `"text": "WAITS"`, "words[1].text"},
		{`"words"`, `"word"`, "word"},
		{`}`, `} x`, "-"},
	} {
		if !strings.Contains(string(good), tt.from) {
			t.Fatalf("%s is not in the mapping", tt.from)
		}
		_, err := ReadMapping([]byte(strings.Replace(string(good), tt.from, tt.to, 1)))
		if tt.field == "" {
			if err != nil {
				t.Errorf("%s: %v", tt.to, err)
			}
			continue
		}
		if !fault.Is(err, fault.Invalid) || tt.field != "-" && !slices.ContainsFunc(fault.All(err), func(f *fault.Error) bool { return f.Field == tt.field }) {
			t.Errorf("%s: %v, want a fault of %s", tt.to, err, tt.field)
		}
	}
	if _, err := ReadMapping(make([]byte, mostMapping+1)); !fault.Is(err, fault.TooLarge) {
		t.Errorf("too large: %v", err)
	}
}

func FuzzMapping(f *testing.F) {
	files, err := filepath.Glob("../docs/formats/examples/mapping*.json")
	if err != nil || len(files) == 0 {
		f.Fatalf("no example: %v", err)
	}
	for _, name := range files {
		b, err := os.ReadFile(name)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(b)
	}
	f.Add([]byte(`{"format":"solander-mapping/1","name":"x","currency":"USD","sheets":[{"sheet":""}],"fills":[{"fill":"#000000","means":"sent"}]}`))
	f.Fuzz(func(t *testing.T, data []byte) {
		m, err := ReadMapping(data)
		if err != nil {
			if fault.CodeOf(err) == fault.Internal {
				t.Fatal(err)
			}
			return
		}
		b, err := m.JSON()
		if err != nil {
			t.Fatal(err)
		}
		again, err := ReadMapping(b)
		if err != nil || cmp.Diff(m, again) != "" {
			t.Fatalf("%v %s", err, cmp.Diff(m, again))
		}
		table := Table{Sheets: []Sheet{{Name: "s", Rows: []Row{{N: 1, Cells: []Cell{text("a"), text("b")}}, {N: 2, Cells: []Cell{text("1"), text("2/3")}}}}}}
		if r, err := Read(Input{Table: table, Mapping: m}); err == nil {
			if _, err := json.Marshal(r); err != nil {
				t.Fatal(err)
			}
		}
	})
}
