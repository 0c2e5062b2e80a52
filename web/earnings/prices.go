package earnings

import (
	"fmt"
	"math"
	"net/http"
	"net/url"
	"strconv"
	"strings"

	"solander/earned"
	"solander/earnings"
	"solander/edition"
	"solander/fault"
	"solander/money"
	"solander/web/form"
	"solander/web/page"
	"solander/web/plot"
)

// PricesPage lists the editions with how far they are sold.
type PricesPage struct {
	page.Frame
	Editions []earned.SellThrough
	Sold     Figure
}

// mostCourses is how many editions are drawn in one plot.
const mostCourses = 6

// Prices lists limited editions of which something was sold.
func (f *Earnings) Prices(w http.ResponseWriter, r *http.Request) error {
	fr, err := f.Frame(r, "earnings", "Prices and how far editions are sold")
	if err != nil {
		return err
	}
	p := &PricesPage{Frame: fr}
	if err := f.HangAll(r, &p.Frame); err != nil {
		return err
	}
	if p.Editions, err = f.kept.through(r.Context(), f.Seen(r), fr.Today); err != nil {
		return err
	}
	p.Sold = sellThrough(p.Editions[:min(mostCourses, len(p.Editions))])
	return f.Show(w, r, http.StatusOK, "earningsprices", p)
}

// EditionPricesPage is the price steps of an edition: what they earned, and what others would bring.
type EditionPricesPage struct {
	page.Frame
	Name     string
	Link     string
	Edition  edition.Edition
	Steps    []stepLine
	Sold     int
	Income   string
	Flat     string
	More     string // or less
	CSV      string // the address of the file of its plot, but for its name
	Outcomes []outcomeLine
	Try      *form.Form
	Plot     Figure
	Runs     []earned.RunEven
	Pace     string
}

type stepLine struct {
	From          int
	Price, Income string
	Sold, Days    int
}

// outcomeLine is what prices would still bring.
type outcomeLine struct {
	Name   string
	Left   int
	Income money.Amount
	Time   string
}

// timeOf says how long it takes, with its band.
func timeOf(o earnings.Outcome) string {
	if o.Left == 0 {
		return "all are sold"
	}
	if !o.Known {
		return "too little was sold to say"
	}
	if o.Sooner > 365*60 {
		return "more than 60 years"
	}
	return fmt.Sprintf("%s; in 8 of 10 cases %s to %s", spell(o.Days), spell(o.Sooner), spell(o.Later))
}

// spell says a number of days as people do.
func spell(days float64) string {
	switch n := int(math.Round(days)); {
	case days > 365*60:
		return "more than 60 years"
	case n < 90:
		return fault.Count(max(n, 1), "day")
	case n < 730:
		return fault.Count(int(math.Round(days/30.4375)), "month")
	}
	return fmt.Sprintf("%.1f years", days/365.25)
}

// EditionPrices shows what the price steps of an edition earned, and tries others, which the address says.
func (f *Earnings) EditionPrices(w http.ResponseWriter, r *http.Request) error {
	id, err := page.PathID(r, "edition")
	if err != nil {
		return err
	}
	got, err := earned.PricesOf(r.Context(), f.Seen(r), id, earned.If{})
	if err != nil {
		return err
	}
	set := page.Settings(r)
	fr, err := f.Frame(r, "earnings", "Prices: "+got.Edition.Name(set.Units))
	if err != nil {
		return err
	}
	if err := f.Hang(r, &fr, got.Edition.Work); err != nil {
		return err
	}
	fm, in, wrong := ifOf(r.URL.Query(), id, got, set.Currency)
	status := http.StatusOK
	if wrong == nil && len(in.Steps) > 0 {
		var tried earned.Prices
		if tried, wrong = earned.PricesOf(r.Context(), f.Seen(r), id, in); wrong == nil {
			got = tried
		}
	}
	p := &EditionPricesPage{Frame: fr, Name: got.Edition.Name(set.Units), Link: fmt.Sprintf("/editions/%d", id), Edition: got.Edition, Try: fm, CSV: fmt.Sprintf("/earnings.csv?edition=%d&table=", id)}
	if wrong != nil {
		if page.Ours(wrong) {
			return wrong
		}
		p.Links, status = fm.Blame(wrong), http.StatusUnprocessableEntity
	}
	p.fill(got)
	return f.Show(w, r, status, "earningsedition", p)
}

func (p *EditionPricesPage) fill(got earned.Prices) {
	p.Sold, p.Income, p.Flat, p.More, p.Runs = got.Earned.Sold, got.Earned.Income.String(), got.Earned.Flat.String(), got.ByTheSteps(), got.Runs
	for _, s := range got.Earned.Steps {
		p.Steps = append(p.Steps, stepLine{s.FromSold, s.Price.String(), money.Of(s.Income.Minor, s.Price.Currency).String(), s.Sold, s.Days})
	}
	if got.Days > 0 {
		p.Pace = fmt.Sprintf("%s in the last %s", fault.Count(got.Seen, "print"), fault.Count(got.Days, "day"))
	}
	add := func(name string, o *earnings.Outcome) {
		if o != nil {
			p.Outcomes = append(p.Outcomes, outcomeLine{name, o.Left, o.Income, timeOf(*o)})
		}
	}
	add("As they stand", got.Stands)
	add("All at today’s price, "+got.Now.String(), got.Flat)
	add("As supposed below", got.If)
	p.Plot = stepsPlot(got)
}

// stepsPlot draws what was taken against one price for all.
func stepsPlot(got earned.Prices) Figure {
	f := Figure{ID: "taken", Title: "Taken by the steps, and at the first price", CSV: "steps", Says: "By prints sold.", Heads: []string{"Prints sold", "Up to", "Taken", "At the first price"}}
	course := got.Course()
	taken, flat := plot.Course{Name: "as sold"}, plot.Course{Name: "all at the first price"}
	taken.Points, flat.Points = append(taken.Points, plot.Point{}), append(flat.Points, plot.Point{})
	for i, x := range course {
		n := int64(x.Sold)
		taken.Points, flat.Points = append(taken.Points, plot.Point{X: n, Y: x.Income.Minor}), append(flat.Points, plot.Point{X: n, Y: x.Flat.Minor})
		if every := 1 + len(course)/mostRows; i%every == 0 || i == len(course)-1 {
			f.Rows = append(f.Rows, courseRow(x))
		}
	}
	if len(course) > mostRows {
		f.Says = "By prints sold; of many days the table has some, the file all."
	}
	f.Plot = plot.OfLines("What was taken, by prints sold", []plot.Course{taken, flat}, func(n int64) string { return fault.Count(int(n), "print") }, writes(got.Steps[0].Price.Currency))
	return f
}

// mostRows is how many days a table of sales has.
const mostRows = 60

func courseRow(x earned.Taken) []string {
	return []string{strconv.Itoa(x.Sold), x.Day.String(), x.Income.Plain(), x.Flat.Plain()}
}

// tryRows is for how many steps there is room in the form.
const tryRows = 5

// ifOf reads what is supposed from the address; the form shows the steps that stand, until others are typed.
func ifOf(q url.Values, id int64, got earned.Prices, currency string) (*form.Form, earned.If, error) {
	var in earned.If
	fm := form.New("try", "/earnings/prices/"+strconv.FormatInt(id, 10))
	if got.Edition.Open() {
		return nil, in, nil
	}
	asked := q.Get("steps[0].price") != ""
	n := max(tryRows, len(got.Steps)+1)
	for i := range min(n, earnings.MostSteps) {
		at := fmt.Sprintf("steps[%d].", i)
		var s earnings.Step
		if i < len(got.Steps) {
			s = got.Steps[i]
		}
		fm.When(func() bool { return fm.Typed(at + "price") }, func() {
			fm.Whole(at+"from_sold", "Once so many are sold", &s.FromSold)
			price := fm.Amount(at+"price", "the price is", &s.Price, currency)
			if s.Price.IsZero() {
				price.Is("")
				fm.Find(at + "from_sold").Is("")
			}
			fm.Then(func(*fault.List) { in.Steps = append(in.Steps, s) })
		})
	}
	fewer := fm.Bind("fewer", "For each tenth more in price, fewer buy by", "0", func(typed string) error {
		n, err := strconv.ParseFloat(strings.TrimSuffix(strings.ReplaceAll(strings.TrimSpace(typed+" "), ",", "."), "%"), 64)
		if typed == "" {
			n, err = 0, nil
		}
		if err != nil || n < 0 || n >= 100 {
			return fault.New(fault.Invalid, "%.20q is not a share of buyers", typed).ToMend("give per cent from 0 to 99")
		}
		in.Fewer = int(math.Round(n * 10))
		return nil
	})
	fewer.WithMode("decimal").WithHint("per cent; nobody knows it: suppose")
	if !asked {
		return fm, earned.If{}, nil
	}
	err := fm.Take(q)
	return fm, in, err
}
