package proposal_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"solander/edition"
	"solander/intake"
	"solander/internal/intaketest"
)

// named tells the prints of each row in short, or the problem that bars it.
func named(r intake.Report) []string {
	var all []string
	for _, p := range r.Proposals {
		var parts []string
		for _, l := range p.Lines {
			s := "?"
			if l.Edition >= 0 {
				e := r.Editions[l.Edition]
				s = e.Words()
				if e.Limit > 0 {
					s += fmt.Sprintf(" of %d", e.Limit)
				}
			}
			if !l.Number.IsZero() {
				s += " no " + l.Number.String()
			}
			parts = append(parts, s)
		}
		line := strings.Join(parts, " + ")
		for _, at := range p.Problems {
			if pr := r.Problems[at]; pr.Bars {
				line += " !" + pr.Rule
			}
		}
		all = append(all, line)
	}
	return all
}

const printHead = "Date|Who|Picture|Size|Grade|Paper|No.|Qty|Price\n"

func printsMapping() intake.Mapping {
	return intaketest.MappingOf(1, "Date=sold_on, Who=buyer, Picture=title, Size=size, Grade=grade, Paper=paper, No.=number, Qty=quantity, Price=price")
}

// printRows makes rows of title|size|grade|paper|number|quantity.
func printRows(rows ...string) string {
	var b strings.Builder
	b.WriteString(printHead)
	for i, row := range rows {
		for strings.Count(row, "|") < 5 {
			row += "|"
		}
		fmt.Fprintf(&b, "@2025-03-%02d|Buyer %d|%s|40\n", i%28+1, i, row)
	}
	return b.String()
}

// What such cells mean to a practitioner is common practice, no source.
func TestSeveralPrintsInOneCell(t *testing.T) {
	for name, tt := range map[string]struct {
		rows []string
		want []string
	}{
		"numbers behind the title":          {[]string{"Heron 4/60, 5/60"}, []string{"Heron of 60 no 4 + Heron of 60 no 5"}},
		"without a space":                   {[]string{"Heron 4/60,5/60"}, []string{"Heron of 60 no 4 + Heron of 60 no 5"}},
		"two prints, one with a size":       {[]string{"Heron 3/60 + Low tide 30x40cm 7/90"}, []string{"Heron of 60 no 3 + Low tide, 30x40cm of 90 no 7"}},
		"by a line end":                     {[]string{"Heron 3/60¶Low tide 7/90"}, []string{"Heron of 60 no 3 + Low tide of 90 no 7"}},
		"by a semicolon":                    {[]string{"Heron 3/60; Low tide 7/90"}, []string{"Heron of 60 no 3 + Low tide of 90 no 7"}},
		"by an ampersand":                   {[]string{"Heron 3/60 & Low tide 7/90"}, []string{"Heron of 60 no 3 + Low tide of 90 no 7"}},
		"a range":                           {[]string{"Heron 4-6/60"}, []string{"Heron of 60 no 4 + Heron of 60 no 5 + Heron of 60 no 6"}},
		"twice":                             {[]string{"2x Heron"}, []string{"Heron + Heron"}},
		"twice behind":                      {[]string{"Heron x2"}, []string{"Heron + Heron"}},
		"two counts":                        {[]string{"2x Heron, 1x Low tide"}, []string{"Heron + Heron + Low tide"}},
		"a count and a size":                {[]string{"2 x 30x40 cm Heron"}, []string{"Heron, 30x40 cm + Heron, 30x40 cm"}},
		"a proof beside a number":           {[]string{"Heron 4/60, AP 2"}, []string{"Heron of 60 no 4 + Heron of 60 no AP 2"}},
		"a size":                            {[]string{"Heron 12x16"}, []string{"Heron, 12x16"}},
		"a size and a paper":                {[]string{"Heron 30x40 cm cotton rag"}, []string{"Heron, 30x40 cm, cotton rag"}},
		"a standard sheet":                  {[]string{"Heron A3"}, []string{"Heron, A3"}},
		"size, grade and number":            {[]string{"Heron 12x16 fine grade 4/60"}, []string{"Heron, 12x16, fine of 60 no 4"}},
		"in brackets":                       {[]string{"Heron at dusk (12 x 16 in), 4/60"}, []string{"Heron at dusk, 12 x 16 in of 60 no 4"}},
		"in the column of numbers":          {[]string{"||||Heron 4/60, 5/60"}, []string{"Heron of 60 no 4 + Heron of 60 no 5"}},
		"two in the column of numbers":      {[]string{"||||Heron 4/60; Low tide 7/90"}, []string{"Heron of 60 no 4 + Low tide of 90 no 7"}},
		"both columns name them":            {[]string{"Heron + Low tide||||Heron 4/60; Low tide 7/90"}, []string{"Heron of 60 no 4 + Low tide of 90 no 7"}},
		"numbers of two limits":             {[]string{"Heron + Low tide||||4/60, 7/90"}, []string{"Heron of 60 no 4 + Low tide of 90 no 7"}},
		"two sizes of one":                  {[]string{"Heron|12x16, 8x10|||4/60, 7/90"}, []string{"Heron, 12x16 of 60 no 4 + Heron, 8x10 of 90 no 7"}},
		"two grades of one":                 {[]string{"Heron||fine + standard||4/60, 7/90"}, []string{"Heron, fine of 60 no 4 + Heron, standard of 90 no 7"}},
		"a proof in the column of numbers":  {[]string{"Heron||||17/250, AP 2"}, []string{"Heron of 250 no 17 + Heron of 250 no AP 2"}},
		"nobody knows":                      {[]string{"Heron and Low tide"}, []string{"? !prints.which"}},
		"a comma, and nobody knows":         {[]string{"Heron, Low tide"}, []string{"? !prints.which"}},
		"all known from other rows":         {[]string{"Heron and Low tide", "Heron", "Low tide"}, []string{"Heron + Low tide", "Heron", "Low tide"}},
		"commas known from other rows":      {[]string{"Heron, Low tide", "Heron 3/60", "Low tide"}, []string{"Heron of 60 + Low tide", "Heron of 60 no 3", "Low tide"}},
		"the same whole again":              {[]string{"Salt and Smoke 3/60", "Salt and Smoke 4/60"}, []string{"Salt and Smoke of 60 no 3", "Salt and Smoke of 60 no 4"}},
		"whole, and its parts":              {[]string{"Salt and Smoke", "Salt and Smoke", "Salt", "Smoke"}, []string{"? !prints.which", "? !prints.which", "Salt", "Smoke"}},
		"one print that runs on":            {[]string{"Ash, in winter||||4/60"}, []string{"Ash, in winter of 60 no 4"}},
		"one number for two":                {[]string{"Heron and Low tide||||4/60", "Heron", "Low tide"}, []string{"? !prints.which", "Heron", "Low tide"}},
		"other numbers than the title":      {[]string{"Heron 4/60||||5/60"}, []string{"? !prints.share"}},
		"the same numbers as the title":     {[]string{"Heron 4/60||||4"}, []string{"Heron of 60 no 4"}},
		"another size than the title":       {[]string{"Heron 12x16|8x10"}, []string{"? !prints.share"}},
		"the same size as the title":        {[]string{"Heron 12x16|12 x 16 in"}, []string{"Heron, 12 x 16 in"}},
		"too few counts":                    {[]string{"Heron 3/60 + Low tide 7/90|||||3"}, []string{"Heron of 60 no 3 + Low tide of 90 no 7 !quantity.numbers"}},
		"a name with a number":              {[]string{"Study no. 5"}, []string{"? !prints.which"}},
		"a name with a number and a number": {[]string{"Study no. 5||||4/60"}, []string{"Study no. 5 of 60 no 4"}},
		"a slip or a title":                 {[]string{"Heron 250/17"}, []string{"? !prints.which"}},
		"a year is no number":               {[]string{"Winter 2024/25"}, []string{"? !prints.which"}},
		"a bare number before one":          {[]string{"Heron 4, 5/60"}, []string{"? !prints.which"}},
		"words of a paper in a title":       {[]string{"Girl with rice paper"}, []string{"? !prints.which"}},
		"a paper, its title known":          {[]string{"Heron cotton rag", "Heron"}, []string{"Heron, cotton rag", "Heron, cotton rag"}},
		"a grade, its title known":          {[]string{"Heron fine", "Heron|||| 4/60"}, []string{"Heron, fine", "Heron of 60 no 4"}},
		"at the museum":                     {[]string{"At the museum"}, []string{"At the museum"}},
		"framed":                            {[]string{"Heron 12x16, framed"}, []string{"? !prints.which"}},
		"a full stop at the end":            {[]string{"Heron 4/60."}, []string{"Heron of 60 no 4"}},
		"open":                              {[]string{"Heron 12x16, open edition"}, []string{"Heron, 12x16"}},
		"nothing but a number":              {[]string{"4/60"}, []string{"? no 4 !title.missing"}},
	} {
		r := intaketest.Read(t, intake.Input{Table: intaketest.TableOf(t, printRows(tt.rows...)), Mapping: printsMapping()})
		got := named(r)
		for i := range got {
			got[i] = strings.ReplaceAll(got[i], "", "")
			got[i] = strings.ReplaceAll(got[i], " !edition.limit", "")
		}
		if diff := cmp.Diff(tt.want, got); diff != "" {
			t.Errorf("%s: %s\n%v", name, diff, intaketest.Rules(r))
		}
		for _, e := range r.Editions {
			for _, row := range tt.rows {
				if cell, _, _ := strings.Cut(row, "|"); strings.ContainsAny(cell, "/+;&") && e.Title == cell {
					t.Errorf("%s: an edition is named after the whole cell: %q", name, e.Title)
				}
			}
		}
	}
}

func TestKnownWorksDecide(t *testing.T) {
	b := &book{editions: []edition.Edition{{ID: 1, Work: 1, Title: "Salt and Smoke", Limit: 60}, {ID: 2, Work: 2, Title: "Heron", Limit: 60}, {ID: 3, Work: 3, Title: "Low tide", Limit: 90}, {ID: 4, Work: 4, Title: "Winter 24/7", Limit: 5}}}
	r := intaketest.Read(t, intake.Input{Table: intaketest.TableOf(t, printRows("Salt and Smoke 4/60", "Heron & Low tide", "Heron, Salt and Smoke", "Winter 24/7", "Heron #5", "Salt, Smoke")), Mapping: printsMapping(), Book: b})
	want := []string{
		"Salt and Smoke, 0 × 0 mm of 60 no 4", "Heron, 0 × 0 mm of 60 + Low tide, 0 × 0 mm of 90", "Heron, 0 × 0 mm of 60 + Salt and Smoke, 0 × 0 mm of 60",
		"Winter 24/7, 0 × 0 mm of 5", "Heron, 0 × 0 mm of 60 no 5", "? !prints.which",
	}
	got := named(r)
	for i := range got {
		got[i] = strings.ReplaceAll(got[i], "0 × 0 in", "0 × 0 mm")
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
}
