package intake

import (
	"strings"

	"solander/calendar"
	"solander/edition"
	"solander/measure"
	"solander/money"
	"solander/order"
)

// Report is the answer of a trial. Its lists are in the order of the file.
type Report struct {
	File      string       `json:"file"` // Table.Hash
	Name      string       `json:"name"` // Table.Name
	Mapping   string       `json:"mapping"`
	Counts    Counts       `json:"counts"`
	Proposals []Proposal   `json:"proposals"`
	Buyers    []NewBuyer   `json:"buyers"`
	Editions  []NewEdition `json:"editions"`
	Outlets   []NewOutlet  `json:"outlets"`
	SetAside  []SetAside   `json:"set_aside"` // rows that are no sales, each with the reason
	Problems  []Problem    `json:"problems"`
	Questions []Question   `json:"questions"`
	Findings  []Finding    `json:"findings"` // of the reader
}

// Counts sums the report up. Rows is Sales and SetAside together; sheets that are skipped count nowhere.
type Counts struct {
	Rows      int `json:"rows"`      // rows with a value, below the headings, of sheets that are read
	Sales     int `json:"sales"`     // rows that belong to a proposal
	SetAside  int `json:"set_aside"` // rows that are no sales
	Ready     int `json:"ready"`     // proposals that can be taken as they are
	Asked     int `json:"asked"`     // proposals with something to look at first: they cannot be taken yet
	Known     int `json:"known"`     // orders that are in the book already
	Prints    int `json:"prints"`    // lines of ready and asked proposals
	Buyers    int `json:"buyers"`    // buyers it would create
	Editions  int `json:"editions"`  // editions it would create
	Works     int `json:"works"`     // works it would create
	Outlets   int `json:"outlets"`   // outlets it would create
	Facts     int `json:"facts"`     // facts found in notes
	Taken     int `json:"taken"`     // of them, those with her yes
	Problems  int `json:"problems"`  // problems that bar a proposal
	Doubts    int `json:"doubts"`    // problems that bar nothing
	Questions int `json:"questions"` // still without an answer
}

// Status says whether a proposal can be taken.
type Status string

// The statuses.
const (
	Ready Status = "ready"
	Asked Status = "asked" // a problem bars it, or a question about it is open
	Known Status = "known" // it is in the book already; Mark says as what
)

// Origin is one row as it stood in the file, word for word.
type Origin struct {
	Sheet string   `json:"sheet,omitempty"`
	Row   int      `json:"row"`
	Fill  Fill     `json:"fill,omitzero"` // the row's colour
	Cells []string `json:"cells"`         // Text of each cell by column
	// Hash is the SHA-256 of the cells, in hexadecimal digits, with their headings, without regard to sheet, row, place of the
	// columns, colour and blank cells; "-2" and so on follows when the same cells stand in the file again. It is how the row is known later.
	Hash string `json:"hash"`
}

// Proposal is one order that rows would make. Indices point into the report's lists.
type Proposal struct {
	ID     string   `json:"id"` // stable: the Hash of its first row
	Status Status   `json:"status"`
	Mark   string   `json:"mark,omitempty"` // Known: the order that it is
	Why    string   `json:"why,omitempty"`  // Known: how it was recognised
	Rows   []Origin `json:"rows"`

	Outlet    int           `json:"outlet"` // in Outlets; -1 = none said
	Ref       string        `json:"ref,omitempty"`
	Buyer     int           `json:"buyer"` // in Buyers; -1 = none said
	Placed    calendar.Day  `json:"placed"`
	Promised  calendar.Day  `json:"promised"`
	ArriveBy  calendar.Day  `json:"arrive_by"`
	ShipTo    order.Address `json:"ship_to"`
	Lines     []Line        `json:"lines"`
	Postage   money.Amount  `json:"postage"`
	Tax       money.Amount  `json:"tax"`
	Fee       *money.Amount `json:"fee,omitempty"` // nil = not said: the outlet's own rule
	Payments  []Payment     `json:"payments"`
	Owed      *money.Amount `json:"owed,omitempty"` // what she wrote that is still owed; checked against the rest
	State     Meaning       `json:"state"`          // Nothing = not said
	StateFrom string        `json:"state_from,omitempty"`
	SentOn    calendar.Day  `json:"sent_on"`
	Tracking  string        `json:"tracking,omitempty"`
	Note      string        `json:"note,omitempty"`
	Gift      string        `json:"gift,omitempty"`
	Facts     []Fact        `json:"facts"`
	Problems  []int         `json:"problems"` // in Problems, those of its rows
}

// Line is one print of a proposal.
type Line struct {
	Edition int            `json:"edition"` // in Editions; -1 = none said
	Number  edition.Number `json:"number"`  // none: not said, or an open edition
	Price   *money.Amount  `json:"price,omitempty"`
	Row     int            `json:"row"` // in the proposal's Rows, counted from 0
}

// Payment is money that a row says came in.
type Payment struct {
	Amount money.Amount `json:"amount"`
	Day    calendar.Day `json:"day"`            // none: the day of the sale
	From   string       `json:"from"`           // "column Paid", "colour #C6EFCE", "note"
	Fact   string       `json:"fact,omitempty"` // the fact it was taken from
}

// NewBuyer is a buyer of the file: a known one when ID is not 0.
type NewBuyer struct {
	ID     int64       `json:"id"`
	Buyer  order.Buyer `json:"buyer"`
	Said   order.Said  `json:"said"`               // in the words of its first row
	Orders int         `json:"orders"`             // proposals that are not known already
	Row    Place       `json:"first"`              // where it was met first
	Ask    string      `json:"question,omitempty"` // several known buyers have the name
}

// NewEdition is an edition of the file: a known one when ID is not 0.
type NewEdition struct {
	ID     int64          `json:"id"`
	Work   int64          `json:"work"` // of a known work; 0 = the work is new, too
	Title  string         `json:"title"`
	Width  measure.Length `json:"width_nm"` // 0 = not said
	Height measure.Length `json:"height_nm"`
	Size   string         `json:"size,omitempty"` // as written
	Grade  string         `json:"grade,omitempty"`
	Paper  string         `json:"paper,omitempty"`
	Limit  int            `json:"limit"`          // as written behind the stroke or in its column; 0 = not said
	Open   bool           `json:"open,omitempty"` // the file says that it has no numbers
	Proofs edition.Proofs `json:"proofs"`
	// Highest is the highest number met; an edition without a limit but with numbers needs one that is not below it.
	Highest int          `json:"highest"`
	Price   money.Amount `json:"price"` // the latest one met
	Lines   int          `json:"lines"` // of proposals that are not known already
	Row     Place        `json:"first"`
}

// NewOutlet is an outlet of the file: a known one when ID is not 0.
type NewOutlet struct {
	ID     int64  `json:"id"`
	Name   string `json:"name"`
	Orders int    `json:"orders"`
}

// Place is a place in the file: a row, or a cell when Column is not "".
type Place struct {
	Sheet  string `json:"sheet,omitempty"`
	Row    int    `json:"row"`
	Column string `json:"column,omitempty"` // letters
}

// SetAside is a row that is no sale.
type SetAside struct {
	Sheet string   `json:"sheet,omitempty"`
	Row   int      `json:"row"`
	Rule  string   `json:"rule"` // "total", "heading", "section", "ignored", "colour"
	Why   string   `json:"why"`
	Cells []string `json:"cells"`
}

// Problem is something in the file that she should mend or look at.
type Problem struct {
	Rule    string  `json:"rule"` // a stable name, listed in docs/formats/mapping.md
	Bars    bool    `json:"bars"` // the proposals of its rows cannot be taken; else it is a doubt
	Sheet   string  `json:"sheet,omitempty"`
	Row     int     `json:"row"`
	Column  string  `json:"column,omitempty"`  // letters; "" = the whole row
	Heading string  `json:"heading,omitempty"` // of the column
	Text    string  `json:"text,omitempty"`    // of the cell, clipped
	What    string  `json:"what"`
	Mend    string  `json:"mend"`
	Others  []Place `json:"others,omitempty"`   // the other rows that it is about
	Ask     string  `json:"question,omitempty"` // the id of the question that settles it
}

// Question is something only she can say. Until it has an answer, what hangs on it is asked or left out.
type Question struct {
	ID      string   `json:"id"`
	What    string   `json:"what"`
	Where   Place    `json:"where"`
	Choices []Choice `json:"choices"`         // none: any text of the kind that What asks for
	Offer   string   `json:"offer,omitempty"` // the value that is proposed, if one is
	Why     string   `json:"why,omitempty"`   // of the offer
	Answer  string   `json:"answer,omitempty"`
	Rows    int      `json:"rows"` // how many rows hang on it
}

// Choice is one answer to a question.
type Choice struct {
	Value string `json:"value"`
	Words string `json:"words"`
}

// Input is all that a trial depends on.
type Input struct {
	Table    Table
	Mapping  Mapping
	Book     Book // nil: NoBook
	Answers  Answers
	Today    calendar.Day          // zero: days in the future are not looked for
	Progress func(done, total int) // rows; nil: nobody wants to know
}

// Words names an edition: title, size, grade, paper.
func (e NewEdition) Words() string {
	parts := []string{e.Title}
	for _, part := range []string{e.Size, e.Grade, e.Paper} {
		if part != "" {
			parts = append(parts, part)
		}
	}
	return strings.Join(parts, ", ")
}
