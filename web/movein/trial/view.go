package trial

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"solander/fault"
	"solander/intake"
	"solander/movein"
	"solander/studio"
	"solander/web/form"
	"solander/web/movein/rows"
)

func (p *Page) problems() {
	at := map[string]int{}
	n := 0
	for _, pr := range p.Trial.Problems {
		if n == problemsShown {
			p.Left++
			continue
		}
		n++
		key := fmt.Sprint(pr.Bars, pr.Rule)
		i, ok := at[key]
		if !ok {
			i = len(p.Problems)
			at[key] = i
			p.Problems = append(p.Problems, problemGroup{Bars: pr.Bars, Rule: pr.Rule})
		}
		v := problemView{Problem: pr, Where: rows.PlaceWords(intake.Place{Sheet: pr.Sheet, Row: pr.Row, Column: pr.Column})}
		var others []string
		for _, o := range pr.Others {
			others = append(others, rows.PlaceWords(o))
		}
		v.Others = strings.Join(others, "; ")
		p.Problems[i].Items = append(p.Problems[i].Items, v)
	}
	slices.SortStableFunc(p.Problems, func(a, b problemGroup) int {
		switch {
		case a.Bars == b.Bars:
			return 0
		case a.Bars:
			return -1
		}
		return 1
	})
}

// Head is what the problems of a group have in common: the words that they begin and end with, "" when there are none.
func (g problemGroup) Head() string {
	all := strings.Fields(g.Items[0].What)
	begin, end := len(all), len(all)
	for _, it := range g.Items[1:] {
		words := strings.Fields(it.What)
		begin, end = min(begin, common(all, words)), min(end, common(backwards(all), backwards(words)))
	}
	if begin == len(all) {
		return g.Items[0].What
	}
	end = min(end, len(all)-begin)
	out := all[:begin:begin]
	if begin+end > 0 {
		out = append(out, "…")
	}
	return strings.Join(append(out, all[len(all)-end:]...), " ")
}

// common counts the words that two texts begin with alike.
func common(a, b []string) int {
	n := 0
	for n < min(len(a), len(b)) && a[n] == b[n] {
		n++
	}
	return n
}

func backwards(words []string) []string {
	out := slices.Clone(words)
	slices.Reverse(out)
	return out
}

func (p *Page) questions() {
	limits := map[string]bool{}
	for _, d := range p.Trial.Declarations {
		limits[d.LimitID] = true
	}
	all := p.forAll(limits)
	for _, q := range p.Trial.Questions {
		if limits[q.ID] || len(p.Questions) == questionsShown {
			continue
		}
		if one, first := all[kindOf(q.ID)]; first {
			p.Questions = append(p.Questions, one)
			delete(all, kindOf(q.ID))
		}
		fd := p.ask(q.ID, q.What, cmp.Or(q.Answer, q.Offer)).Half()
		if len(q.Choices) > 0 {
			all := []form.Choice{form.Pick("", "not said")}
			for _, c := range q.Choices {
				all = append(all, form.Pick(c.Value, c.Words))
			}
			fd.Of(all...)
		}
		if q.Why != "" {
			fd.WithHint(q.Why)
		}
		p.Questions = append(p.Questions, questionView{q, rows.PlaceWords(q.Where), fd})
	}
}

func (p *Page) declarations(set studio.Settings) {
	p.sameParts(set)
	for _, d := range p.Trial.Declarations {
		e := p.Trial.Editions[d.Place]
		v := declarationView{Declaration: d, Title: e.Title, Where: rows.PlaceWords(e.Row), Size: cmp.Or(e.Size, "size not said")}
		ask := func(part, label, value string) *form.Field {
			id := d.ID(part)
			if part == movein.PartLimit {
				id = d.LimitID
			}
			fd := p.ask(id, label, cmp.Or(p.Arrival.Answers[id], value))
			for _, l := range d.Lacks {
				if l.Field == part {
					fd.Hint = form.Sentence(l)
				}
			}
			v.Fields = append(v.Fields, fd)
			return fd
		}
		assumed := ""
		if d.LimitSaid || d.Edition.Limit > 0 {
			assumed = strconv.Itoa(d.Edition.Limit)
		}
		limit := ask(movein.PartLimit, "Limit", assumed).WithMode("numeric")
		if limit.Hint == "" {
			limit.WithHint("0: an open edition")
		}
		ask(movein.PartAP, "Artist’s proofs", strconv.Itoa(d.Edition.Proofs.AP)).WithMode("numeric")
		width, height := "", ""
		if d.Edition.Width > 0 {
			width = d.Edition.Width.In(p.Units)
		}
		if d.Edition.Height > 0 {
			height = d.Edition.Height.In(p.Units)
		}
		ask(movein.PartWidth, "Width", width)
		ask(movein.PartHeight, "Height", height)
		ask(movein.PartPaper, "Paper", d.Edition.Paper).Of(paperChoices(set)...)
		grade, grades := ask(movein.PartGrade, "Grade", d.Edition.Grade), gradesOrNone(set)
		if g := grade.Value; g != "" && !slices.Contains(set.Grades, g) {
			grades = append(grades, form.Pick(g, g))
		}
		grade.Of(grades...)
		ask(movein.PartPrice, "Price from now on", d.Edition.Price.Plain()).WithMode("decimal")
		v.Sure = p.ask(d.ID(movein.PartConfirm), "Declare it with this limit, for good", map[bool]string{true: "1"}[d.Confirmed]).As("check")
		v.Of = p.Ask.Ask(limitOf+d.Key, "").As("hidden").Is(d.LimitID)
		p.Editions = append(p.Editions, v)
	}
	if n := len(p.Editions); n > 1 {
		p.All = p.Ask.Ask(confirmAll, fmt.Sprintf("Declare all %d with the limits written above, for good", n)).As("check")
	}
}

// facts shows first what is not answered.
func (p *Page) facts() {
	var open, said []factView
	for _, pr := range p.Trial.Proposals {
		if pr.Status == intake.Known {
			continue
		}
		for _, ft := range pr.Facts {
			answered := ft.Taken || ft.Refused
			if !answered && ft.Sure == intake.Plain && len(ft.Against) == 0 {
				p.Plain++
			}
			if answered && len(said) < factsShown {
				said = append(said, viewFact(pr, ft))
			}
			if !answered {
				if len(open) < factsShown {
					open = append(open, viewFact(pr, ft))
				} else {
					p.FactsLeft++
				}
			}
		}
	}
	switch p.Plain {
	case 0:
	case 1:
		p.YesTo = p.Ask.Ask(yesToPlain, "Yes to the one that is written plainly and contradicts nothing").As("check")
	default:
		p.YesTo = p.Ask.Ask(yesToPlain, fmt.Sprintf("Yes to all %d that are written plainly and contradict nothing", p.Plain)).As("check")
	}
	p.Facts = append(open, said...)
	for i := range p.Facts {
		ft := &p.Facts[i]
		value := map[bool]string{true: intake.Yes}[ft.Taken]
		if ft.Refused {
			value = intake.No
		}
		ft.Field = p.ask(ft.ID, ft.Says, value).As("radio")
	}
}

func viewFact(pr intake.Proposal, ft intake.Fact) factView {
	o := pr.Rows[ft.Row]
	v := factView{Fact: ft, Words: ft.Words, Where: rows.PlaceWords(intake.Place{Sheet: o.Sheet, Row: o.Row, Column: intake.Letters(ft.Column)})}
	if ft.Column < len(o.Cells) {
		if text := o.Cells[ft.Column]; ft.Start >= 0 && ft.End <= len(text) && ft.Start <= ft.End {
			v.Before, v.Words, v.After = text[:ft.Start], text[ft.Start:ft.End], text[ft.End:]
		}
	}
	return v
}

func (p *Page) orders() {
	var fills []intake.Fill
	for i := range p.Trial.Proposals {
		pr := &p.Trial.Proposals[i]
		list, more := &p.Orders, &p.More
		if pr.Status == intake.Known {
			list, more = &p.Known, &p.KnownMore
		}
		if len(*list) == ordersShown {
			*more++
			continue
		}
		fills = append(fills, pr.Rows[0].Fill)
		*list = append(*list, p.viewProposal(pr))
	}
	p.Colours = rows.ColoursPath(fills)
}

func (p *Page) viewProposal(pr *intake.Proposal) proposalView {
	o := pr.Rows[0]
	v := proposalView{
		Where: rows.PlaceWords(intake.Place{Sheet: o.Sheet, Row: o.Row}), Class: rows.FillClass(o.Fill), Word: o.Fill.Word(), Mark: pr.Mark, Why: pr.Why,
		Held: pr.Status == intake.Asked, State: stateWord(pr.State),
	}
	if n := len(pr.Rows); n > 1 {
		v.Where += fmt.Sprintf(" and %d more", n-1)
	}
	if pr.Buyer >= 0 {
		v.Buyer = p.Trial.Buyers[pr.Buyer].Buyer.Name
	}
	if pr.Outlet >= 0 {
		v.Outlet = p.Trial.Outlets[pr.Outlet].Name
	}
	if !pr.Placed.IsZero() {
		v.Placed = pr.Placed.Long()
	}
	for _, l := range pr.Lines {
		title := "a print that is not said"
		if l.Edition >= 0 {
			title = p.Trial.Editions[l.Edition].Title
		}
		if n := l.Number.String(); n != "" {
			title = n + " of " + title
		}
		v.Prints = append(v.Prints, title)
	}
	v.Money = moneyWords(pr)
	return v
}

func stateWord(m intake.Meaning) string {
	if m == intake.Nothing {
		return "still to be sent"
	}
	return m.Long()
}

func moneyWords(pr *intake.Proposal) string {
	var parts []string
	for _, m := range pr.Payments {
		parts = append(parts, m.Amount.String()+" paid")
	}
	return strings.Join(parts, ", ")
}

func (p *Page) aside() {
	for i, a := range p.Trial.SetAside {
		if i == asideShown {
			p.AsideMore = len(p.Trial.SetAside) - i
			return
		}
		p.SetAside = append(p.SetAside, asideView{rows.PlaceWords(intake.Place{Sheet: a.Sheet, Row: a.Row}), a.Why, fault.Clip(strings.Join(strings.Fields(strings.Join(a.Cells, " ")), " "))})
	}
}
