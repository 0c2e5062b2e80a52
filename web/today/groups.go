package today

import (
	"cmp"
	"fmt"
	"slices"

	"solander/bench"
	"solander/money"
	"solander/web/page"
)

// taskGroup is one kind of work with its tasks.
type taskGroup struct {
	Group  bench.Group
	Head   string
	Sum    string // what its rows come to
	Note   string // what is done with them
	Leaves string // by which trips parcels leave
	All    int    // tasks, shown or folded
	Late   int    // of them
	To     string
	Batch  string // word on the button for the ticked ones; "" = each task has its own
	Action string
	Turn   page.Link // ticks all of them, or none
	Papers []page.Link
	Tasks  []taskView
	Unused []taskView // of the shelf: what no parcel ever took of, in a fold of its own
	Folded string     // "and 240 more"; "" = all are shown
	Open   string     // where all of them are
	Pages  []page.Link
	Alone  bool // it is the one that is looked at
}

// Sheet reports a group that is laid out as pictures side by side.
func (g taskGroup) Sheet() bool { return g.Group == bench.SignPrints }

// heads are the heads of the groups and what is said beneath.
var heads = map[bench.Group][2]string{
	bench.ChaseMoney:  {"Money", "Note what came in."},
	bench.AskAddress:  {"Addresses", "Needed before they are packed."},
	bench.OrderSheets: {"Sheets", "From the lab, and who waits."},
	bench.SignPrints:  {"Sign", "The sheets lie in the drawer: check number, title and size."},
	bench.PackOrders:  {"Pack", "Layers from the inside out."},
	bench.LabelParcel: {"Label", "Note the service and the postage."},
	bench.HandOver:    {"Hand over", "To the operator, or in person."},
	bench.Claims:      {"Claims", "For parcels damaged or lost."},
	bench.Waits:       {"Waits", "As you said; in no plan until then."},
	bench.Restock:     {"Restock", "The shelf runs short."},
}

// arrange puts the tasks into groups with their forms.
func (p *BenchPage) arrange(fail *page.Failure) {
	p.Empty = true
	for _, g := range bench.Groups() {
		tasks := p.List.Groups[g]
		if len(tasks) == 0 {
			continue
		}
		p.Empty = false
		if g == bench.Restock { // what was never used comes last
			tasks = slices.Clone(tasks)
			slices.SortStableFunc(tasks, func(a, b bench.Task) int { return cmp.Compare(one(a.Unused), one(b.Unused)) })
		}
		tg := taskGroup{Group: g, Head: heads[g][0], Sum: sumOf(g, tasks), Note: heads[g][1], All: things(g, tasks), Leaves: p.List.LeavingAt(g), Alone: p.Look.Open == g, To: "#" + string(g)}
		for _, t := range tasks {
			tg.Late += one(t.Late > 0)
			if p.Look.Open == "" || p.Look.Open == g {
				p.Cautions = append(p.Cautions, t.Warnings...)
			}
		}
		if p.Look.Open == "" || tg.Alone {
			p.fill(&tg, tasks, fail)
		} else {
			tg.To = "/?open=" + string(g)
		}
		p.Groups = append(p.Groups, tg)
	}
	slices.Sort(p.Cautions)
	p.Cautions = slices.Compact(p.Cautions)
}

// things is how many there are to do in a group: of a claim several may be, which are done on its page.
func things(g bench.Group, tasks []bench.Task) int {
	if g != bench.Claims {
		return len(tasks)
	}
	of := map[int64]bool{}
	for _, t := range tasks {
		of[t.Claim] = true
	}
	return len(of)
}

func one(is bool) int {
	if is {
		return 1
	}
	return 0
}

// sumOf says beneath the head of a group what its rows come to.
func sumOf(g bench.Group, tasks []bench.Task) string {
	switch g {
	case bench.ChaseMoney:
		if owed := total(tasks, func(t bench.Task) money.Amount { return t.Owed }); !owed.IsZero() {
			return owed.String() + " owed."
		}
	case bench.PackOrders:
		if cost := total(tasks, func(t bench.Task) money.Amount { return t.Total }); !cost.IsZero() {
			if slices.ContainsFunc(tasks, func(t bench.Task) bool { return t.Blocked == "" && t.Postage.IsZero() }) {
				return cost.String() + " in all, not all postage counted."
			}
			return cost.String() + " in all, with postage."
		}
	default:
	}
	return ""
}

// total adds what is more than nothing; amounts of several currencies have no sum.
func total(tasks []bench.Task, of func(bench.Task) money.Amount) money.Amount {
	var sum money.Amount
	for _, t := range tasks {
		a := of(t)
		if a.Sign() <= 0 {
			continue
		}
		if sum.IsZero() {
			sum = a
			continue
		}
		var err error
		if sum, err = sum.Add(a); err != nil {
			return money.Amount{}
		}
	}
	return sum
}

// fill shows the rows of a group, and says what else there is of it.
func (p *BenchPage) fill(tg *taskGroup, tasks []bench.Task, fail *page.Failure) {
	rows := p.Look.window(tg.Group, tasks, fail)
	for _, i := range rows {
		v := p.view(tg.Group, i, tasks[i])
		if v.Form != nil {
			p.Put(v.Form, fail)
		}
		same := slices.IndexFunc(tg.Tasks, func(w taskView) bool { return v.Deed != "" && v.Deed == w.Deed })
		switch {
		case same >= 0:
			tg.Tasks[same].joins(v)
		case tasks[i].Unused:
			tg.Unused = append(tg.Unused, v)
		default:
			tg.Tasks = append(tg.Tasks, v)
		}
	}
	p.ticks(tg)
	switch tg.Group {
	case bench.SignPrints:
		tg.Papers = append([]page.Link{page.LinkTo("/papers/sign.pdf", "Sign list (PDF)")}, p.certificates()...)
	case bench.PackOrders, bench.Waits:
		tg.Papers = []page.Link{page.LinkTo("/ahead", "The days ahead")}
		if tg.Group == bench.PackOrders && len(p.List.Groups[bench.SignPrints]) == 0 { // all are signed
			tg.Papers = append(tg.Papers, p.certificates()...)
		}
	case bench.HandOver:
		tg.Papers = []page.Link{page.LinkTo("/hand-over", "Hand-overs")}
	default:
	}
	if hidden := len(tasks) - len(rows); hidden > 0 && !tg.Alone {
		tg.Folded, tg.Open = fmt.Sprintf("and %d more", hidden), "/?open="+string(tg.Group)
	}
	if tg.Alone {
		p.pages(tg, len(tasks))
	}
}

// certificates leads to where what was signed today is certified.
func (p *BenchPage) certificates() []page.Link {
	if p.Day != p.Today {
		return nil
	}
	var out []page.Link
	for _, s := range p.List.Signed {
		out = append(out, page.LinkTo(fmt.Sprintf("/editions/%d/certificates", s.Edition), fmt.Sprintf("Certificates of %s: %d signed today", s.Name, s.Prints)))
	}
	return out
}

// ticks lays out what is done to the ticked rows of a group at once.
func (p *BenchPage) ticks(tg *taskGroup) {
	if !slices.ContainsFunc(tg.Tasks, func(v taskView) bool { return v.Pick != "" }) {
		return
	}
	switch tg.Group {
	case bench.SignPrints:
		tg.Batch, tg.Action = "The ticked ones are signed", "/sign"
	case bench.HandOver:
		tg.Batch, tg.Action = "Hand over the ticked ones", "/hand-over"
	default:
		return
	}
	all := slices.ContainsFunc(tg.Tasks, func(v taskView) bool { return v.Picked })
	tg.Turn = page.LinkTo(p.Look.with("turn", string(tg.Group)), "Tick all")
	if p.Look.Turn == tg.Group {
		tg.Turn.To = "/" + p.Look.query
	}
	if all {
		tg.Turn.Text = "Untick all"
	}
	tg.Turn.To += "#" + string(tg.Group)
}

// pages leads through a group that is longer than a page.
func (p *BenchPage) pages(tg *taskGroup, all int) {
	for from := 1; from <= all && all > openRows; from += openRows {
		to := fmt.Sprintf("/?open=%s&from=%d", tg.Group, from)
		if from == p.Look.From {
			to = ""
		}
		tg.Pages = append(tg.Pages, page.LinkTo(to, fmt.Sprintf("%d to %d", from, min(from+openRows-1, all))))
	}
}
