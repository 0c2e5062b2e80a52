package guess

import (
	"cmp"
	"fmt"
	"slices"

	"solander/fault"
	"solander/intake"
	"solander/intake/cell"
	"solander/intake/grid"
)

// words lists the words of the columns of states, with the meanings that are usual.
func (g *Guess) words(plans []grid.Grid) {
	count, text := map[string]int{}, map[string]string{}
	var first []string
	at := map[string]intake.Place{}
	for i := range plans {
		p := &plans[i]
		for j := range p.Sheet.Rows {
			r := &p.Sheet.Rows[j]
			c, column := p.Cell(r, intake.State)
			w := intake.WordKey(c.Text)
			if w == "" || r.N < p.First || c.Merged {
				continue
			}
			if rule, _ := p.Aside(r); rule != "" {
				continue
			}
			if SentHeadings[intake.Fold(p.Heading(column))] && (cell.YesWords[w] || cell.NoWords[w] || anyDay(c.Text) || c.Kind == intake.Date) {
				continue // they say themselves whether it was sent
			}
			if count[w]++; count[w] == 1 {
				first = append(first, w)
				text[w], at[w] = intake.Clean(c.Text), intake.Place{Sheet: p.Sheet.Name, Row: r.N, Column: intake.Letters(column)}
			}
		}
	}
	slices.SortStableFunc(first, func(a, b string) int { return cmp.Compare(count[b], count[a]) })
	for _, w := range first[:min(len(first), intake.MostMapWords)] {
		means := stateWords[w]
		g.Words = append(g.Words, WordSeen{Text: text[w], Rows: count[w], Means: means})
		if means == "" {
			g.Asks = append(g.Asks, Ask{Part: "word", Value: text[w], What: "What does “" + fault.Clip(text[w]) + "” mean?", Choices: intake.MeaningChoices(), Example: at[w]})
			continue
		}
		if len(w) > intake.MostHeading {
			continue
		}
		g.Mapping.Words = append(g.Mapping.Words, intake.WordMap{Text: text[w], Means: means})
		g.Reasons = append(g.Reasons, Reason{Sheet: at[w].Sheet, Column: -1, Part: "word", Value: string(means), Why: fmt.Sprintf("the word %q usually says so", fault.Clip(text[w])), Sure: intake.Likely})
	}
}

// colourRows is what rows of one colour share.
type colourRows struct {
	seen                  FillSeen
	tracked, sent, inWord int
	word                  string
}

// colours lists the colours of the rows of sales. What they mean is asked, never guessed.
func (g *Guess) colours(r grid.Meanings, plans []grid.Grid) {
	all := map[intake.Fill]*colourRows{}
	var order []intake.Fill
	at := func(f intake.Fill, p *grid.Grid, row *intake.Row) *colourRows {
		if all[f] == nil {
			all[f] = &colourRows{seen: FillSeen{Fill: f, First: intake.Place{Sheet: p.Sheet.Name, Row: row.N}, Text: intake.Texts(row)}}
			order = append(order, f)
		}
		return all[f]
	}
	for i := range plans {
		p := &plans[i]
		for j := range p.Sheet.Rows {
			row := &p.Sheet.Rows[j]
			if rule, _ := p.Aside(row); rule != "" || row.N < p.First || row.N == p.Header {
				continue
			}
			_, _, _, whole := r.RowMeaning(p, row)
			if whole == 0 && white(row) {
				whole = intake.RGB(255, 255, 255)
			}
			if whole != 0 {
				at(whole, p, row).share(p, row)
			}
			for _, c := range row.Cells {
				if !c.Blank() && !c.Fill.Plain() && c.Fill != whole {
					at(c.Fill, p, row).seen.Cells++
				}
			}
		}
	}
	if len(order) == 1 && order[0].Plain() {
		return // a sheet that is white throughout has no colours
	}
	slices.SortStableFunc(order, func(a, b intake.Fill) int { return cmp.Compare(all[b].seen.Rows, all[a].seen.Rows) })
	for _, f := range order[:min(len(order), intake.MostMapWords)] {
		c := all[f]
		c.seen.Hint = c.hint()
		g.Fills = append(g.Fills, c.seen)
		if f.Plain() {
			continue // without a meaning of its own it is no colour
		}
		g.Asks = append(g.Asks, Ask{Part: "fill", Value: f.String(), What: fmt.Sprintf("What do rows in %s (%s) mean?", f.Word(), f), Choices: intake.MeaningChoices(), Example: c.seen.First})
	}
}

// white reports a row that is painted white, with no other colour.
func white(row *intake.Row) bool {
	filled, painted := 0, 0
	for _, c := range row.Cells {
		if c.Blank() || c.Merged {
			continue
		}
		filled++
		switch {
		case !c.Fill.Plain():
			return false
		case c.Fill != 0:
			painted++
		}
	}
	return painted*2 > filled
}

func (c *colourRows) share(p *grid.Grid, row *intake.Row) {
	c.seen.Rows++
	tracking, _ := p.Cell(row, intake.Tracking)
	c.tracked += intake.One(!tracking.Blank())
	sent, _ := p.Cell(row, intake.SentOn)
	c.sent += intake.One(!sent.Blank())
	word, _ := p.Cell(row, intake.State)
	if w := intake.Clean(word.Text); w != "" && (c.word == "" || intake.WordKey(w) == intake.WordKey(c.word)) {
		c.word = w
		c.inWord++
	}
}

// hint tells what at least nine of ten rows of the colour share.
func (c *colourRows) hint() string {
	n := c.seen.Rows
	switch {
	case n == 0:
		return "only cells, no whole rows"
	case c.inWord*10 >= n*9:
		return fmt.Sprintf("%d of %d rows say %s", c.inWord, n, fault.Clip(c.word))
	case c.tracked*10 >= n*9:
		return fmt.Sprintf("%d of %d rows have a tracking number", c.tracked, n)
	case c.sent*10 >= n*9:
		return fmt.Sprintf("%d of %d rows have a day on which they were sent", c.sent, n)
	}
	return ""
}
