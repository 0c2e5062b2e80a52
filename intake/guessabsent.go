package intake

// bare lists the rows without a colour, where others have one, and the empty states, where others have a word. What they
// mean is asked, never guessed.
func (g *Guess) bare(r meanings, plans []plan) {
	fill, word := &colourRows{}, WordSeen{}
	var emptyAt Place
	for i := range plans {
		p := &plans[i]
		for j := range p.sheet.Rows {
			row := &p.sheet.Rows[j]
			if rule, _ := p.aside(row); rule != "" || row.N < p.first || row.N == p.header {
				continue
			}
			if _, f, _, unknown := r.rowMeaning(p, row); r.unpainted(f, unknown) {
				if fill.seen.Rows == 0 {
					fill.seen.First, fill.seen.Text = Place{Sheet: p.sheet.Name, Row: row.N}, texts(row)
				}
				fill.share(p, row)
			}
			if c, column := p.cell(row, State); column >= 0 && wordKey(c.Text) == "" && !sentHeadings[Fold(p.heading(column))] {
				if word.Rows++; word.Rows == 1 {
					emptyAt = Place{p.sheet.Name, row.N, Letters(column)}
				}
			}
		}
	}
	if len(g.Fills) > 0 && fill.seen.Rows > 0 {
		fill.seen.Hint = fill.hint()
		g.NoFill = &fill.seen
		g.Asks = append(g.Asks, Ask{Part: "no_fill", What: "What do rows without a colour mean?", Choices: meaningChoices(), Example: fill.seen.First})
	}
	if len(g.Words) > 0 && word.Rows > 0 {
		g.NoWord = &word
		g.Asks = append(g.Asks, Ask{Part: "no_word", What: "What does an empty state mean?", Choices: meaningChoices(), Example: emptyAt})
	}
}
