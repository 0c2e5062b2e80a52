package intake

import (
	"strings"

	"solander/calendar"
	"solander/fault"
	"solander/money"
	"solander/order"
)

// sale is one print of a row, while the table is read.
type sale struct {
	plan     *plan
	row      *Row
	origin   Origin
	problems []int // in the report
	waits    bool  // for an answer
	numbers  numbersRead
	edition  int     // in the report
	person   int     // in the report's buyers
	head     *sale   // of a further print of a row: its first
	also     []*sale // the further prints of the row
	*wording
}

// wording is what the columns of a row say. It is let go as soon as the proposal is made that takes it over: of a large file all of
// them take as much room as the proposals.
type wording struct {
	outlet    string
	ref       string
	buyer     order.Buyer
	address   order.Address
	days      [4]saleDay // by the numbers below
	title     string
	size      sizeRead
	sizeText  string
	grade     string
	paper     string
	paperSaid string // as it is written, where paper is the studio's own name for it
	limit     int
	quantity  int // 0 = not said
	price     *money.Amount
	total     *money.Amount
	paid      *money.Amount
	owed      *money.Amount
	fee       *money.Amount
	postage   *money.Amount
	tax       *money.Amount
	paidWhole bool
	paidOn    calendar.Day
	state     Meaning
	stateFrom string
	tracking  string
	note      string
	gift      string
	facts     []Fact
	open      bool          // the row says that the edition has no numbers
	unsettled bool          // it is not known which prints the row names
	each      *money.Amount // the print's own price, where the row says one for each
}

// The days of a sale.
const (
	placed = iota
	promised
	arriveBy
	sentOn
)

// saleDay is a day of a row; open when its year is not settled yet.
type saleDay struct {
	day    calendar.Day
	read   dayRead
	open   bool
	column int
}

var dayFields = [4]Field{SoldOn, Promised, ArriveBy, SentOn}

func (s *sale) place(column int) Place { return Place{s.origin.Sheet, s.origin.Row, Letters(column)} }

func (s *sale) text(f Field) string {
	c, _ := s.plan.cell(s.row, f)
	return clean(c.Text)
}

// readFields reads all columns but the notes.
func (r *Rows) readFields(s *sale) {
	s.outlet, s.ref, s.paper, s.grade = s.text(Outlet), s.text(Ref), s.text(Paper), s.text(Grade)
	s.outlet = firstOf(firstOf(s.outlet, s.plan.outlet), r.mapping.Outlet)
	s.note = s.plan.text(s.row, Note, "\n")
	gift, _ := s.plan.cell(s.row, Gift)
	s.gift = strings.TrimSpace(gift.Text)
	r.readPerson(s)
	for i, f := range dayFields {
		r.readDay(s, i, f)
	}
	r.readMoney(s)
	r.readTracking(s)
}

func (r *Rows) readDay(s *sale, i int, f Field) {
	c, column := s.plan.cell(s.row, f)
	if column < 0 || i == sentOn && r.sentYes(s, c, column) {
		return
	}
	read := func(c Cell) (dayRead, bool, trouble) { return dayOf(c, r.figures.days) }
	if i == placed {
		read = func(c Cell) (dayRead, bool, trouble) { return r.dayIn(s.plan, c) }
	}
	d, ok, t := read(c)
	if !t.none() {
		r.problem(s, column, t)
	}
	if !ok {
		return
	}
	s.days[i] = saleDay{read: d, open: d.year == 0, column: column}
	if d.year != 0 {
		s.days[i].day = d.in(0)
		r.checkDay(s, i)
	}
}

// sentYes takes a yes or no instead of the day sent.
func (r *Rows) sentYes(s *sale, c Cell, column int) bool {
	w := wordKey(c.Text)
	if c.Kind == Date || !yesWords[w] && !noWords[w] {
		return false
	}
	if s.state == Nothing && yesWords[w] {
		s.state, s.stateFrom = Sent, "column "+s.plan.name(column)
	}
	return true
}

func (r *Rows) checkDay(s *sale, i int) {
	d := s.days[i]
	if (i == placed || i == sentOn) && !r.in.Today.IsZero() && d.day.After(r.in.Today) {
		r.problem(s, d.column, trouble{"day.future", d.day.String() + " is still to come", "look at the year", true, ""})
	}
}

func (r *Rows) readTracking(s *sale) {
	c, column := s.plan.cell(s.row, Tracking)
	text := clean(c.Text)
	if c.Kind == Number {
		text = c.Number
	}
	if text == "" || text == "-" {
		return
	}
	if c.Kind == Number && len(text) > 15 {
		r.problem(s, column, trouble{"tracking.cut", "a spreadsheet program keeps 15 digits of a number: the others are lost", "format the column as text and write the number again", false, ""})
	}
	t, err := order.ParseTracking(text)
	if err != nil {
		r.problem(s, column, trouble{"tracking", fault.All(err)[0].What, "correct the tracking number; it is kept with the row", false, ""})
		return
	}
	s.tracking = t.Number
}

// readLengths holds texts to what an order takes; a longer one is doubtful input, not cut.
func (r *Rows) readLengths(s *sale) {
	for _, f := range []struct {
		field Field
		text  string
		most  int
	}{{Outlet, s.outlet, 80}, {Ref, s.ref, 80}, {Title, s.title, 120}, {Grade, s.grade, 40}, {Paper, s.paper, 80}, {Buyer, s.buyer.Name, 120}, {Email, s.buyer.Email, 254}, {Phone, s.buyer.Phone, 40}} {
		if err := order.Text(string(f.field), f.text, f.most, false); err != nil {
			_, column := s.plan.cell(s.row, f.field)
			r.problem(s, column, trouble{"text", fault.All(err)[0].What, "shorten it, or take out what cannot be printed", true, ""})
		}
	}
	for _, f := range []struct {
		field Field
		text  string
	}{{Note, s.note}, {Gift, s.gift}} {
		if err := order.Note(string(f.field), f.text); err != nil {
			_, column := s.plan.cell(s.row, f.field)
			r.problem(s, column, trouble{"text", fault.All(err)[0].What, "shorten it, or take out what cannot be printed", true, ""})
		}
	}
}
