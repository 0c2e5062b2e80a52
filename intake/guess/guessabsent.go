package guess

import (
	"solander/intake"
	"solander/intake/grid"
)

// bare lists the rows without a colour, where others have one, and the empty states, where others have a word. What they
// mean is asked, never guessed.
func (g *Guess) bare(r grid.Meanings, plans []grid.Grid) {
	fill, word := &colourRows{}, WordSeen{}
	var emptyAt intake.Place
	for i := range plans {
		p := &plans[i]
		for j := range p.Sheet.Rows {
			row := &p.Sheet.Rows[j]
			if rule, _ := p.Aside(row); rule != "" || row.N < p.First || row.N == p.Header {
				continue
			}
			if _, f, _, unknown := r.RowMeaning(p, row); r.Unpainted(f, unknown) {
				if fill.seen.Rows == 0 {
					fill.seen.First, fill.seen.Text = intake.Place{Sheet: p.Sheet.Name, Row: row.N}, intake.Texts(row)
				}
				fill.share(p, row)
			}
			if c, column := p.Cell(row, intake.State); column >= 0 && intake.WordKey(c.Text) == "" && !SentHeadings[intake.Fold(p.Heading(column))] {
				if word.Rows++; word.Rows == 1 {
					emptyAt = intake.Place{Sheet: p.Sheet.Name, Row: row.N, Column: intake.Letters(column)}
				}
			}
		}
	}
	if len(g.Fills) > 0 && fill.seen.Rows > 0 {
		fill.seen.Hint = fill.hint()
		g.NoFill = &fill.seen
		g.Asks = append(g.Asks, Ask{Part: "no_fill", What: "What do rows without a colour mean?", Choices: intake.MeaningChoices(), Example: fill.seen.First})
	}
	if len(g.Words) > 0 && word.Rows > 0 {
		g.NoWord = &word
		g.Asks = append(g.Asks, Ask{Part: "no_word", What: "What does an empty state mean?", Choices: intake.MeaningChoices(), Example: emptyAt})
	}
}
