package sale

import (
	"cmp"
	"slices"
	"strconv"
	"strings"

	"solander/fault"
	"solander/intake"
	"solander/intake/cell"
	"solander/intake/naming"
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
	for _, s := range r.Sales {
		r.meet(s.Grid.Text(s.Row, intake.Title, " | "))
		if c, _ := s.Grid.Cell(s.Row, intake.Numbers); c.Kind == intake.Words && naming.NumberList(c.Text) == nil && !cell.NoNumber[intake.Fold(c.Text)] {
			r.meet(c.Text)
		}
	}
	for _, s := range r.Sales {
		r.takePrints(s)
		r.readLengths(s)
	}
}

func (r *Rows) meet(text string) {
	if text == "" {
		return
	}
	all := r.Namings(text)
	if len(all) == 1 {
		for _, x := range all[0].Items {
			r.titles.alone[intake.Fold(x.Title)]++
		}
	} else if all[0].Apart == 0 && len(all[0].Items) == 1 {
		r.titles.whole[intake.Fold(all[0].Items[0].Title)]++
	}
}

// inBooks reports a title of the book.
func (r *Rows) inBooks(title string) bool { return len(r.In.Book.Editions(title)) > 0 }

// choose returns the reading of a text that the book or other rows speak for; ok is false when she has to say, and id is the question.
// prints is how many prints other columns of the row say; 0: nothing. numbered says that a column holds the row's numbers.
func (r *Rows) choose(text string, prints int, numbered bool, where intake.Place) (x naming.Naming, ok bool, id string) {
	all := r.Namings(text)
	if numbered {
		all = slices.DeleteFunc(slices.Clone(all), func(x naming.Naming) bool {
			return slices.ContainsFunc(x.Items, func(i naming.Item) bool { return i.Bare })
		})
	}
	if len(all) < 2 && (len(all) == 0 || !all[0].More) {
		if len(all) == 0 {
			all = r.Namings(text)
		}
		return r.gradeEnds(all[0]), true, ""
	}
	if whole := all[0]; whole.Apart == 0 && whole.All(r.inBooks) {
		return whole, true, ""
	}
	if x, ok := r.spokenFor(all, prints); ok {
		return r.gradeEnds(x), true, ""
	}
	return r.askPrints(text, all, where)
}

// spokenFor returns the only reading of which all titles are known, when no count speaks against it. A title that runs on in small letters behind
// a comma stays whole where the row says that it is one print.
func (r *Rows) spokenFor(all []naming.Naming, prints int) (naming.Naming, bool) {
	if all[0].More {
		return naming.Naming{}, false
	}
	var known []naming.Naming
	for _, x := range all {
		if x.All(func(t string) bool { return r.inBooks(t) || r.titles.alone[intake.Fold(t)] > 0 }) || x.Apart == 0 && len(x.Items) == 1 && r.titles.whole[intake.Fold(x.Items[0].Title)] > 1 {
			known = append(known, x)
		}
	}
	switch {
	case len(known) == 1 && (prints == 0 || known[0].Prints() == prints || len(known[0].Items) == 1 || len(known[0].Items) == prints):
		return known[0], true
	case len(known) > 0 || prints != 1 || all[0].Apart != 0:
		return naming.Naming{}, false
	}
	most := all[len(all)-1]
	for i, x := range most.Items {
		if i > 0 && (!x.CommaBefore || !naming.GoesOn(x.Title)) {
			return naming.Naming{}, false
		}
	}
	return all[0], len(most.Items) > 1
}

// gradeEnds takes a grade off the end of a title that is unknown with it, and known without.
func (r *Rows) gradeEnds(x naming.Naming) naming.Naming {
	for i, it := range x.Items {
		cut := strings.LastIndexByte(it.Title, ' ')
		if cut < 0 || it.Grade != "" {
			continue
		}
		left, g := strings.TrimSpace(it.Title[:cut]), cell.GradeIn(it.Title[cut+1:])
		if g == "" || r.inBooks(it.Title) || !r.inBooks(left) && r.titles.alone[intake.Fold(left)] == 0 {
			continue
		}
		x.Items = slices.Clone(x.Items)
		x.Items[i].Title, x.Items[i].Grade = left, g
	}
	return x
}

// Answers to how a cell is read. A reading in between is named by its titles.
const (
	printsWhole = "whole"
	printsApart = "apart"
)

// askPrints asks how a text is read, or takes what she said: of this text, or of all such texts.
func (r *Rows) askPrints(text string, all []naming.Naming, where intake.Place) (x naming.Naming, ok bool, id string) {
	q := intake.Question{ID: "prints:" + printsKey(text), What: "What does “" + fault.Clip(naming.Tidy(text)) + "” name?", Where: where}
	values := namingValues(all)
	for _, i := range r.likeliest(all) {
		q.Choices = append(q.Choices, intake.Choice{Value: values[i], Words: all[i].Words()})
	}
	id = r.Ask(q)
	answer := r.Answer(id)
	for i, v := range values {
		if v == answer || i == 0 && answer == printsWhole || i == len(all)-1 && answer == printsApart {
			return r.gradeEnds(all[i]), true, id
		}
	}
	return naming.Naming{}, false, id
}

// mostChoices bounds the readings that a question offers.
const mostChoices = 8

// likeliest returns the places of the readings to be offered: of many, the first, the last, and those with the fewest titles that nothing else knows.
func (r *Rows) likeliest(all []naming.Naming) []int {
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
		for _, x := range all[i].Items {
			n += intake.One(!r.inBooks(x.Title) && r.titles.alone[intake.Fold(x.Title)] == 0)
		}
		return n
	}
	slices.SortStableFunc(places, func(i, j int) int { return cmp.Compare(unknown(i), unknown(j)) })
	places = places[:mostChoices]
	slices.Sort(places)
	return places
}

// namingValues names the readings in answers.
func namingValues(all []naming.Naming) []string {
	values, seen := make([]string, len(all)), map[string]int{}
	for i, x := range all {
		switch {
		case i == 0 && x.Apart == 0:
			values[i] = printsWhole
		case i == len(all)-1:
			values[i] = printsApart
		default:
			values[i] = x.Titles()
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
	for _, c := range strings.ToLower(intake.Clean(text)) {
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
		return key[:intake.CutAt(key, 180)] + intake.ShortSum(key)
	}
	return key
}
