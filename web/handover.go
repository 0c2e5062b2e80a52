package web

import (
	"fmt"
	"net/http"
	"slices"
	"strconv"

	"solander/bench"
	"solander/calendar"
	"solander/money"
	"solander/studio"
)

// handOverPage is what is ready to be handed over, and what was.
type handOverPage struct {
	frame
	Ready []readyParcel
	Form  *form
	Past  []studio.HandOver
	Older bool // there are more than are shown

	Cautions []string // of the plans of the parcels that are ready
}

// latestHandOvers is how many are listed until all are asked for.
const latestHandOvers = 20

// readyParcel is a labelled parcel, or one that is held back.
type readyParcel struct {
	bench.Task
	Picked bool
}

func handOverForm(today calendar.Day) *form {
	fm := newForm("handover", "/hand-over")
	fm.ask("day", "Day").day(today)
	fm.ask("note", "Note").hint("where, or to whom")
	return fm
}

func (f *face) handOvers(w http.ResponseWriter, r *http.Request) error {
	return f.showHandOvers(w, r, nil)
}

func (f *face) showHandOvers(w http.ResponseWriter, r *http.Request, fail *failure) error {
	fr, err := f.frame(r, "hand-over", "Hand-over")
	if err != nil {
		return err
	}
	list, err := f.studio.Bench(r.Context(), calendar.Day{})
	if err != nil {
		return err
	}
	p := &handOverPage{frame: fr}
	p.tell(fail)
	for _, t := range list.Groups[bench.HandOver] {
		if t.Parcel != 0 {
			p.Ready = append(p.Ready, readyParcel{t, t.Blocked == ""})
			p.Cautions = append(p.Cautions, t.Warnings...)
		}
	}
	slices.Sort(p.Cautions)
	p.Cautions = slices.Compact(p.Cautions)
	p.Form = p.put(handOverForm(fr.Today), fail)
	if p.Past, err = f.studio.HandOvers(r.Context()); err != nil {
		return err
	}
	if len(p.Past) > latestHandOvers && r.URL.Query().Get("past") != "all" {
		p.Past, p.Older = p.Past[:latestHandOvers], true
	}
	return f.show(w, r, statusOf(fail), "handovers", p)
}

// handOver gives the ticked parcels to the carrier. An untouched tick list must never mean "all": a form
// without any tick is refused here.
func (f *face) handOver(w http.ResponseWriter, r *http.Request) error {
	fm := handOverForm(calendar.Day{})
	fm.read(r.PostForm)
	rd := fm.reader()
	in := studio.HandOverIn{Day: rd.day("day"), Note: rd.text("note")}
	parcels, err := ids(r, "parcels")
	rd.Add(err)
	rd.Check(err != nil || len(parcels) > 0, "parcels", "no parcel is ticked", "tick what goes out")
	in.Parcels = parcels
	var done studio.HandOver
	if err = rd.Err(); err == nil {
		done, err = f.studio.HandOver(r.Context(), in)
	}
	atBench := r.PostForm.Get("back") == "bench"
	switch {
	case err == nil && atBench:
		return f.done(w, r, "/")
	case err == nil:
		return f.done(w, r, "/hand-overs/"+strconv.FormatInt(done.ID, 10))
	case ours(err):
		return err
	case atBench:
		return f.showBench(w, r, failed(fm, r, err))
	}
	return f.showHandOvers(w, r, failed(fm, r, err))
}

// handOverDetailPage is one batch.
type handOverDetailPage struct {
	frame
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

func (f *face) handOverDetail(w http.ResponseWriter, r *http.Request) error {
	id, err := pathID(r, "handover")
	if err != nil {
		return err
	}
	h, parcels, orders, err := f.studio.HandOverDetail(r.Context(), id)
	if err != nil {
		return err
	}
	fr, err := f.frame(r, "hand-over", fmt.Sprintf("Hand-over of %s", h.Day.Long()))
	if err != nil {
		return err
	}
	services, err := f.studio.ServiceNames(r.Context(), parcels)
	if err != nil {
		return err
	}
	p := &handOverDetailPage{frame: fr, HandOver: h}
	if p.Total, err = studio.PostagePaid(parcels); err != nil {
		return err
	}
	for _, pc := range parcels {
		row := handedRow{Parcel: pc, By: services[pc.ID]}
		for _, o := range orders {
			if o.ID == pc.Order {
				row.Mark, row.Buyer, row.To = o.Mark, o.BuyerData.Name, o.ShipTo.City+" "+o.ShipTo.Country
				row.Others = pc.With(o.Mark)
			}
		}
		p.Rows = append(p.Rows, row)
	}
	return f.show(w, r, http.StatusOK, "handover", p)
}
