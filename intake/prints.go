package intake

import (
	"cmp"
	"slices"
	"strconv"
	"strings"

	"solander/fault"
)

// titles are the titles that the rows of a file say, folded: alone those that no other reading has, whole those that could be taken
// apart, each with how many rows say it.
type titles struct {
	alone, whole map[string]int
}

// settlePrints says for each row which prints it sells. A cell that names several is taken apart; where that is doubtful, the works
// in the book and the titles of other rows decide, else she is asked. It is done when all rows are read.
func (r *Rows) settlePrints() {
	r.titles = titles{map[string]int{}, map[string]int{}}
	for _, s := range r.sales {
		r.meet(s.plan.text(s.row, Title, " | "))
		if c, _ := s.plan.cell(s.row, Numbers); c.Kind == Words && numberList(c.Text) == nil && !noNumber[Fold(c.Text)] {
			r.meet(c.Text)
		}
	}
	for _, s := range r.sales {
		r.takePrints(s)
		r.readLengths(s)
	}
}

func (r *Rows) meet(text string) {
	if text == "" {
		return
	}
	all := r.namings(text)
	if len(all) == 1 {
		for _, x := range all[0].items {
			r.titles.alone[Fold(x.title)]++
		}
	} else if all[0].apart == 0 && len(all[0].items) == 1 {
		r.titles.whole[Fold(all[0].items[0].title)]++
	}
}

// inBooks reports a title of the book.
func (r *Rows) inBooks(title string) bool { return len(r.in.Book.Editions(title)) > 0 }

// choose returns the reading of a text that the book or other rows speak for; ok is false when she has to say, and id is the question.
// prints is how many prints other columns of the row say; 0: nothing. numbered says that a column holds the row's numbers.
func (r *Rows) choose(text string, prints int, numbered bool, where Place) (x naming, ok bool, id string) {
	all := r.namings(text)
	if numbered {
		all = slices.DeleteFunc(slices.Clone(all), func(x naming) bool { return slices.ContainsFunc(x.items, func(i item) bool { return i.bare }) })
	}
	if len(all) < 2 && (len(all) == 0 || !all[0].more) {
		if len(all) == 0 {
			all = r.namings(text)
		}
		return r.gradeEnds(all[0]), true, ""
	}
	if whole := all[0]; whole.apart == 0 && whole.all(r.inBooks) {
		return whole, true, ""
	}
	if x, ok := r.spokenFor(all, prints); ok {
		return r.gradeEnds(x), true, ""
	}
	return r.askPrints(text, all, where)
}

// spokenFor returns the only reading of which all titles are known, when no count speaks against it. A title that runs on in small letters behind
// a comma stays whole where the row says that it is one print.
func (r *Rows) spokenFor(all []naming, prints int) (naming, bool) {
	if all[0].more {
		return naming{}, false
	}
	var known []naming
	for _, x := range all {
		if x.all(func(t string) bool { return r.inBooks(t) || r.titles.alone[Fold(t)] > 0 }) || x.apart == 0 && len(x.items) == 1 && r.titles.whole[Fold(x.items[0].title)] > 1 {
			known = append(known, x)
		}
	}
	switch {
	case len(known) == 1 && (prints == 0 || known[0].prints() == prints || len(known[0].items) == 1 || len(known[0].items) == prints):
		return known[0], true
	case len(known) > 0 || prints != 1 || all[0].apart != 0:
		return naming{}, false
	}
	most := all[len(all)-1]
	for i, x := range most.items {
		if i > 0 && (!x.commaBefore || !goesOn(x.title)) {
			return naming{}, false
		}
	}
	return all[0], len(most.items) > 1
}

// gradeEnds takes a grade off the end of a title that is unknown with it, and known without.
func (r *Rows) gradeEnds(x naming) naming {
	for i, it := range x.items {
		cut := strings.LastIndexByte(it.title, ' ')
		if cut < 0 || it.grade != "" {
			continue
		}
		left, g := strings.TrimSpace(it.title[:cut]), gradeIn(it.title[cut+1:])
		if g == "" || r.inBooks(it.title) || !r.inBooks(left) && r.titles.alone[Fold(left)] == 0 {
			continue
		}
		x.items = slices.Clone(x.items)
		x.items[i].title, x.items[i].grade = left, g
	}
	return x
}

// Answers to how a cell is read. A reading in between is named by its titles.
const (
	printsWhole = "whole"
	printsApart = "apart"
)

// askPrints asks how a text is read, or takes what she said: of this text, or of all such texts.
func (r *Rows) askPrints(text string, all []naming, where Place) (x naming, ok bool, id string) {
	q := Question{ID: "prints:" + printsKey(text), What: "What does “" + fault.Clip(tidy(text)) + "” name?", Where: where}
	values := namingValues(all)
	for _, i := range r.likeliest(all) {
		q.Choices = append(q.Choices, Choice{values[i], all[i].words()})
	}
	id = r.ask(q)
	answer := r.answer(id)
	for i, v := range values {
		if v == answer || i == 0 && answer == printsWhole || i == len(all)-1 && answer == printsApart {
			return r.gradeEnds(all[i]), true, id
		}
	}
	return naming{}, false, id
}

// mostChoices bounds the readings that a question offers.
const mostChoices = 8

// likeliest returns the places of the readings to be offered: of many, the first, the last, and those with the fewest titles that nothing else knows.
func (r *Rows) likeliest(all []naming) []int {
	places := make([]int, len(all))
	for i := range all {
		places[i] = i
	}
	if len(all) <= mostChoices {
		return places
	}
	unknown := func(i int) int {
		if i == 0 || i == len(all)-1 {
			return -1
		}
		n := 0
		for _, x := range all[i].items {
			n += One(!r.inBooks(x.title) && r.titles.alone[Fold(x.title)] == 0)
		}
		return n
	}
	slices.SortStableFunc(places, func(i, j int) int { return cmp.Compare(unknown(i), unknown(j)) })
	places = places[:mostChoices]
	slices.Sort(places)
	return places
}

// namingValues names the readings in answers.
func namingValues(all []naming) []string {
	values, seen := make([]string, len(all)), map[string]int{}
	for i, x := range all {
		switch {
		case i == 0 && x.apart == 0:
			values[i] = printsWhole
		case i == len(all)-1:
			values[i] = printsApart
		default:
			values[i] = x.titles()
		}
		if seen[values[i]]++; seen[values[i]] > 1 {
			values[i] += " #" + strconv.Itoa(seen[values[i]])
		}
	}
	return values
}

// printsKey names a text in the id of a question. Texts that differ in their numbers alone are asked about once.
func printsKey(text string) string {
	var b strings.Builder
	digit := false
	for _, c := range strings.ToLower(clean(text)) {
		is := c >= '0' && c <= '9'
		if is && !digit {
			b.WriteByte('0')
		} else if !is {
			b.WriteRune(c)
		}
		digit = is
	}
	key := b.String()
	if len(key) > 200 {
		return key[:cutAt(key, 180)] + shortSum(key)
	}
	return key
}
