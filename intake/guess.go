package intake

// Guess is a mapping offered for a table, with a reason for each thing guessed and what she has to say herself.
type Guess struct {
	Mapping Mapping    `json:"mapping"` // without a name, and without a currency when none was found
	Reasons []Reason   `json:"reasons"`
	Fills   []FillSeen `json:"fills"`             // every colour of the sheets that hold sales, the most frequent first
	Words   []WordSeen `json:"words"`             // every word of the columns of states, the most frequent first
	NoFill  *FillSeen  `json:"no_fill,omitempty"` // rows without a colour, where others have one
	NoWord  *WordSeen  `json:"no_word,omitempty"` // empty cells of states, where others hold a word
	Asks    []Ask      `json:"asks"`              // what could not be guessed
}

// Reason says why something of a mapping was guessed.
type Reason struct {
	Sheet   string     `json:"sheet,omitempty"`
	Column  int        `json:"column"`            // counted from 0; -1 = not of one column
	Heading string     `json:"heading,omitempty"` // of the column
	Part    string     `json:"part"`              // "field", "header", "skip", "named", "days", "decimal", "unit", "currency", "word"
	Value   string     `json:"value"`             // what was guessed
	Why     string     `json:"why"`
	Sure    Confidence `json:"sure"`
}

// FillSeen is one colour of the file. What it means is never guessed: what its rows share is only told.
type FillSeen struct {
	Fill  Fill     `json:"fill"`
	Rows  int      `json:"rows"`            // rows whose colour it is
	Cells int      `json:"cells"`           // cells of that colour in other rows
	First Place    `json:"first"`           // a row with it
	Text  []string `json:"text"`            // of that row, to be shown
	Hint  string   `json:"hint,omitempty"`  // what the rows share: "41 of 41 rows have a tracking number"
	Means Meaning  `json:"means,omitempty"` // as in the mapping; "" = not said
}

// WordSeen is one word of a column of states.
type WordSeen struct {
	Text  string  `json:"text"`
	Rows  int     `json:"rows"`
	Means Meaning `json:"means,omitempty"` // as guessed; "" = not said
}

// Ask is a part of the mapping that she has to say, because the file can be read in several ways.
type Ask struct {
	Part    string   `json:"part"`            // "days", "decimal", "unit", "currency", "outlet", "fill", "word", "no_fill", "no_word"
	Value   string   `json:"value,omitempty"` // of a fill or word: which one
	What    string   `json:"what"`
	Choices []Choice `json:"choices"` // none: free text
	Example Place    `json:"example"`
}

// NewGuess offers a mapping for a table, from its headings and values.
func NewGuess(t Table) Guess {
	g := Guess{Mapping: Mapping{Format: MappingFormat, Sheets: []SheetMap{}}, Reasons: []Reason{}, Fills: []FillSeen{}, Words: []WordSeen{}, Asks: []Ask{}}
	for i := range t.Sheets {
		m, reasons := guessSheet(&t.Sheets[i])
		g.Mapping.Sheets = append(g.Mapping.Sheets, m)
		g.Reasons = append(g.Reasons, reasons...)
	}
	g.names(t)
	r := meaningsOf(g.Mapping)
	plans, _, err := plansOf(t, g.Mapping)
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
func (g Guess) With(m Mapping) Guess {
	if g.NoFill != nil && m.NoFill != "" {
		seen := *g.NoFill
		seen.Means, g.NoFill = m.NoFill, &seen
	}
	if g.NoWord != nil && m.NoWord != "" {
		seen := *g.NoWord
		seen.Means, g.NoWord = m.NoWord, &seen
	}
	fills, words := map[Fill]Meaning{}, map[string]Meaning{}
	for _, f := range m.Fills {
		fills[f.Fill] = f.Means
	}
	for _, w := range m.Words {
		words[wordKey(w.Text)] = w.Means
	}
	g.Fills, g.Words = append([]FillSeen(nil), g.Fills...), append([]WordSeen(nil), g.Words...)
	for i := range g.Fills {
		if means := fills[g.Fills[i].Fill]; means != "" {
			g.Fills[i].Means = means
		}
	}
	for i := range g.Words {
		if means := words[wordKey(g.Words[i].Text)]; means != "" {
			g.Words[i].Means = means
		}
	}
	return g
}
