package earnings

import (
	"fmt"

	"solander/calendar"
	"solander/earned"
	"solander/earnings"
	"solander/money"
	"solander/owing"
	"solander/web/plot"
)

// Figure is a plot with the table of the same figures.
type Figure struct {
	ID, Title, Says string
	Plot            *plot.Plot
	Heads           []string
	Rows            [][]string
	CSV             string // its name among the tables
}

// writes says amounts of a currency.
func writes(currency string) func(int64) string {
	return func(n int64) string { return money.Of(n, currency).String() }
}

func plain(n int64, currency string) string { return money.Of(n, currency).Plain() }

// monthWords is "Apr 2031" of "2031-04".
func monthWords(m string) string {
	d, err := calendar.ParseDay(m + "-01")
	if err != nil {
		return m
	}
	y, month, _ := d.Civil()
	return fmt.Sprintf("%s %d", month.String()[:3], y)
}

// plotsOf are the plots of the months.
func plotsOf(m earned.Months) []Figure {
	months := make([]string, len(m.Months))
	for i, g := range m.Months {
		months[i] = monthWords(g.Key)
	}
	return []Figure{earningPlot(m, months), outletPlot(m), postagePlot(m, months), stockPlot(m, months)}
}

// values are a figure of each group.
func values(groups []earnings.Group, of func(earnings.Group) earnings.Sum) []plot.Value {
	var out []plot.Value
	for _, g := range groups {
		s := of(g)
		out = append(out, plot.Value{Known: s.Known, Estimated: s.Estimated})
	}
	return out
}

func earningPlot(m earned.Months, months []string) Figure {
	f := Figure{ID: "by-month", Title: "Income and what is left, by month", CSV: "months", Says: "A print counts in the month in which it left the house.", Heads: []string{"Month", "Income", "Costs", "Left", "of it"}}
	f.Plot = plot.OfBars("Income and what is left, month by month", months, []plot.Series{
		{Name: "income", Values: values(m.Months, earnings.Group.Income)}, {Name: "left", Values: values(m.Months, earnings.Group.Left)},
	}, writes(m.Currency))
	for i, g := range m.Months {
		f.Rows = append(f.Rows, []string{months[i], plain(g.Income().Both(), m.Currency), plain(g.Costs().Both(), m.Currency), plain(g.Left().Both(), m.Currency), percent(g)})
	}
	return f
}

func outletPlot(m earned.Months) Figure {
	f := Figure{ID: "by-outlet", Title: "Income and what is left, by outlet", CSV: "outlets", Heads: []string{"Outlet", "Income", "Costs", "Left", "of it"}}
	var names []string
	var groups []earnings.Group
	for _, r := range m.Outlets {
		names, groups = append(names, r.Name), append(groups, r.Group)
		f.Rows = append(f.Rows, []string{r.Name, plain(r.Income().Both(), m.Currency), plain(r.Costs().Both(), m.Currency), plain(r.Left().Both(), m.Currency), percent(r.Group)})
	}
	f.Plot = plot.OfBars("Income and what is left, outlet by outlet", names, []plot.Series{
		{Name: "income", Values: values(groups, earnings.Group.Income)}, {Name: "left", Values: values(groups, earnings.Group.Left)},
	}, writes(m.Currency))
	return f
}

// negated is a cost as it was paid: more than nothing.
func negated(p earnings.Part) func(earnings.Group) earnings.Sum {
	return func(g earnings.Group) earnings.Sum {
		s := g.Of(p)
		return earnings.Sum{Part: p, Known: -s.Known, Estimated: -s.Estimated}
	}
}

func postagePlot(m earned.Months, months []string) Figure {
	f := Figure{ID: "postage", Title: "Postage charged against paid", CSV: "postage", Says: "Where prices include postage, nothing is charged for it beside them.", Heads: []string{"Month", "Charged", "Paid", "Borne by you"}}
	charged := func(g earnings.Group) earnings.Sum { return g.Of(earnings.Charged) }
	f.Plot = plot.OfBars("Postage charged to buyers and postage paid, month by month", months, []plot.Series{
		{Name: "charged", Values: values(m.Months, charged)}, {Name: "paid", Values: values(m.Months, negated(earnings.Postage))},
	}, writes(m.Currency))
	for i, g := range m.Months {
		in, out := charged(g).Both(), negated(earnings.Postage)(g).Both()
		f.Rows = append(f.Rows, []string{months[i], plain(in, m.Currency), plain(out, m.Currency), plain(out-in, m.Currency)})
	}
	return f
}

func stockPlot(m earned.Months, months []string) Figure {
	f := Figure{ID: "stock", Title: "What lies in the house, at cost", CSV: "stock", Says: "At the end of each month: sheets, prints with galleries, packaging.", Heads: []string{"Month", "Sheets", "With galleries", "Packaging", "Together"}}
	var sheets, supplies []plot.Value
	for i, v := range m.Stock {
		sheets = append(sheets, plot.Value{Known: v.Sheets + v.Consigned})
		supplies = append(supplies, plot.Value{Known: v.Supplies})
		f.Rows = append(f.Rows, []string{months[i], plain(v.Sheets, m.Currency), plain(v.Consigned, m.Currency), plain(v.Supplies, m.Currency), plain(v.Sum(), m.Currency)})
	}
	f.Plot = plot.OfBars("What sheets and packaging in the house cost, month by month", months, []plot.Series{{Name: "sheets", Values: sheets}, {Name: "packaging", Values: supplies}}, writes(m.Currency))
	return f
}

// sellThrough draws how far editions are sold, from the first sale of each on.
func sellThrough(rows []earned.SellThrough) Figure {
	f := Figure{ID: "sold", Title: "How far they are sold", CSV: "sold", Says: "In per cent of the numbers, by days since the first sale of each.", Heads: []string{"Edition", "Numbers", "Sold", "of them", "Since", "Days"}}
	var courses []plot.Course
	for _, x := range rows {
		c := plot.Course{Name: x.Name}
		c.Points = append(c.Points, plot.Point{})
		for _, at := range x.Points {
			c.Points = append(c.Points, plot.Point{X: int64(at.Day), Y: int64(at.Sold) * 1000 / int64(x.Limit)})
		}
		courses = append(courses, c)
		f.Rows = append(f.Rows, []string{x.Name, fmt.Sprint(x.Limit), fmt.Sprint(x.Sold), money.PerCent(int64(x.Sold)*1000/int64(x.Limit)) + " %", x.First.Long(), fmt.Sprint(x.Days)})
	}
	f.Plot = plot.OfLines("Share of the numbers sold, by days since the first sale", courses, func(n int64) string { return fmt.Sprintf("day %d", n) }, func(n int64) string { return money.PerCent(n) + " %" })
	return f
}

// owedPlot draws what buyers owe by its age.
func owedPlot(a owing.Ageing) Figure {
	currency := a.Owed.Currency
	f := Figure{ID: "owed", Title: "Money owed, by age", CSV: "owed", Says: "Days count from the sale; today, whatever time is shown above.", Heads: []string{"What"}}
	var places []string
	for _, s := range a.Spans {
		places = append(places, s.Words())
	}
	f.Heads = append(append(f.Heads, places...), "In all")
	var series []plot.Series
	for _, r := range a.Rows {
		row, bars := []string{r.Kind.Words()}, plot.Series{Name: r.Kind.Words()}
		for _, x := range r.Spans {
			row, bars.Values = append(row, x.Plain()), append(bars.Values, plot.Value{Known: x.Minor})
		}
		f.Rows, series = append(f.Rows, append(row, r.Sum.Plain())), append(series, bars)
	}
	f.Plot = plot.OfBars("Money owed by the days since the sale", places, series, writes(currency))
	return f
}
