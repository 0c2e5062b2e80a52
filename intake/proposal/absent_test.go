package proposal_test

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"solander/intake"
	"solander/intake/guess"
	"solander/internal/intaketest"
)

const bareHead = "Date|Who|Picture|Size|Grade|No.|Price|State\n"

const bareColumns = "Date=sold_on, Who=buyer, Picture=title, Size=size, Grade=grade, No.=number, Price=price, State=state"

// Each row of her sheet says by its colour, by its word, or by having none, how the sale stands.
func TestWhatHavingNoColourAndNoWordMeans(t *testing.T) {
	rows := strings.Join([]string{
		"[green]@2025-03-04|A|Heron|12x18|fine|1/250|=120|",
		"@2025-03-05|B|Heron|12x18|fine|2/250|=120|",
		"@2025-03-06|C|Heron|12x18|fine|3/250|=120|posted",
		"@2025-03-07|D|Heron|12x18|fine|4/250|=120|waits",
	}, "\n")
	paid, sent, waiting := " +120.00 paid", " +120.00 sent", " waiting"
	for name, tt := range map[string]struct {
		change func(*intake.Mapping)
		said   intake.Answers
		want   [4]string // of each row; "?" = it is asked
		asked  string    // the id of the question
	}{
		"not said: asked":            {func(*intake.Mapping) {}, nil, [4]string{sent, "?", sent, waiting}, "nofill"},
		"answered":                   {func(*intake.Mapping) {}, intake.Answers{"nofill": "paid"}, [4]string{sent, paid, sent, waiting + " by colour paid"}, ""},
		"no colour = paid":           {func(m *intake.Mapping) { m.NoFill = intake.PaidFull }, nil, [4]string{sent, paid, sent, waiting}, ""},
		"no colour = no sale":        {func(m *intake.Mapping) { m.NoFill = intake.Ignore }, nil, [4]string{sent, "", sent, waiting}, ""},
		"no colour means nothing":    {func(m *intake.Mapping) { m.NoFill = intake.Nothing }, nil, [4]string{sent, "?", sent, waiting}, "noword"},
		"both mean nothing":          {func(m *intake.Mapping) { m.NoFill, m.NoWord = intake.Nothing, intake.Nothing }, nil, [4]string{sent, " nothing", sent, waiting}, ""},
		"empty = paid":               {func(m *intake.Mapping) { m.NoWord = intake.PaidFull }, nil, [4]string{sent, paid, sent, waiting}, ""},
		"empty = waits, none = paid": {func(m *intake.Mapping) { m.NoFill, m.NoWord = intake.PaidFull, intake.Waiting }, nil, [4]string{sent, paid, sent, waiting}, ""},
		"they disagree":              {func(m *intake.Mapping) { m.NoFill, m.NoWord = intake.PaidFull, intake.Sent }, nil, [4]string{sent, "?", sent, waiting}, ""},
	} {
		m := intaketest.MappingOf(1, bareColumns)
		tt.change(&m)
		r := intaketest.Read(t, intake.Input{Table: intaketest.TableOf(t, bareHead+rows), Mapping: m, Answers: tt.said})
		got := map[string]string{}
		for _, p := range r.Proposals {
			who := r.Buyers[p.Buyer].Buyer.Name
			got[who] = "?"
			if p.Status == intake.Ready {
				_, got[who], _ = strings.Cut(intaketest.Short(r, p), "120.00")
			}
		}
		for i, who := range []string{"A", "B", "C", "D"} {
			if want := strings.TrimSuffix(tt.want[i], " by colour paid"); got[who] != want {
				t.Errorf("%s: row of %s is %q, want %q; %v", name, who, got[who], want, intaketest.Rules(r))
			}
		}
		var ids []string
		for _, q := range r.Questions {
			if q.Answer == "" {
				ids = append(ids, q.ID)
			}
		}
		if got := strings.Join(ids, " "); got != tt.asked {
			t.Errorf("%s: asks %q, want %q", name, got, tt.asked)
		}
	}
}

// A file in which no colour and no word says anything asks nothing of the kind; one whose colours still wait for their meaning
// does not take its rows without a colour for unpaid ones meanwhile.
func TestHavingNoColourIsAskedOnlyBesideColours(t *testing.T) {
	row := "@2025-03-05|B|Heron|12x18|fine|2/250|=120|"
	for name, tt := range map[string]struct {
		rows  string
		cells intake.Fill // of one cell of the second row
		want  []string
	}{
		"no colours at all":             {row, 0, nil},
		"one cell of a colour":          {row, intake.RGB(255, 255, 0), nil},
		"a colour that is not said yet": {"[green]@2025-03-04|A|Heron|12x18|fine|1/250|=120|\n" + row, 0, []string{"colour.none 3!", "colour.unknown 2!"}},
		"a word that is not said yet":   {"@2025-03-04|A|Heron|12x18|fine|1/250|=120|perhaps\n" + row, 0, []string{"state.none 3H!", "state.unknown 2H!"}},
	} {
		m := intaketest.MappingOf(1, bareColumns)
		m.Fills = nil
		table := intaketest.TableOf(t, bareHead+tt.rows)
		table.Sheets[0].Rows[1].Cells[1].Fill = max(table.Sheets[0].Rows[1].Cells[1].Fill, tt.cells)
		r := intaketest.Read(t, intake.Input{Table: table, Mapping: m})
		if diff := cmp.Diff(tt.want, intaketest.Rules(r)); diff != "" {
			t.Errorf("%s: %s", name, diff)
		}
	}
}

// White is no colour until the mapping says what it means.
func TestWhiteCanHaveAMeaning(t *testing.T) {
	table := intaketest.TableOf(t, bareHead+"[green]@2025-03-04|A|Heron|12x18|fine|1/250|=120|\n@2025-03-05|B|Heron|12x18|fine|2/250|=120|")
	white := intake.RGB(255, 255, 255)
	for i := range table.Sheets[0].Rows[2].Cells {
		table.Sheets[0].Rows[2].Cells[i].Fill = white
	}
	g := guess.New(table)
	if len(g.Fills) != 2 || g.Fills[1].Fill != white || g.NoFill == nil || g.NoFill.Rows != 1 {
		t.Errorf("the guess saw %+v and %+v", g.Fills, g.NoFill)
	}
	m := intaketest.MappingOf(1, bareColumns)
	r := intaketest.Read(t, intake.Input{Table: table, Mapping: m})
	if diff := cmp.Diff([]string{"colour.none 3!"}, intaketest.Rules(r)); diff != "" {
		t.Error(diff)
	}
	m.Fills = append(m.Fills, intake.FillMap{Fill: white, Means: intake.PaidFull})
	r = intaketest.Read(t, intake.Input{Table: table, Mapping: m})
	if got := intaketest.Orders(r)[1]; !strings.HasSuffix(got, "+120.00 paid") || !strings.HasPrefix(got, "ready") {
		t.Errorf("%s; %v", got, intaketest.Rules(r))
	}
}

// Under a heading that says it is about sending, an empty cell has always meant that it was not sent: it is no question.
func TestAnEmptyCellUnderSentIsNoQuestion(t *testing.T) {
	m := intaketest.MappingOf(1, strings.Replace(bareColumns, "State=", "Sent=", 1))
	r := intaketest.Read(t, intake.Input{Table: intaketest.TableOf(t, strings.Replace(bareHead, "State", "Sent", 1)+"@2025-03-04|A|Heron|12x18|fine|1/250|=120|yes\n@2025-03-05|B|Heron|12x18|fine|2/250|=120|"), Mapping: m})
	if len(intaketest.Rules(r)) > 0 || r.Counts.Ready != 2 {
		t.Errorf("%v %v", intaketest.Orders(r), intaketest.Rules(r))
	}
}
