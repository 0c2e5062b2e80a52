package sale

import (
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"solander/fault"
	"solander/intake"
	"solander/intake/cell"
	"solander/intake/naming"
)

// takePrints reads title, size, grade, paper, limit, numbers and quantity of a row. What the title and other cells name beyond one print
// stands in also.
func (r *Rows) takePrints(s *Sale) {
	x := &rowPrints{Rows: r, s: s}
	x.columns()
	if !x.titles() || !x.share() {
		return
	}
	x.fill()
}

// rowPrints is a row whose prints are being settled.
type rowPrints struct {
	*Rows
	s        *Sale
	numbers  []cell.NumbersRead // of the column
	quantity []int
	sizes    []naming.Item
	grades   []string
	papers   []string
	limits   []int
	items    []naming.Item
}

var parts = regexp.MustCompile(`\s*[\n;+&]\s*|\s+(?i:and|und|et|y|plus)\s+`)

// partsOf splits a cell at the marks that part prints; at commas, too, where commas may.
func partsOf(text string, commas bool) []string {
	if commas {
		text = strings.ReplaceAll(text, ", ", "\n")
	}
	var all []string
	for _, p := range parts.Split(naming.Tidy(text), cell.MostNumbers) {
		if p = strings.TrimSpace(p); p != "" {
			all = append(all, p)
		}
	}
	return all
}

// columns reads the cells of the row's own columns.
func (x *rowPrints) columns() {
	x.readNumbers()
	c, column := x.s.Grid.Cell(x.s.Row, intake.Quantity)
	x.quantity = wholeNumbers(c)
	for _, n := range x.quantity {
		if n < 1 || n > cell.MostNumbers {
			x.quantity = nil
			x.Problem(x.s, column, cell.Trouble{Rule: "quantity", What: "this is no number of prints: " + fault.Clip(c.Text), Mend: "write it like 2; at most " + strconv.Itoa(cell.MostNumbers), Bars: true})
			break
		}
	}
	if len(x.quantity) == 0 && !c.Blank() && c.Kind != intake.Number && len(wholeNumbers(c)) == 0 {
		x.Problem(x.s, column, cell.Trouble{Rule: "quantity", What: "this is no number of prints: " + fault.Clip(c.Text), Mend: "write it like 2; at most " + strconv.Itoa(cell.MostNumbers), Bars: true})
	}
	c, column = x.s.Grid.Cell(x.s.Row, intake.Limit)
	if x.limits = wholeNumbers(c); !c.Blank() && len(x.limits) == 0 && !cell.NoNumber[intake.Fold(c.Text)] {
		x.Problem(x.s, column, cell.Trouble{Rule: "limit", What: "this is no limit of an edition: " + fault.Clip(c.Text), Mend: "write it like 250", Bars: true})
	}
	x.s.Open = !c.Blank() && saysOpen(c.Text)
	x.readSizes()
	if x.grades = partsOf(x.s.text(intake.Grade), true); len(x.grades) > 1 && slices.ContainsFunc(x.grades, func(g string) bool { return cell.GradeIn(g) == "" }) {
		x.grades = []string{x.s.text(intake.Grade)}
	}
	paper, _ := x.s.Grid.Cell(x.s.Row, intake.Paper)
	x.papers = partsOf(paper.Text, false)
}

// saysOpen reports words for an open edition.
func saysOpen(text string) bool {
	w := intake.Fold(text)
	return w == "open" || w == "oe" || w == "open edition" || w == "unnumbered"
}

// readNumbers reads the column of numbers. One that names titles, too, is read as prints.
func (x *rowPrints) readNumbers() {
	c, column := x.s.Grid.Cell(x.s.Row, intake.Numbers)
	if saysOpen(c.Text) {
		x.s.Open = true
	}
	n, ok, t := cell.NumbersOf(c)
	list := naming.NumberList(c.Text)
	if c.Kind == intake.Number {
		list = naming.NumberList(c.Number)
	}
	switch {
	case c.Kind == intake.Words && t.Rule == "number" && len(list) > 1:
		x.numbers = list
	case c.Kind == intake.Words && t.Rule == "number":
		x.namedInNumbers(c, column, t)
		return
	case !t.None():
		x.Problem(x.s, column, t)
		if ok {
			x.numbers = []cell.NumbersRead{n}
		}
		return
	case ok && len(list) > 1:
		x.numbers = list
	case ok:
		x.numbers = []cell.NumbersRead{n}
	}
	for _, l := range x.numbers {
		for _, one := range l.Numbers {
			if l.Of != 0 && one.N > l.Of && t.None() {
				x.Problem(x.s, column, cell.Beyond(c.Text, one, l.Of))
			}
		}
	}
}

// namedInNumbers reads a cell of numbers that names the prints themselves: "Heron 4/60, Low tide 7/90".
func (x *rowPrints) namedInNumbers(c intake.Cell, column int, t cell.Trouble) {
	all := x.Namings(c.Text)
	if !slices.ContainsFunc(all, func(y naming.Naming) bool {
		return slices.ContainsFunc(y.Items, func(i naming.Item) bool { return len(i.Numbers) > 0 })
	}) {
		x.Problem(x.s, column, t)
		return
	}
	y, ok, id := x.choose(c.Text, 0, false, x.s.Place(column))
	if !ok {
		x.unsettled(column, c.Text, id)
		return
	}
	x.items = slices.Clone(y.Items)
}

// unsettled bars a row of which it is not known which prints it names.
func (x *rowPrints) unsettled(column int, text, id string) {
	x.s.unsettled = true
	x.Problem(x.s, column, cell.Trouble{Rule: "prints.which", What: "which prints are meant can be read in several ways: " + fault.Clip(naming.Tidy(text)), Mend: "say which prints it names", Bars: true, Ask: id})
}

func (x *rowPrints) readSizes() {
	c, column := x.s.Grid.Cell(x.s.Row, intake.Size)
	z, ok, t := x.sizeOf(c.Text)
	if ok || t.Rule != "size" {
		if !c.Blank() {
			x.sizes = []naming.Item{{Size: z, SizeText: intake.Clean(c.Text), Trouble: t}}
		}
		return
	}
	for _, p := range partsOf(c.Text, true) {
		z, ok, t2 := cell.SizeOf(p, x.Figures.Unit)
		if !ok && t2.Rule != "size.unit" {
			x.sizes = []naming.Item{{SizeText: intake.Clean(c.Text)}}
			x.Problem(x.s, column, t)
			return
		}
		x.sizes = append(x.sizes, naming.Item{Size: z, SizeText: p, Trouble: t2})
	}
}

// sizeTold is what a text was read as.
type sizeTold struct {
	size    cell.SizeRead
	ok      bool
	trouble cell.Trouble
}

// sizeOf reads a size; a file has few of them, each in many rows.
func (r *Rows) sizeOf(text string) (cell.SizeRead, bool, cell.Trouble) {
	x, known := r.sizes[text]
	if !known {
		x.size, x.ok, x.trouble = cell.SizeOf(text, r.Figures.Unit)
		r.sizes[text] = x
	}
	return x.size, x.ok, x.trouble
}

// wholeNumbers reads a cell of one whole number, or of several; nil when it holds anything else.
func wholeNumbers(c intake.Cell) []int {
	if c.Blank() {
		return nil
	}
	if n, ok := cell.WholeNumber(c); ok {
		return []int{n}
	}
	if c.Kind != intake.Words {
		return nil
	}
	var all []int
	for _, p := range partsOf(strings.ReplaceAll(c.Text, ",", "\n"), false) {
		n, ok := cell.WholeNumber(intake.Cell{Kind: intake.Words, Text: p})
		if !ok {
			return nil
		}
		all = append(all, n)
	}
	return all
}

// titles reads the title. false: nothing more can be said of the row.
func (x *rowPrints) titles() bool {
	if x.s.unsettled {
		return false
	}
	text := x.s.Grid.Text(x.s.Row, intake.Title, " | ")
	_, column := x.s.Grid.Cell(x.s.Row, intake.Title)
	if text == "" {
		if len(x.items) == 0 {
			x.Problem(x.s, column, cell.Trouble{Rule: "title.missing", What: "the row does not say which picture", Mend: "write the title", Bars: true})
			x.items = []naming.Item{{}}
		}
		return true
	}
	said := naming.CountNumbers(x.numbers)
	for i, q := range x.quantity {
		if i == 0 && len(x.quantity) > 1 || i > 0 || said == 0 {
			said = max(said, 0) + q*intake.One(len(x.quantity) > 1 || said == 0)
		}
	}
	y, ok, id := x.choose(text, said, len(x.numbers) > 0, x.s.Place(column))
	if !ok && len(x.numbers) > 1 {
		if all := x.Namings(text); all[len(all)-1].Prints() == len(x.numbers) { // one edition has one limit: they are several
			y, ok = all[len(all)-1], true
		}
	}
	if !ok {
		x.unsettled(column, text, id)
		return false
	}
	return x.agree(y.Items, column)
}

// agree holds the prints that the column of numbers names to those of the title.
func (x *rowPrints) agree(items []naming.Item, column int) bool {
	named := x.items
	if len(named) == 0 {
		x.items = slices.Clone(items)
		return true
	}
	for _, n := range named {
		if !slices.ContainsFunc(items, func(i naming.Item) bool { return intake.Fold(i.Title) == intake.Fold(n.Title) }) {
			x.s.unsettled = true
			x.Problem(x.s, column, cell.Trouble{Rule: "prints.differ", What: "the title and the column of numbers name different prints", Mend: "let both name the same", Bars: true})
			return false
		}
	}
	return true
}

// share gives each print what the row's other columns say of it. false: they do not fit together.
func (x *rowPrints) share() bool {
	x.copies(max(len(x.sizes), len(x.grades)))
	n := len(x.items)
	for _, f := range []struct {
		field intake.Field
		have  int
	}{{intake.Size, len(x.sizes)}, {intake.Grade, len(x.grades)}, {intake.Limit, len(x.limits)}} {
		if f.have > 1 && f.have != n {
			return x.misfit(f.field, fmt.Sprintf("the row names %s and %s", counted2(n, "print"), counted2(f.have, f.field.Long())))
		}
	}
	for i := range x.items {
		it := &x.items[i]
		if z := at(x.sizes, i); z != nil {
			if it.SizeText != "" && (it.Size != z.Size || it.Size == (cell.SizeRead{})) && intake.Fold(it.SizeText) != intake.Fold(z.SizeText) {
				return x.misfit(intake.Size, "the title says the size "+it.SizeText+", the column "+z.SizeText)
			}
			it.Size, it.SizeText, it.Trouble = z.Size, z.SizeText, z.Trouble
		}
		if g := at(x.grades, i); g != nil {
			it.Grade = *g
		}
	}
	return x.shareNumbers() && x.shareQuantity()
}

// at returns what a list says of the print at i: its own, or the only one.
func at[T any](list []T, i int) *T {
	switch {
	case len(list) == 1:
		return &list[0]
	case i < len(list):
		return &list[i]
	}
	return nil
}

func counted2(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return strconv.Itoa(n) + " " + what + "s"
}

func (x *rowPrints) misfit(f intake.Field, what string) bool {
	x.s.unsettled = true
	_, column := x.s.Grid.Cell(x.s.Row, f)
	x.Problem(x.s, column, cell.Trouble{Rule: "prints.share", What: what, Mend: "write each print into a row of its own, or all that belongs to it behind its title", Bars: true})
	return false
}

// copies makes several prints of one title that has several sizes or grades.
func (x *rowPrints) copies(n int) {
	if len(x.items) == 1 && n > 1 && x.items[0].SizeText == "" {
		for len(x.items) < n {
			x.items = append(x.items, x.items[0])
		}
	}
}

// shareNumbers gives the numbers of the column to the prints.
func (x *rowPrints) shareNumbers() bool {
	if len(x.numbers) == 0 {
		return true
	}
	var flat []cell.NumbersRead // one each
	for _, l := range x.numbers {
		for i := range l.Numbers {
			flat = append(flat, cell.NumbersRead{Numbers: l.Numbers[i : i+1], Of: l.Of})
		}
	}
	var own []cell.NumbersRead
	each := make([]int, len(x.items))
	for i, it := range x.items {
		own = append(own, it.Numbers...)
		if each[i] = it.Copies(); len(x.quantity) == len(x.items) {
			each[i] = max(each[i], x.quantity[i])
		}
	}
	switch {
	case len(own) > 0 && sameNumbers(own, x.numbers):
		return true
	case len(own) > 0:
		return x.misfit(intake.Numbers, "the title and the column say different numbers")
	case len(x.items) == 1:
		x.items[0].Numbers = x.numbers
		return true
	case sum(each) != len(flat) && len(flat) != len(x.items):
		return x.misfit(intake.Numbers, fmt.Sprintf("the row names %s and %s", counted2(len(x.items), "print"), counted2(len(flat), "number")))
	case sum(each) != len(flat):
		each = slices.Repeat([]int{1}, len(x.items))
	}
	for i, n := range each {
		x.items[i].Numbers, flat = naming.Together(flat[:n]), flat[n:]
	}
	return true
}

func sameNumbers(a, b []cell.NumbersRead) bool {
	a, b = naming.Together(a), naming.Together(b)
	return slices.EqualFunc(a, b, func(x, y cell.NumbersRead) bool {
		return slices.Equal(x.Numbers, y.Numbers) && (x.Of == 0 || y.Of == 0 || x.Of == y.Of)
	})
}

func sum(all []int) (n int) {
	for _, v := range all {
		n += v
	}
	return n
}

// shareQuantity holds the column of counts to what the prints say.
func (x *rowPrints) shareQuantity() bool {
	if len(x.quantity) == 0 {
		return true
	}
	_, column := x.s.Grid.Cell(x.s.Row, intake.Quantity)
	if len(x.quantity) == len(x.items) {
		for i, q := range x.quantity {
			it := &x.items[i]
			if n := naming.CountNumbers(it.Numbers); n > 0 && n != q || it.Count > 0 && it.Count != q {
				x.Problem(x.s, column, cell.Trouble{Rule: "quantity.numbers", What: counted2(q, "print") + ", but " + counted2(max(n, it.Count), "number"), Mend: "let both agree", Bars: true})
			}
			it.Count = q
		}
		return true
	}
	total := 0
	for _, it := range x.items {
		total += it.Copies()
	}
	if got := sum(x.quantity); len(x.quantity) > 1 || got != total {
		x.Problem(x.s, column, cell.Trouble{Rule: "quantity.numbers", What: counted2(got, "print") + ", but the row names " + strconv.Itoa(total), Mend: "let both agree", Bars: true})
	}
	return true
}

// fill writes the prints into the sale: the first into itself, the others beside it.
func (x *rowPrints) fill() {
	var all []naming.Item
	for _, it := range x.items {
		lists := it.Numbers
		if len(lists) < 2 {
			all = append(all, it)
			continue
		}
		for _, l := range lists { // one edition each
			one := it
			one.Numbers, one.Count = []cell.NumbersRead{l}, 0
			all = append(all, one)
		}
	}
	paper, _ := x.s.Grid.Cell(x.s.Row, intake.Paper)
	whole := naming.FirstOf(x.PaperNamed(paper.Text), intake.Clean(paper.Text))
	for i, it := range all {
		to := x.s
		if i > 0 {
			to = &Sale{Grid: x.s.Grid, Row: x.s.Row, Origin: x.s.Origin, head: x.s, Edition: -1, Wording: &Wording{Open: x.s.Open}}
			x.s.Also = append(x.s.Also, to)
		}
		to.Title, to.Size, to.SizeText, to.quantity = it.Title, it.Size, it.SizeText, it.Count
		to.Grade = naming.FirstOf(it.Grade, x.s.Grid.Grade)
		to.Open = to.Open || it.Open
		to.Paper = naming.FirstOf(naming.FirstOf(whole, it.Paper), x.s.Grid.Paper)
		if len(x.papers) == len(all) && len(all) > 1 {
			to.Paper = naming.FirstOf(x.PaperNamed(x.papers[i]), x.papers[i])
		} else if to.Paper == whole {
			to.PaperSaid = intake.Clean(paper.Text)
		}
		if len(it.Numbers) > 0 {
			to.Numbers = it.Numbers[0]
		}
		if l := at(x.limits, i); l != nil && (len(x.limits) == 1 || len(x.limits) == len(all)) {
			to.limit = *l
		}
		if !it.Trouble.None() {
			x.Problem(x.s, x.sizeColumn(), it.Trouble)
		}
	}
	x.priceEach(len(all))
	if intake.Fold(x.s.Title) == "" && !x.titleless() {
		_, column := x.s.Grid.Cell(x.s.Row, intake.Title)
		x.Problem(x.s, column, cell.Trouble{Rule: "title.missing", What: "the row does not say which picture", Mend: "write the title", Bars: true})
	}
}

func (x *rowPrints) titleless() bool { return x.s.Grid.Text(x.s.Row, intake.Title, " | ") == "" }

func (x *rowPrints) sizeColumn() int {
	if c, column := x.s.Grid.Cell(x.s.Row, intake.Size); column >= 0 && !c.Blank() {
		return column
	}
	return TitleColumn(x.s)
}

// priceEach reads as many prices as prints out of one cell: "120 + 80".
func (x *rowPrints) priceEach(n int) {
	c, _ := x.s.Grid.Cell(x.s.Row, intake.Price)
	if c.Kind != intake.Words || c.Merged || !x.severalAmounts(c.Text) {
		return
	}
	all := partsOf(c.Text, false)
	if len(all) != n {
		x.misfit(intake.Price, fmt.Sprintf("the row names %s and %s", counted2(n, "print"), counted2(len(all), "price")))
		return
	}
	for i, p := range x.s.Pieces() {
		a, _, _ := cell.AmountText(all[i], x.Figures.Currency, x.Figures.Decimal)
		p.Each = &a
	}
}

// severalAmounts reports several amounts in one cell: "120 + 80".
func (r *Rows) severalAmounts(text string) bool {
	all := partsOf(text, false)
	for _, p := range all {
		if a, ok, _ := cell.AmountText(p, r.Figures.Currency, r.Figures.Decimal); !ok || a.Sign() < 0 {
			return false
		}
	}
	return len(all) > 1
}
