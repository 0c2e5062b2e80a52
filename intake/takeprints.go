package intake

import (
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"solander/fault"
)

// takePrints reads title, size, grade, paper, limit, numbers and quantity of a row. What the title and other cells name beyond one print
// stands in also.
func (r *Rows) takePrints(s *sale) {
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
	s        *sale
	numbers  []numbersRead // of the column
	quantity []int
	sizes    []item
	grades   []string
	papers   []string
	limits   []int
	items    []item
}

var parts = regexp.MustCompile(`\s*[\n;+&]\s*|\s+(?i:and|und|et|y|plus)\s+`)

// partsOf splits a cell at the marks that part prints; at commas, too, where commas may.
func partsOf(text string, commas bool) []string {
	if commas {
		text = strings.ReplaceAll(text, ", ", "\n")
	}
	var all []string
	for _, p := range parts.Split(tidy(text), mostNumbers) {
		if p = strings.TrimSpace(p); p != "" {
			all = append(all, p)
		}
	}
	return all
}

// columns reads the cells of the row's own columns.
func (x *rowPrints) columns() {
	x.readNumbers()
	c, column := x.s.plan.cell(x.s.row, Quantity)
	x.quantity = wholeNumbers(c)
	for _, n := range x.quantity {
		if n < 1 || n > mostNumbers {
			x.quantity = nil
			x.problem(x.s, column, trouble{"quantity", "this is no number of prints: " + fault.Clip(c.Text), "write it like 2; at most " + strconv.Itoa(mostNumbers), true, ""})
			break
		}
	}
	if len(x.quantity) == 0 && !c.blank() && c.Kind != Number && len(wholeNumbers(c)) == 0 {
		x.problem(x.s, column, trouble{"quantity", "this is no number of prints: " + fault.Clip(c.Text), "write it like 2; at most " + strconv.Itoa(mostNumbers), true, ""})
	}
	c, column = x.s.plan.cell(x.s.row, Limit)
	if x.limits = wholeNumbers(c); !c.blank() && len(x.limits) == 0 && !noNumber[Fold(c.Text)] {
		x.problem(x.s, column, trouble{"limit", "this is no limit of an edition: " + fault.Clip(c.Text), "write it like 250", true, ""})
	}
	x.s.open = !c.blank() && saysOpen(c.Text)
	x.readSizes()
	if x.grades = partsOf(x.s.text(Grade), true); len(x.grades) > 1 && slices.ContainsFunc(x.grades, func(g string) bool { return gradeIn(g) == "" }) {
		x.grades = []string{x.s.text(Grade)}
	}
	paper, _ := x.s.plan.cell(x.s.row, Paper)
	x.papers = partsOf(paper.Text, false)
}

// saysOpen reports words for an open edition.
func saysOpen(text string) bool {
	w := Fold(text)
	return w == "open" || w == "oe" || w == "open edition" || w == "unnumbered"
}

// readNumbers reads the column of numbers. One that names titles, too, is read as prints.
func (x *rowPrints) readNumbers() {
	c, column := x.s.plan.cell(x.s.row, Numbers)
	if saysOpen(c.Text) {
		x.s.open = true
	}
	n, ok, t := numbersOf(c)
	list := numberList(c.Text)
	if c.Kind == Number {
		list = numberList(c.Number)
	}
	switch {
	case c.Kind == Words && t.rule == "number" && len(list) > 1:
		x.numbers = list
	case c.Kind == Words && t.rule == "number":
		x.namedInNumbers(c, column, t)
		return
	case !t.none():
		x.problem(x.s, column, t)
		if ok {
			x.numbers = []numbersRead{n}
		}
		return
	case ok && len(list) > 1:
		x.numbers = list
	case ok:
		x.numbers = []numbersRead{n}
	}
	for _, l := range x.numbers {
		for _, one := range l.numbers {
			if l.of != 0 && one.N > l.of && t.none() {
				x.problem(x.s, column, beyond(c.Text, one, l.of))
			}
		}
	}
}

// namedInNumbers reads a cell of numbers that names the prints themselves: "Heron 4/60, Low tide 7/90".
func (x *rowPrints) namedInNumbers(c Cell, column int, t trouble) {
	all := x.namings(c.Text)
	if !slices.ContainsFunc(all, func(y naming) bool {
		return slices.ContainsFunc(y.items, func(i item) bool { return len(i.numbers) > 0 })
	}) {
		x.problem(x.s, column, t)
		return
	}
	y, ok, id := x.choose(c.Text, 0, false, x.s.place(column))
	if !ok {
		x.unsettled(column, c.Text, id)
		return
	}
	x.items = slices.Clone(y.items)
}

// unsettled bars a row of which it is not known which prints it names.
func (x *rowPrints) unsettled(column int, text, id string) {
	x.s.unsettled = true
	x.problem(x.s, column, trouble{"prints.which", "which prints are meant can be read in several ways: " + fault.Clip(tidy(text)), "say which prints it names", true, id})
}

func (x *rowPrints) readSizes() {
	c, column := x.s.plan.cell(x.s.row, Size)
	z, ok, t := sizeOf(c.Text, x.figures.unit)
	if ok || t.rule != "size" {
		if !c.blank() {
			x.sizes = []item{{size: z, sizeText: clean(c.Text), trouble: t}}
		}
		return
	}
	for _, p := range partsOf(c.Text, true) {
		z, ok, t2 := sizeOf(p, x.figures.unit)
		if !ok && t2.rule != "size.unit" {
			x.sizes = []item{{sizeText: clean(c.Text)}}
			x.problem(x.s, column, t)
			return
		}
		x.sizes = append(x.sizes, item{size: z, sizeText: p, trouble: t2})
	}
}

// wholeNumbers reads a cell of one whole number, or of several; nil when it holds anything else.
func wholeNumbers(c Cell) []int {
	if c.blank() {
		return nil
	}
	if n, ok := wholeNumber(c); ok {
		return []int{n}
	}
	if c.Kind != Words {
		return nil
	}
	var all []int
	for _, p := range partsOf(strings.ReplaceAll(c.Text, ",", "\n"), false) {
		n, ok := wholeNumber(Cell{Kind: Words, Text: p})
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
	text := x.s.plan.text(x.s.row, Title, " | ")
	_, column := x.s.plan.cell(x.s.row, Title)
	if text == "" {
		if len(x.items) == 0 {
			x.problem(x.s, column, trouble{"title.missing", "the row does not say which picture", "write the title", true, ""})
			x.items = []item{{}}
		}
		return true
	}
	said := countNumbers(x.numbers)
	for i, q := range x.quantity {
		if i == 0 && len(x.quantity) > 1 || i > 0 || said == 0 {
			said = max(said, 0) + q*One(len(x.quantity) > 1 || said == 0)
		}
	}
	y, ok, id := x.choose(text, said, len(x.numbers) > 0, x.s.place(column))
	if !ok && len(x.numbers) > 1 {
		if all := x.namings(text); all[len(all)-1].prints() == len(x.numbers) { // one edition has one limit: they are several
			y, ok = all[len(all)-1], true
		}
	}
	if !ok {
		x.unsettled(column, text, id)
		return false
	}
	return x.agree(y.items, column)
}

// agree holds the prints that the column of numbers names to those of the title.
func (x *rowPrints) agree(items []item, column int) bool {
	named := x.items
	if len(named) == 0 {
		x.items = slices.Clone(items)
		return true
	}
	for _, n := range named {
		if !slices.ContainsFunc(items, func(i item) bool { return Fold(i.title) == Fold(n.title) }) {
			x.s.unsettled = true
			x.problem(x.s, column, trouble{"prints.differ", "the title and the column of numbers name different prints", "let both name the same", true, ""})
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
		field Field
		have  int
	}{{Size, len(x.sizes)}, {Grade, len(x.grades)}, {Limit, len(x.limits)}} {
		if f.have > 1 && f.have != n {
			return x.misfit(f.field, fmt.Sprintf("the row names %s and %s", counted2(n, "print"), counted2(f.have, f.field.Long())))
		}
	}
	for i := range x.items {
		it := &x.items[i]
		if z := at(x.sizes, i); z != nil {
			if it.sizeText != "" && (it.size != z.size || it.size == (sizeRead{})) && Fold(it.sizeText) != Fold(z.sizeText) {
				return x.misfit(Size, "the title says the size "+it.sizeText+", the column "+z.sizeText)
			}
			it.size, it.sizeText, it.trouble = z.size, z.sizeText, z.trouble
		}
		if g := at(x.grades, i); g != nil {
			it.grade = *g
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

func (x *rowPrints) misfit(f Field, what string) bool {
	x.s.unsettled = true
	_, column := x.s.plan.cell(x.s.row, f)
	x.problem(x.s, column, trouble{"prints.share", what, "write each print into a row of its own, or all that belongs to it behind its title", true, ""})
	return false
}

// copies makes several prints of one title that has several sizes or grades.
func (x *rowPrints) copies(n int) {
	if len(x.items) == 1 && n > 1 && x.items[0].sizeText == "" {
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
	var flat []numbersRead // one each
	for _, l := range x.numbers {
		for i := range l.numbers {
			flat = append(flat, numbersRead{l.numbers[i : i+1], l.of})
		}
	}
	var own []numbersRead
	each := make([]int, len(x.items))
	for i, it := range x.items {
		own = append(own, it.numbers...)
		if each[i] = it.copies(); len(x.quantity) == len(x.items) {
			each[i] = max(each[i], x.quantity[i])
		}
	}
	switch {
	case len(own) > 0 && sameNumbers(own, x.numbers):
		return true
	case len(own) > 0:
		return x.misfit(Numbers, "the title and the column say different numbers")
	case len(x.items) == 1:
		x.items[0].numbers = x.numbers
		return true
	case sum(each) != len(flat) && len(flat) != len(x.items):
		return x.misfit(Numbers, fmt.Sprintf("the row names %s and %s", counted2(len(x.items), "print"), counted2(len(flat), "number")))
	case sum(each) != len(flat):
		each = slices.Repeat([]int{1}, len(x.items))
	}
	for i, n := range each {
		x.items[i].numbers, flat = together(flat[:n]), flat[n:]
	}
	return true
}

func sameNumbers(a, b []numbersRead) bool {
	a, b = together(a), together(b)
	return slices.EqualFunc(a, b, func(x, y numbersRead) bool {
		return slices.Equal(x.numbers, y.numbers) && (x.of == 0 || y.of == 0 || x.of == y.of)
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
	_, column := x.s.plan.cell(x.s.row, Quantity)
	if len(x.quantity) == len(x.items) {
		for i, q := range x.quantity {
			it := &x.items[i]
			if n := countNumbers(it.numbers); n > 0 && n != q || it.count > 0 && it.count != q {
				x.problem(x.s, column, trouble{"quantity.numbers", counted2(q, "print") + ", but " + counted2(max(n, it.count), "number"), "let both agree", true, ""})
			}
			it.count = q
		}
		return true
	}
	total := 0
	for _, it := range x.items {
		total += it.copies()
	}
	if got := sum(x.quantity); len(x.quantity) > 1 || got != total {
		x.problem(x.s, column, trouble{"quantity.numbers", counted2(got, "print") + ", but the row names " + strconv.Itoa(total), "let both agree", true, ""})
	}
	return true
}

// fill writes the prints into the sale: the first into itself, the others beside it.
func (x *rowPrints) fill() {
	var all []item
	for _, it := range x.items {
		lists := it.numbers
		if len(lists) < 2 {
			all = append(all, it)
			continue
		}
		for _, l := range lists { // one edition each
			one := it
			one.numbers, one.count = []numbersRead{l}, 0
			all = append(all, one)
		}
	}
	paper, _ := x.s.plan.cell(x.s.row, Paper)
	whole := firstOf(x.paperNamed(paper.Text), clean(paper.Text))
	for i, it := range all {
		to := x.s
		if i > 0 {
			to = &sale{plan: x.s.plan, row: x.s.row, origin: x.s.origin, head: x.s, edition: -1, wording: &wording{open: x.s.open}}
			x.s.also = append(x.s.also, to)
		}
		to.title, to.size, to.sizeText, to.quantity = it.title, it.size, it.sizeText, it.count
		to.grade = firstOf(it.grade, x.s.plan.grade)
		to.open = to.open || it.open
		to.paper = firstOf(firstOf(whole, it.paper), x.s.plan.paper)
		if len(x.papers) == len(all) && len(all) > 1 {
			to.paper = firstOf(x.paperNamed(x.papers[i]), x.papers[i])
		} else if to.paper == whole {
			to.paperSaid = clean(paper.Text)
		}
		if len(it.numbers) > 0 {
			to.numbers = it.numbers[0]
		}
		if l := at(x.limits, i); l != nil && (len(x.limits) == 1 || len(x.limits) == len(all)) {
			to.limit = *l
		}
		if !it.trouble.none() {
			x.problem(x.s, x.sizeColumn(), it.trouble)
		}
	}
	x.priceEach(len(all))
	if Fold(x.s.title) == "" && !x.titleless() {
		_, column := x.s.plan.cell(x.s.row, Title)
		x.problem(x.s, column, trouble{"title.missing", "the row does not say which picture", "write the title", true, ""})
	}
}

func (x *rowPrints) titleless() bool { return x.s.plan.text(x.s.row, Title, " | ") == "" }

func (x *rowPrints) sizeColumn() int {
	if c, column := x.s.plan.cell(x.s.row, Size); column >= 0 && !c.blank() {
		return column
	}
	return titleColumn(x.s)
}

// priceEach reads as many prices as prints out of one cell: "120 + 80".
func (x *rowPrints) priceEach(n int) {
	c, _ := x.s.plan.cell(x.s.row, Price)
	if c.Kind != Words || c.Merged || !x.severalAmounts(c.Text) {
		return
	}
	all := partsOf(c.Text, false)
	if len(all) != n {
		x.misfit(Price, fmt.Sprintf("the row names %s and %s", counted2(n, "print"), counted2(len(all), "price")))
		return
	}
	for i, p := range x.s.pieces() {
		a, _, _ := amountText(all[i], x.figures.currency, x.figures.decimal)
		p.each = &a
	}
}

// severalAmounts reports several amounts in one cell: "120 + 80".
func (r *Rows) severalAmounts(text string) bool {
	all := partsOf(text, false)
	for _, p := range all {
		if a, ok, _ := amountText(p, r.figures.currency, r.figures.decimal); !ok || a.Sign() < 0 {
			return false
		}
	}
	return len(all) > 1
}
