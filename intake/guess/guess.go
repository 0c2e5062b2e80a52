// Package guess offers a mapping for a table, from its headings and values, with a reason for each thing guessed, and finds the saved
// mapping that fits. What a colour means is never guessed, only asked.
package guess

import (
	"solander/intake"
	"solander/intake/grid"
)

// Guess is a mapping offered for a table, with a reason for each thing guessed and what she has to say herself.
type Guess struct {
	Mapping intake.Mapping `json:"mapping"` // without a name, and without a currency when none was found
	Reasons []Reason       `json:"reasons"`
	Fills   []FillSeen     `json:"fills"`             // every colour of the sheets that hold sales, the most frequent first
	Words   []WordSeen     `json:"words"`             // every word of the columns of states, the most frequent first
	NoFill  *FillSeen      `json:"no_fill,omitempty"` // rows without a colour, where others have one
	NoWord  *WordSeen      `json:"no_word,omitempty"` // empty cells of states, where others hold a word
	Asks    []Ask          `json:"asks"`              // what could not be guessed
}

// Reason says why something of a mapping was guessed.
type Reason struct {
	Sheet   string            `json:"sheet,omitempty"`
	Column  int               `json:"column"`            // counted from 0; -1 = not of one column
	Heading string            `json:"heading,omitempty"` // of the column
	Part    string            `json:"part"`              // "field", "header", "skip", "named", "days", "decimal", "unit", "currency", "word"
	Value   string            `json:"value"`             // what was guessed
	Why     string            `json:"why"`
	Sure    intake.Confidence `json:"sure"`
}

// FillSeen is one colour of the file. What it means is never guessed: what its rows share is only told.
type FillSeen struct {
	Fill  intake.Fill    `json:"fill"`
	Rows  int            `json:"rows"`            // rows whose colour it is
	Cells int            `json:"cells"`           // cells of that colour in other rows
	First intake.Place   `json:"first"`           // a row with it
	Text  []string       `json:"text"`            // of that row, to be shown
	Hint  string         `json:"hint,omitempty"`  // what the rows share: "41 of 41 rows have a tracking number"
	Means intake.Meaning `json:"means,omitempty"` // as in the mapping; "" = not said
}

// WordSeen is one word of a column of states.
type WordSeen struct {
	Text  string         `json:"text"`
	Rows  int            `json:"rows"`
	Means intake.Meaning `json:"means,omitempty"` // as guessed; "" = not said
}

// Ask is a part of the mapping that she has to say, because the file can be read in several ways.
type Ask struct {
	Part    string          `json:"part"`            // "days", "decimal", "unit", "currency", "outlet", "fill", "word", "no_fill", "no_word"
	Value   string          `json:"value,omitempty"` // of a fill or word: which one
	What    string          `json:"what"`
	Choices []intake.Choice `json:"choices"` // none: free text
	Example intake.Place    `json:"example"`
}

// New offers a mapping for a table, from its headings and values.
func New(t intake.Table) Guess {
	g := Guess{Mapping: intake.Mapping{Format: intake.MappingFormat, Sheets: []intake.SheetMap{}}, Reasons: []Reason{}, Fills: []FillSeen{}, Words: []WordSeen{}, Asks: []Ask{}}
	for i := range t.Sheets {
		m, reasons := guessSheet(&t.Sheets[i])
		g.Mapping.Sheets = append(g.Mapping.Sheets, m)
		g.Reasons = append(g.Reasons, reasons...)
	}
	g.names(t)
	r := grid.NewMeanings(g.Mapping)
	plans, _, err := grid.Of(t, g.Mapping)
	if err != nil {
		return g // no sheet holds sales: the reasons say so
	}
	g.habits(plans)
	g.words(plans)
	g.colours(r, plans)
	g.bare(r, plans)
	return g
}

// With returns the guess with the colours and words that another mapping knows already.
func (g Guess) With(m intake.Mapping) Guess {
	if g.NoFill != nil && m.NoFill != "" {
		seen := *g.NoFill
		seen.Means, g.NoFill = m.NoFill, &seen
	}
	if g.NoWord != nil && m.NoWord != "" {
		seen := *g.NoWord
		seen.Means, g.NoWord = m.NoWord, &seen
	}
	fills, words := map[intake.Fill]intake.Meaning{}, map[string]intake.Meaning{}
	for _, f := range m.Fills {
		fills[f.Fill] = f.Means
	}
	for _, w := range m.Words {
		words[intake.WordKey(w.Text)] = w.Means
	}
	g.Fills, g.Words = append([]FillSeen(nil), g.Fills...), append([]WordSeen(nil), g.Words...)
	for i := range g.Fills {
		if means := fills[g.Fills[i].Fill]; means != "" {
			g.Fills[i].Means = means
		}
	}
	for i := range g.Words {
		if means := words[intake.WordKey(g.Words[i].Text)]; means != "" {
			g.Words[i].Means = means
		}
	}
	return g
}
