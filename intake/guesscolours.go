package intake

import (
	"cmp"
	"fmt"
	"slices"

	"solander/fault"
)

// words lists the words of the columns of states, with the meanings that are usual.
func (g *Guess) words(plans []plan) {
	count, text := map[string]int{}, map[string]string{}
	var first []string
	at := map[string]Place{}
	for i := range plans {
		p := &plans[i]
		for j := range p.sheet.Rows {
			r := &p.sheet.Rows[j]
			c, column := p.cell(r, State)
			w := wordKey(c.Text)
			if w == "" || r.N < p.first || c.Merged {
				continue
			}
			if rule, _ := p.aside(r); rule != "" {
				continue
			}
			if sentHeadings[Fold(p.heading(column))] && (yesWords[w] || noWords[w] || anyDay(c.Text) || c.Kind == Date) {
				continue // they say themselves whether it was sent
			}
			if count[w]++; count[w] == 1 {
				first = append(first, w)
				text[w], at[w] = clean(c.Text), Place{p.sheet.Name, r.N, Letters(column)}
			}
		}
	}
	slices.SortStableFunc(first, func(a, b string) int { return cmp.Compare(count[b], count[a]) })
	for _, w := range first[:min(len(first), mostMapWords)] {
		means := stateWords[w]
		g.Words = append(g.Words, WordSeen{Text: text[w], Rows: count[w], Means: means})
		if means == "" {
			g.Asks = append(g.Asks, Ask{Part: "word", Value: text[w], What: "What does " + fault.Clip(text[w]) + " mean?", Choices: meaningChoices(), Example: at[w]})
			continue
		}
		if len(w) > mostHeading {
			continue
		}
		g.Mapping.Words = append(g.Mapping.Words, WordMap{text[w], means})
		g.Reasons = append(g.Reasons, Reason{Sheet: at[w].Sheet, Column: -1, Part: "word", Value: string(means), Why: fmt.Sprintf("the word %q usually says so", fault.Clip(text[w])), Sure: Likely})
	}
}

// colourRows is what rows of one colour share.
type colourRows struct {
	seen                  FillSeen
	tracked, sent, inWord int
	word                  string
}

// colours lists the colours of the rows of sales. What they mean is asked, never guessed.
func (g *Guess) colours(r meanings, plans []plan) {
	all := map[Fill]*colourRows{}
	var order []Fill
	at := func(f Fill, p *plan, row *Row) *colourRows {
		if all[f] == nil {
			all[f] = &colourRows{seen: FillSeen{Fill: f, First: Place{Sheet: p.sheet.Name, Row: row.N}, Text: texts(row)}}
			order = append(order, f)
		}
		return all[f]
	}
	for i := range plans {
		p := &plans[i]
		for j := range p.sheet.Rows {
			row := &p.sheet.Rows[j]
			if rule, _ := p.aside(row); rule != "" || row.N < p.first || row.N == p.header {
				continue
			}
			_, _, _, whole := r.rowMeaning(p, row)
			if whole == 0 && white(row) {
				whole = RGB(255, 255, 255)
			}
			if whole != 0 {
				at(whole, p, row).share(p, row)
			}
			for _, c := range row.Cells {
				if !c.blank() && !c.Fill.Plain() && c.Fill != whole {
					at(c.Fill, p, row).seen.Cells++
				}
			}
		}
	}
	if len(order) == 1 && order[0].Plain() {
		return // a sheet that is white throughout has no colours
	}
	slices.SortStableFunc(order, func(a, b Fill) int { return cmp.Compare(all[b].seen.Rows, all[a].seen.Rows) })
	for _, f := range order[:min(len(order), mostMapWords)] {
		c := all[f]
		c.seen.Hint = c.hint()
		g.Fills = append(g.Fills, c.seen)
		if f.Plain() {
			continue // without a meaning of its own it is no colour
		}
		g.Asks = append(g.Asks, Ask{Part: "fill", Value: f.String(), What: fmt.Sprintf("What do rows in %s (%s) mean?", f.Word(), f), Choices: meaningChoices(), Example: c.seen.First})
	}
}

// white reports a row that is painted white, with no other colour.
func white(row *Row) bool {
	filled, painted := 0, 0
	for _, c := range row.Cells {
		if c.blank() || c.Merged {
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

func (c *colourRows) share(p *plan, row *Row) {
	c.seen.Rows++
	tracking, _ := p.cell(row, Tracking)
	c.tracked += One(!tracking.blank())
	sent, _ := p.cell(row, SentOn)
	c.sent += One(!sent.blank())
	word, _ := p.cell(row, State)
	if w := clean(word.Text); w != "" && (c.word == "" || wordKey(w) == wordKey(c.word)) {
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
