package earnings

import (
	"encoding/csv"
	"fmt"
	"net/http"
	"strconv"

	"solander/dues"
	"solander/earned"
	"solander/earnings"
	"solander/fault"
	"solander/money"
	"solander/web/form"
)

// CSV gives one of the tables as a file (RFC 4180): table=figures, below, months, outlets, postage, stock, sold, owed, or with edition= steps.
func (f *Earnings) CSV(w http.ResponseWriter, r *http.Request) error {
	fr, err := f.Frame(r, "earnings", "Earnings")
	if err != nil {
		return err
	}
	a, _, err := askOf(r, fr.Today)
	if err != nil {
		return err
	}
	name := r.URL.Query().Get("table")
	rows, err := f.table(r, a, name)
	if err != nil {
		return err
	}
	w.Header().Set("Content-Type", "text/csv; charset=utf-8; header=present")
	w.Header().Set("Content-Disposition", fmt.Sprintf("attachment; filename=%q", "earnings-"+name+".csv"))
	out := csv.NewWriter(w)
	out.UseCRLF = true
	return out.WriteAll(rows)
}

func (f *Earnings) table(r *http.Request, a asked, name string) ([][]string, error) {
	switch name {
	case "figures", "below":
		got, err := earned.Get(r.Context(), f.Seen(r), a.Ask)
		if err != nil {
			return nil, err
		}
		if name == "figures" {
			return figureRows(got), nil
		}
		return belowRows(got), nil
	case "sold":
		all, err := earned.Through(r.Context(), f.Seen(r))
		if err != nil {
			return nil, err
		}
		x := sellThrough(all)
		return append([][]string{x.Heads}, x.Rows...), nil
	}
	if name == "steps" {
		return f.courseRows(r)
	}
	if name == "owed" {
		owed, err := dues.Owed(r.Context(), f.Seen(r))
		if err != nil {
			return nil, err
		}
		x := owedPlot(owed)
		return append([][]string{append(x.Heads, "Currency")}, with(x.Rows, owed.Owed.Currency)...), nil
	}
	months, err := earned.ByMonth(r.Context(), f.Seen(r), a.Ask)
	if err != nil {
		return nil, err
	}
	for _, x := range plotsOf(months) {
		if x.CSV == name {
			return append([][]string{append(x.Heads, "Currency")}, with(x.Rows, months.Currency)...), nil
		}
	}
	return nil, fault.New(fault.Missing, "there is no table %.20q", name).ToMend("use figures, below, months, outlets, postage, stock, sold or owed, or steps with an edition")
}

// courseRows are what an edition brought from sale to sale.
func (f *Earnings) courseRows(r *http.Request) ([][]string, error) {
	id, err := strconv.ParseInt(r.URL.Query().Get("edition"), 10, 64)
	if err != nil {
		return nil, fault.Invalidf("edition", "there is no edition %.20q", r.URL.Query().Get("edition")).ToMend("give its id")
	}
	got, err := earned.PricesOf(r.Context(), f.Seen(r), id, earned.If{})
	if err != nil {
		return nil, err
	}
	out := [][]string{append(stepsPlot(got).Heads, "Currency")}
	for _, x := range got.Course() {
		out = append(out, append(courseRow(x), x.Income.Currency))
	}
	return out, nil
}

func with(rows [][]string, last string) [][]string {
	out := make([][]string, len(rows))
	for i, r := range rows {
		out[i] = append(r[:len(r):len(r)], last)
	}
	return out
}

// heads are those of a table of groups: every part by itself, known and estimated.
func heads(first ...string) []string {
	out := append(first, "Prints", "Currency", "Income", "Costs", "Left", "Left estimated")
	for _, p := range earnings.Parts() {
		out = append(out, p.Words())
	}
	return out
}

func groupRow(g earnings.Group, first ...string) []string {
	out := append(first, strconv.Itoa(g.Prints), g.Currency, plain(g.Income().Both(), g.Currency), plain(g.Costs().Both(), g.Currency), plain(g.Left().Both(), g.Currency), plain(g.Left().Estimated, g.Currency))
	for _, p := range earnings.Parts() {
		out = append(out, money.Of(g.Of(p).Both(), g.Currency).Plain())
	}
	return out
}

func figureRows(got earned.Figures) [][]string {
	out := [][]string{heads(form.Upper(string(got.By)))}
	for _, r := range got.Rows {
		out = append(out, groupRow(r.Group, r.Name))
	}
	return append(out, groupRow(got.Total, "All"))
}

func belowRows(got earned.Figures) [][]string {
	out := [][]string{heads("Order")}
	for _, b := range got.Below {
		out = append(out, groupRow(b.Group, b.Mark))
	}
	return out
}
