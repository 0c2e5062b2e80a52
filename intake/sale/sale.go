package sale

import (
	"strings"

	"solander/calendar"
	"solander/fault"
	"solander/intake"
	"solander/intake/cell"
	"solander/intake/grid"
	"solander/intake/naming"
	"solander/money"
	"solander/order"
)

// Sale is one print of a row, while the table is read.
type Sale struct {
	Grid     *grid.Grid
	Row      *intake.Row
	Origin   intake.Origin
	Problems []int // in the report
	Waits    bool  // for an answer
	Numbers  cell.NumbersRead
	Edition  int     // in the report
	Person   int     // in the report's buyers
	head     *Sale   // of a further print of a row: its first
	Also     []*Sale // the further prints of the row
	*Wording
}

// Wording is what the columns of a row say. It is let go as soon as the proposal is made that takes it over: of a large file all of
// them take as much room as the proposals.
type Wording struct {
	Outlet    string
	Ref       string
	Buyer     order.Buyer
	Address   order.Address
	Days      [4]saleDay // by the numbers below
	Title     string
	Size      cell.SizeRead
	SizeText  string
	Grade     string
	Paper     string
	PaperSaid string // as it is written, where paper is the studio's own name for it
	limit     int
	quantity  int // 0 = not said
	Price     *money.Amount
	Total     *money.Amount
	Paid      *money.Amount
	Owed      *money.Amount
	Fee       *money.Amount
	Postage   *money.Amount
	Tax       *money.Amount
	PaidWhole bool
	PaidOn    calendar.Day
	State     intake.Meaning
	StateFrom string
	Tracking  string
	Note      string
	Gift      string
	Facts     []intake.Fact
	Open      bool          // the row says that the edition has no numbers
	unsettled bool          // it is not known which prints the row names
	Each      *money.Amount // the print's own price, where the row says one for each
}

// The days of a sale.
const (
	Placed = iota
	Promised
	ArriveBy
	SentOn
)

// saleDay is a day of a row; open when its year is not settled yet.
type saleDay struct {
	Day    calendar.Day
	read   cell.DayRead
	Open   bool
	Column int
}

var dayFields = [4]intake.Field{intake.SoldOn, intake.Promised, intake.ArriveBy, intake.SentOn}

func (s *Sale) Place(column int) intake.Place {
	return intake.Place{Sheet: s.Origin.Sheet, Row: s.Origin.Row, Column: intake.Letters(column)}
}

func (s *Sale) text(f intake.Field) string {
	c, _ := s.Grid.Cell(s.Row, f)
	return intake.Clean(c.Text)
}

// readFields reads all columns but the notes.
func (r *Rows) readFields(s *Sale) {
	s.Outlet, s.Ref, s.Paper, s.Grade = s.text(intake.Outlet), s.text(intake.Ref), s.text(intake.Paper), s.text(intake.Grade)
	s.Outlet = naming.FirstOf(naming.FirstOf(s.Outlet, s.Grid.Outlet), r.Mapping.Outlet)
	s.Note = s.Grid.Text(s.Row, intake.Note, "\n")
	gift, _ := s.Grid.Cell(s.Row, intake.Gift)
	s.Gift = strings.TrimSpace(gift.Text)
	r.readPerson(s)
	for i, f := range dayFields {
		r.readDay(s, i, f)
	}
	r.readMoney(s)
	r.readTracking(s)
}

func (r *Rows) readDay(s *Sale, i int, f intake.Field) {
	c, column := s.Grid.Cell(s.Row, f)
	if column < 0 || i == SentOn && r.sentYes(s, c, column) {
		return
	}
	read := func(c intake.Cell) (cell.DayRead, bool, cell.Trouble) { return cell.DayOf(c, r.Figures.Days) }
	if i == Placed {
		read = func(c intake.Cell) (cell.DayRead, bool, cell.Trouble) { return r.dayIn(s.Grid, c) }
	}
	d, ok, t := read(c)
	if !t.None() {
		r.Problem(s, column, t)
	}
	if !ok {
		return
	}
	s.Days[i] = saleDay{read: d, Open: d.Year == 0, Column: column}
	if d.Year != 0 {
		s.Days[i].Day = d.In(0)
		r.checkDay(s, i)
	}
}

// sentYes takes a yes or no instead of the day sent.
func (r *Rows) sentYes(s *Sale, c intake.Cell, column int) bool {
	w := intake.WordKey(c.Text)
	if c.Kind == intake.Date || !cell.YesWords[w] && !cell.NoWords[w] {
		return false
	}
	if s.State == intake.Nothing && cell.YesWords[w] {
		s.State, s.StateFrom = intake.Sent, "column "+s.Grid.Name(column)
	}
	return true
}

func (r *Rows) checkDay(s *Sale, i int) {
	d := s.Days[i]
	if (i == Placed || i == SentOn) && !r.In.Today.IsZero() && d.Day.After(r.In.Today) {
		r.Problem(s, d.Column, cell.Trouble{Rule: "day.future", What: d.Day.String() + " is still to come", Mend: "look at the year", Bars: true})
	}
}

func (r *Rows) readTracking(s *Sale) {
	c, column := s.Grid.Cell(s.Row, intake.Tracking)
	text := intake.Clean(c.Text)
	if c.Kind == intake.Number {
		text = c.Number
	}
	if text == "" || text == "-" {
		return
	}
	if c.Kind == intake.Number && len(text) > 15 {
		r.Problem(s, column, cell.Trouble{Rule: "tracking.cut", What: "a spreadsheet program keeps 15 digits of a number: the others are lost", Mend: "format the column as text and write the number again"})
	}
	t, err := order.ParseTracking(text)
	if err != nil {
		r.Problem(s, column, cell.Trouble{Rule: "tracking", What: fault.All(err)[0].What, Mend: "correct the tracking number; it is kept with the row"})
		return
	}
	s.Tracking = t.Number
}

// readLengths holds texts to what an order takes; a longer one is doubtful input, not cut.
func (r *Rows) readLengths(s *Sale) {
	for _, f := range []struct {
		field intake.Field
		text  string
		most  int
	}{{intake.Outlet, s.Outlet, 80}, {intake.Ref, s.Ref, 80}, {intake.Title, s.Title, 120}, {intake.Grade, s.Grade, 40}, {intake.Paper, s.Paper, 80}, {intake.Buyer, s.Buyer.Name, 120}, {intake.Email, s.Buyer.Email, 254}, {intake.Phone, s.Buyer.Phone, 40}} {
		if err := order.Text(string(f.field), f.text, f.most, false); err != nil {
			_, column := s.Grid.Cell(s.Row, f.field)
			r.Problem(s, column, cell.Trouble{Rule: "text", What: fault.All(err)[0].What, Mend: "shorten it, or take out what cannot be printed", Bars: true})
		}
	}
	for _, f := range []struct {
		field intake.Field
		text  string
	}{{intake.Note, s.Note}, {intake.Gift, s.Gift}} {
		if err := order.Note(string(f.field), f.text); err != nil {
			_, column := s.Grid.Cell(s.Row, f.field)
			r.Problem(s, column, cell.Trouble{Rule: "text", What: fault.All(err)[0].What, Mend: "shorten it, or take out what cannot be printed", Bars: true})
		}
	}
}
