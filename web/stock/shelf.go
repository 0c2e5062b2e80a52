package stock

import (
	"cmp"
	"fmt"
	"net/http"
	"strconv"
	"strings"
	"unicode"

	"solander/fault"
	"solander/measure"
	"solander/money"
	"solander/packing"
	"solander/stockroom"
	"solander/studio"
	"solander/supply"
	"solander/web/form"
	"solander/web/page"
	"solander/web/today"
)

// itemForm asks for one kind of packaging; the rest of it stays. Field names are those of its faults.
func itemForm(it *studio.ShelfItem, u measure.System, cur string) *form.Form {
	to := "/shelf"
	if it.ID != 0 {
		to = fmt.Sprintf("/shelf/%d", it.ID)
	}
	s := &it.Spec
	fm := form.New("item", to)
	var kinds []form.Choice
	for _, k := range packing.Kinds() {
		kinds = append(kinds, form.Pick(string(k), string(k)))
	}
	form.Select(fm, "spec.kind", "Kind", &s.Kind, kinds...).Must()
	fm.Text("spec.name", "Name", &s.Name).Must()
	fm.Text("spec.id", "Key", &s.ID).WithHint("in wraps and plans; empty: made from the name")
	fm.Then(func(*fault.List) { s.ID = cmp.Or(s.ID, keyOfName(s.Name)) })
	fm.Length("spec.width", "Inner width", &s.Width, u).WithHint("not of a tube")
	fm.Length("spec.height", "Inner height", &s.Height, u).WithHint("not of a tube")
	fm.Length("spec.length", "Inner length", &s.Length, u).WithHint("of a tube or a carton")
	fm.Length("spec.diameter", "Inner diameter", &s.Diameter, u).WithHint("of a tube")
	fm.Length("spec.wall", "Thickness of one wall", &s.Wall, u).WithHint("film, face or board")
	fm.Length("spec.thickest", "Thickest contents", &s.Thickest, u).WithHint("sleeve or envelope; empty: any")
	fm.Mass("spec.mass", "Weight of one", &s.Mass, u).WithHint("such as 2.4 oz or 68 g").Must()
	fm.Minor("spec.cost", "Cost of one", &s.Cost, cur).Must()
	fm.Text("spec.note", "Note", &s.Note)
	fm.Tick("spec.stiff", "Stiff: makes the parcel stiff", &s.Stiff).Half()
	fm.Tick("spec.soft", "Soft: thick contents take of its width", &s.Soft).Half()
	fm.Tick("spec.cornered", "A tube with corners, not round", &s.Cornered).Half()
	askCuts(fm, s, u)
	fm.Text("spec.issued_for", "Issued for the class", &s.IssuedFor).WithHint("free cartons of an operator: the only class they may go by")
	fm.Whole("reorder_at", "Restock when so many are left", &it.ReorderAt)
	it.Pack = max(1, it.Pack)
	fm.Whole("pack", "Pieces in a supplier's pack", &it.Pack)
	fm.Whole("coming", "Pieces ordered", &it.Coming).WithHint("0: none are on the way")
	fm.Day("expected", "Expected", &it.Expected).WithHint("the days ahead count on them from that day")
	if it.ID == 0 {
		fm.Whole("stock", "On hand now", &it.Stock)
	} else {
		fm.Tick("retired", "No longer used", &it.Retired).Wide()
	}
	return fm.Sealed()
}

// askCuts asks how far packaging may be cut; what says nothing is never cut.
func askCuts(fm *form.Form, s *packing.Item, u measure.System) {
	var cut packing.Cut
	if s.Cut != nil {
		cut = *s.Cut
	}
	fm.Length("spec.cut.shortest", "May be cut down to", &cut.Shortest, u).WithHint("tube or carton; empty: never cut").Class = "start"
	fm.Length("spec.cut.step", "in steps of", &cut.Step, u).WithHint("how exactly it can be cut")
	var base packing.CutBase
	if s.CutBase != nil {
		base = *s.CutBase
	}
	fm.Length("spec.cut_base.shortest_length", "Inner length may be cut to", &base.ShortestLength, u).WithHint("carton; empty: never cut").Class = "start"
	fm.Length("spec.cut_base.shortest_width", "Inner width may be cut to", &base.ShortestWidth, u).WithHint("carton; empty: never cut")
	fm.Length("spec.cut_base.step", "both in steps of", &base.Step, u).WithHint("how exactly they can be cut")
	fm.Then(func(*fault.List) {
		if s.Cut = nil; cut != (packing.Cut{}) {
			s.Cut = &cut
		}
		if s.CutBase = nil; base != (packing.CutBase{}) {
			s.CutBase = &base
		}
	})
}

// keyOfName makes a key of a name: "stiff envelope 11 × 14 in" is stiff-envelope-11-14-in.
func keyOfName(name string) string {
	return strings.Join(strings.FieldsFunc(strings.ToLower(name), func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) && r != '.' }), "-")
}

const itemWords = "Give inner sizes, such as 12 1/2 in or 318 mm; a number alone is in the studio's own unit. Which sizes a kind needs stands beside each field."

func (f *Drawer) NewItem(w http.ResponseWriter, r *http.Request, fail *page.Failure) error {
	set := page.Settings(r)
	return f.ShowForm(w, r, page.OneForm{
		Room: "drawer", Title: "New packaging", Under: itemWords,
		Button: "Put it on the shelf", Back: page.LinkTo("/drawer#shelf", "Drawer & shelf"), Form: itemForm(new(studio.ShelfItem), set.Units, set.Currency),
	}, fail)
}

func (f *Drawer) itemOf(r *http.Request) (studio.ShelfItem, error) {
	id, err := page.PathID(r, "item")
	if err != nil {
		return studio.ShelfItem{}, err
	}
	items, err := stockroom.Shelf(r.Context(), f.Seen(r))
	if err != nil {
		return studio.ShelfItem{}, err
	}
	for _, it := range items {
		if it.ID == id {
			return it, nil
		}
	}
	return studio.ShelfItem{}, page.Missing("shelf item", id)
}

func (f *Drawer) Item(w http.ResponseWriter, r *http.Request, fail *page.Failure) error {
	it, err := f.itemOf(r)
	if err != nil {
		return err
	}
	set := page.Settings(r)
	fr, err := f.Frame(r, "drawer", it.Spec.Name)
	if err != nil {
		return err
	}
	p := &StockPage{Frame: fr, Name: it.Spec.Name}
	p.Tell(fail)
	p.Facts = []fact{{"Kind", string(it.Spec.Kind)}, {"Inside", page.ItemSize(it.Spec, fr.Units)}, {"On hand", page.Many(it.Stock, "piece")}, {"Cost of one", money.Of(it.Spec.Cost, set.Currency).String()}, {"Weight of one", it.Spec.Mass.About(fr.Units)}, {"Key", it.Spec.ID}}
	p.Count = p.Put(countForm(fmt.Sprintf("/shelf/%d/count", it.ID), new(counted)), fail)
	p.Stock = today.RestockForm(&today.Restocked{Item: it.ID, Pieces: max(1, it.Pack)}, set.Currency)
	p.Stock.Back("item")
	p.Put(p.Stock, fail)
	p.Edit = p.Put(itemForm(&it, fr.Units, set.Currency), fail)
	if p.Moves, err = stockroom.Moves(r.Context(), f.Seen(r), supply.Packaging, it.ID); err != nil {
		return err
	}
	return f.Show(w, r, page.StatusOf(fail), "stock", p)
}

func (f *Drawer) SaveItem(w http.ResponseWriter, r *http.Request) error {
	set, id := page.Settings(r), int64(0)
	if r.PathValue("item") != "" {
		var err error
		if id, err = page.PathID(r, "item"); err != nil {
			return err
		}
	}
	build := func(it *studio.ShelfItem) *form.Form { return itemForm(it, set.Units, set.Currency) }
	it, err := stockroom.ChangeShelfItem(r.Context(), f.Studio, id, form.Changing(r, build))
	switch {
	case err == nil:
		return f.DoneSaying(w, r, fmt.Sprintf("/shelf/%d", it.ID), "item")
	case id == 0:
		return f.ShowAgain(w, r, "item", err, f.NewItem)
	}
	return f.ShowAgain(w, r, "item", err, f.Item)
}

func (f *Drawer) CountShelf(w http.ResponseWriter, r *http.Request) error {
	return f.count(w, r, "item", "/shelf/%d", stockroom.CountShelf, f.Item)
}

func (f *Drawer) Restock(w http.ResponseWriter, r *http.Request, id int64) error {
	in := today.Restocked{Item: id}
	fm := today.RestockForm(&in, page.Settings(r).Currency)
	err := fm.TakeAnd(r.PostForm, func() error { return stockroom.Restock(r.Context(), f.Studio, id, in.Pieces, in.Cost) })
	bench := page.BackToBench(r)
	switch {
	case err == nil && bench != "":
		return f.Done(w, r, bench)
	case err == nil:
		return f.Done(w, r, "/shelf/"+strconv.FormatInt(id, 10))
	case bench != "":
		return f.ShowAgain(w, r, fm.Name, err, f.AtBench)
	}
	return f.ShowAgain(w, r, fm.Name, err, f.Item)
}
