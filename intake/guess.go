package intake

// Guess is a mapping offered for a table, with a reason for each thing guessed and what she has to say herself.
type Guess struct {
	Mapping Mapping    `json:"mapping"`
	Reasons []Reason   `json:"reasons"`
	Fills   []FillSeen `json:"fills"` // every colour of the sheets that hold sales
	Words   []WordSeen `json:"words"` // every word of the columns of states
	Asks    []Ask      `json:"asks"`  // what could not be guessed
}

// Reason says why something of a mapping was guessed.
type Reason struct {
	Sheet   string     `json:"sheet,omitempty"`
	Column  int        `json:"column"`            // counted from 0; -1 = not of one column
	Heading string     `json:"heading,omitempty"` // of the column
	Part    string     `json:"part"`              // "field", "header", "skip", "days", "decimal", "unit", "currency", "word"
	Value   string     `json:"value"`             // what was guessed
	Why     string     `json:"why"`
	Sure    Confidence `json:"sure"`
}

// FillSeen is one colour of the file. What it means is never guessed: a word of states in the same rows is only told.
type FillSeen struct {
	Fill  Fill     `json:"fill"`
	Rows  int      `json:"rows"`            // rows of that colour
	Cells int      `json:"cells"`           // cells with a value of that colour in rows of another
	First Place    `json:"first"`           // a row of it
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
	Part    string   `json:"part"` // "days", "decimal", "unit", "currency", "fill", "word"
	What    string   `json:"what"`
	Choices []Choice `json:"choices"`
	Example Place    `json:"example"`
}

// Match is a saved mapping that fits a table.
type Match struct {
	Mapping Mapping  `json:"mapping"` // fitted to the table: the columns stand where the table has them
	Found   int      `json:"found"`   // headings found again
	Of      int      `json:"of"`      // headings that the mapping uses
	New     []string `json:"new"`     // headings of the table that the mapping does not know
	Whole   bool     `json:"whole"`   // all headings were found
}
