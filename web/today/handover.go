package today

import (
	"fmt"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"solander/bench"
	"solander/calendar"
	"solander/daybench"
	"solander/dispatch"
	"solander/fault"
	"solander/money"
	"solander/planning"
	"solander/studio"
	"solander/web/form"
	"solander/web/page"
)

// HandOverPage is what is ready to be handed over, and what was.
type HandOverPage struct {
	page.Frame
	Ready []readyParcel
	Form  *form.Form
	Past  []studio.HandOver
	Older bool // there are more than are shown

	Leaves   string   // by which trips they go
	Cautions []string // of the plans of the parcels that are ready
}

// latestHandOvers is how many are listed until all are asked for.
const latestHandOvers = 20

// readyParcel is a labelled parcel, or one that is held back.
type readyParcel struct {
	bench.Task
	Picked bool
}

func handOverForm(in *dispatch.HandOverIn) *form.Form {
	fm := form.New("handover", "/hand-over")
	fm.Day("day", "Day", &in.Day)
	fm.Text("note", "Note", &in.Note).WithHint("where, or to whom")
	return fm
}

func (f *Bench) HandOvers(w http.ResponseWriter, r *http.Request, fail *page.Failure) error {
	fr, err := f.Frame(r, "hand-over", "Hand-over")
	if err != nil {
		return err
	}
	plan, _, err := daybench.Later(r.Context(), f.Seen(r), calendar.Day{})
	if err != nil {
		return err
	}
	p := &HandOverPage{Frame: fr}
	p.Tell(fail)
	p.Form = p.Put(handOverForm(&dispatch.HandOverIn{Day: fr.Today}), fail)
	if p.Past, err = dispatch.HandOvers(r.Context(), f.Seen(r)); err != nil {
		return err
	}
	if len(p.Past) > latestHandOvers && r.URL.Query().Get("past") != "all" {
		p.Past, p.Older = p.Past[:latestHandOvers], true
	}
	return page.After(w, r, func(w http.ResponseWriter) error {
		list, err := plan(r.Context())
		if err != nil {
			return err
		}
		p.ready(list)
		return f.Show(w, r, page.StatusOf(fail), "handovers", p)
	})
}

// ready lists the parcels that may go.
func (p *HandOverPage) ready(list bench.List) {
	p.Leaves = list.LeavingAt(bench.HandOver)
	if p.Leaves != "" && len(list.Groups[bench.PackOrders])+len(list.Groups[bench.LabelParcel]) > 0 {
		p.Leaves += "; with those still to pack or label" // it counts more parcels than stand on this page
	}
	for _, t := range list.Groups[bench.HandOver] {
		if t.Parcel != 0 {
			p.Ready = append(p.Ready, readyParcel{t, t.Blocked == "" && !t.Stays()})
			p.Cautions = append(p.Cautions, t.Warnings...)
		}
	}
	slices.Sort(p.Cautions)
	p.Cautions = slices.Compact(p.Cautions)
}

// HandOver gives the ticked parcels to the operator. An untouched tick list must never mean "all": a form
// without any tick is refused here.
func (f *Bench) HandOver(w http.ResponseWriter, r *http.Request) error {
	var in dispatch.HandOverIn
	fm := handOverForm(&in)
	fm.Then(func(l *fault.List) {
		var err error
		in.Parcels, err = page.IDs(r, "parcels")
		l.Add(err)
		l.Check(err != nil || len(in.Parcels) > 0, "parcels", "no parcel is ticked", "tick what goes out")
	})
	var done studio.HandOver
	err := fm.Take(r.PostForm)
	if err == nil {
		done, err = dispatch.HandOver(r.Context(), f.Studio, in)
	}
	bench := page.BackToBench(r)
	switch {
	case err == nil && bench != "":
		return f.Done(w, r, bench)
	case err == nil && strings.HasPrefix(r.PostForm.Get("back"), "/orders/"):
		return f.Done(w, r, ownPath(r.PostForm.Get("back")))
	case err == nil:
		return f.Done(w, r, "/hand-overs/"+strconv.FormatInt(done.ID, 10))
	case bench != "":
		return f.ShowAgain(w, r, fm.Name, err, f.ShowBench)
	}
	return f.ShowAgain(w, r, fm.Name, err, f.HandOvers)
}

// HandOverDetailPage is one batch.
type HandOverDetailPage struct {
	page.Frame
	HandOver studio.HandOver
	Rows     []handedRow
	Total    money.Amount
}

// handedRow is one parcel of a batch.
type handedRow struct {
	studio.Parcel
	Mark, Buyer, To string
	Others          []string // marks of the other orders in it
	By              string   // the service, as its card names it
}

func (f *Bench) HandOverDetail(w http.ResponseWriter, r *http.Request, id int64) error {
	h, parcels, orders, err := dispatch.HandOverDetail(r.Context(), f.Seen(r), id)
	if err != nil {
		return err
	}
	fr, err := f.Frame(r, "hand-over", fmt.Sprintf("Hand-over of %s", h.Day.Long()))
	if err != nil {
		return err
	}
	services, err := planning.ServiceNames(r.Context(), f.Seen(r), parcels)
	if err != nil {
		return err
	}
	p := &HandOverDetailPage{Frame: fr, HandOver: h}
	if p.Total, err = planning.PostagePaid(parcels); err != nil {
		return err
	}
	for _, pc := range parcels {
		row := handedRow{Parcel: pc, By: services[pc.ID]}
		for _, o := range orders {
			if o.ID == pc.Order {
				row.Mark, row.Buyer, row.To = o.Mark, o.BuyerData.Name, o.ShipTo.City+", "+o.ShipTo.Country
				row.Others = pc.With(o.Mark)
			}
		}
		p.Rows = append(p.Rows, row)
	}
	return f.Show(w, r, http.StatusOK, "handover", p)
}
