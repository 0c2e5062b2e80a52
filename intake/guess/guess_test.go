package guess_test

import (
	"encoding/json"
	"fmt"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"solander/fault"
	"solander/intake"
	"solander/intake/guess"
	"solander/intake/proposal"
	"solander/internal/intaketest"
)

func TestGuesses(t *testing.T) {
	table := intaketest.TableOf(t, intaketest.HerSheet)
	table.Sheets = append(table.Sheets, intaketest.SheetOf(t, "Notes", "pay the frame maker\nring the lab"), intaketest.SheetOf(t, "Old", intaketest.HerSheet))
	table.Sheets[2].Hidden = true
	g := guess.New(table)
	want := []string{"Sales 2: A=sold_on B=buyer C=title D=size E=grade F=number G=price H=paid I=state J=note", "Notes skipped", "Old skipped"}
	if diff := cmp.Diff(want, intaketest.Guessed(g.Mapping)); diff != "" {
		t.Error(diff)
	}
	if m := g.Mapping; m.Currency != "USD" || m.Decimal != "." || m.Unit != "in" || m.Days != "" {
		t.Errorf("guessed %+v", m)
	}
	if len(g.Fills) != 2 || g.Fills[0].Fill != intaketest.Green || g.Fills[0].Rows != 1 || g.Fills[0].First.Row != 3 || g.Fills[0].Text[1] != "Edda Quill" || g.Fills[0].Means != "" || len(g.Mapping.Fills) != 0 {
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
	w := g.With(intaketest.MappingOf(2, intaketest.HerColumns))
	if w.Fills[0].Means != intake.Sent || w.Words[0].Means != intake.Waiting || g.Fills[0].Means != "" {
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
		if got := intaketest.Guessed(guess.New(intaketest.TableOf(t, text)).Mapping); len(got) != 1 || got[0] != want {
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
		g := guess.New(intaketest.TableOf(t, "Date|Price|Size|Name|Title|Outlet\n"+text+"|Edda|Heron|Fair"))
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
	mine, other := intaketest.MappingOf(2, intaketest.HerColumns), intaketest.OutletMapping()
	other.Name = "corner shop"
	table := intaketest.TableOf(t, "\n\n"+"New|Who|Date|Picture|Size|Grade|No.|Price|Paid|State|Remarks\nby hand|Edda Quill|@2025-03-04|Heron|12x18|fine|17/250|=120|yes||\n|Odo Marsh|@2025-03-05|Heron|12x18|fine|18/250|=120|yes||")
	table.Sheets[0].Name = "Summer"
	matches := guess.Offer(table, []intake.Mapping{other, mine})
	if len(matches) != 1 || matches[0].Mapping.Name != "her workbook" || !matches[0].Whole || matches[0].Found != 10 || cmp.Diff([]string{"New"}, matches[0].New) != "" {
		t.Fatalf("offered %+v", matches)
	}
	newColumnIsAsked(t, table, matches[0].Mapping)
	poorer := intaketest.TableOf(t, "Who|Date|Picture|Size|Grade|No.|Price\nEdda Quill|@2025-03-04|Heron|12x18|fine|17/250|=120")
	matches = guess.Offer(poorer, []intake.Mapping{other, mine})
	if len(matches) != 1 || matches[0].Whole || matches[0].Found != 7 || matches[0].Of != 10 || len(matches[0].Mapping.Sheets[0].Columns) != 7 {
		t.Errorf("offered %+v", matches)
	}
	if _, err := proposal.Read(intake.Input{Table: poorer, Mapping: mine}); !fault.Is(err, fault.Invalid) || !strings.Contains(err.Error(), "Paid, State, Remarks") {
		t.Errorf("headings that are missing: %v", err)
	}
}

// newColumnIsAsked: a column that the saved reading does not know bars the rows that have a value in it, until it is said what it is.
func newColumnIsAsked(t *testing.T, table intake.Table, m intake.Mapping) {
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
		r := intaketest.Read(t, intake.Input{Table: table, Mapping: m, Answers: intake.Answers{key: value}})
		got := []string{string(r.Proposals[0].Status), string(r.Proposals[1].Status), r.Proposals[0].Note}
		if diff := cmp.Diff([]string{want.first, want.second, want.note}, got); diff != "" {
			t.Errorf("%q: %s %v", id, diff, intaketest.Rules(r))
		}
		if want.first == "asked" && (len(r.Questions) != 1 || r.Questions[0].ID != "column:Summer:new" || len(r.Questions[0].Choices) < 30) {
			t.Errorf("%q: questions %+v", id, r.Questions)
		}
	}
}

func TestOtherSheetsAreTold(t *testing.T) {
	table := intaketest.TableOf(t, intaketest.HerSheet)
	m := intaketest.MappingOf(2, intaketest.HerColumns)
	m.Sheets[0].Sheet = "Sales"
	table.Sheets = append(table.Sheets, intaketest.SheetOf(t, "2024", "Date|Who\n@2024-01-02|Edda"))
	r := intaketest.Read(t, intake.Input{Table: table, Mapping: m})
	if len(r.Findings) != 1 || r.Findings[0].Rule != "sheet.unread" || r.Findings[0].Sheet != "2024" {
		t.Errorf("findings %+v", r.Findings)
	}
	m.Sheets[0].Sheet = "Winter"
	if _, err := proposal.Read(intake.Input{Table: table, Mapping: m}); !fault.Is(err, fault.Invalid) {
		t.Errorf("a mapping for no sheet: %v", err)
	}
}

func TestHeadingsOfTheLabAreNoSale(t *testing.T) {
	for text, want := range map[string]string{
		"Name|Title|Ordered from lab|Price\nEdda|Heron|2025-06-04|12\nOdo|Heron|2025-06-05|12":                     "Sales 1: A=buyer B=title D=price",
		"Name|Title|Lab|Date|Sent to lab\nEdda|Heron|2025-06-04|2025-06-01|2025-06-02":                             "Sales 1: A=buyer B=title D=sold_on",
		"Name|Title|Date|Printer sent|Sent\nEdda|Heron|2025-06-01|2025-06-04|2025-06-09":                           "Sales 1: A=buyer B=title C=sold_on E=sent_on",
		"Käufer|Titel|Datum|Druckerei bestellt\nEdda|Heron|2025-06-01|2025-06-04\nOdo|Heron|2025-06-01|2025-06-04": "Sales 1: A=buyer B=title C=sold_on",
	} {
		if got := intaketest.Guessed(guess.New(intaketest.TableOf(t, text)).Mapping); len(got) != 1 || got[0] != want {
			t.Errorf("%q: %q, want %q", text, got, want)
		}
	}
}

// A mapping that is sound by itself reads any table, or says why not.
func FuzzMappingOfATable(f *testing.F) {
	f.Add([]byte(`{"format":"solander-mapping/1","name":"x","currency":"USD","sheets":[{"sheet":""}],"fills":[{"fill":"#000000","means":"sent"}]}`))
	f.Fuzz(func(t *testing.T, data []byte) {
		m, err := intake.ReadMapping(data)
		if err != nil {
			return
		}
		table := intake.Table{Sheets: []intake.Sheet{{Name: "s", Rows: []intake.Row{{N: 1, Cells: []intake.Cell{intaketest.Text("a"), intaketest.Text("b")}}, {N: 2, Cells: []intake.Cell{intaketest.Text("1"), intaketest.Text("2/3")}}}}}}
		if r, err := proposal.Read(intake.Input{Table: table, Mapping: m}); err == nil {
			if _, err := json.Marshal(r); err != nil {
				t.Fatal(err)
			}
		}
	})
}
