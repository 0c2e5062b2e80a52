package stock

import (
	"fmt"
	"net/http"
	"strconv"
	"strings"
	"unicode"

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

// itemForm asks for one kind of packaging. Field names are those of its faults.
func itemForm(it studio.ShelfItem, u measure.System, cur string) *form.Form {
	to := "/shelf"
	if it.ID != 0 {
		to = fmt.Sprintf("/shelf/%d", it.ID)
	}
	s := it.Spec
	fm := form.New("item", to)
	var kinds []form.Choice
	for _, k := range packing.Kinds() {
		kinds = append(kinds, form.Pick(string(k), string(k)))
	}
	fm.Ask("spec.kind", "Kind").Of(kinds...).Is(string(s.Kind)).Must()
	fm.Ask("spec.name", "Name").Is(s.Name).Must()
	fm.Ask("spec.id", "Key").Is(s.ID).WithHint("in wraps and plans; empty: made from the name")
	length := func(name, label, hint string, l measure.Length) {
		fd := fm.Ask("spec."+name, label).WithHint(hint)
		if l != 0 {
			fd.Is(l.In(u))
		}
	}
	length("width", "Inner width", "not of a tube", s.Width)
	length("height", "Inner height", "not of a tube", s.Height)
	length("length", "Inner length", "of a tube or a carton", s.Length)
	length("diameter", "Inner diameter", "of a tube", s.Diameter)
	length("wall", "Thickness of one wall", "film, face or board", s.Wall)
	length("thickest", "Thickest contents", "sleeve or envelope; empty: any", s.Thickest)
	mass := fm.Ask("spec.mass", "Weight of one").WithHint("such as 2.4 oz or 68 g").Must()
	if s.Mass != 0 {
		mass.Is(s.Mass.In(u))
	}
	fm.Ask("spec.cost", "Cost of one").Money(money.Of(s.Cost, cur)).Must()
	fm.Ask("spec.note", "Note").Is(s.Note)
	check := func(name, label string, v bool) { fm.Ask("spec."+name, label).As("check").Half().Is(form.Ticked(v)) }
	check("stiff", "Stiff: makes the parcel stiff", s.Stiff)
	check("soft", "Soft: thick contents take of its width", s.Soft)
	check("cornered", "A tube with corners, not round", s.Cornered)
	var cut packing.Cut
	if s.Cut != nil {
		cut = *s.Cut
	}
	length("cut.shortest", "May be cut down to", "tube or carton; empty: never cut", cut.Shortest)
	fm.Find("spec.cut.shortest").Class = "start"
	length("cut.step", "in steps of", "how exactly it can be cut", cut.Step)
	var base packing.CutBase
	if s.CutBase != nil {
		base = *s.CutBase
	}
	length("cut_base.shortest_length", "Inner length may be cut to", "carton; empty: never cut", base.ShortestLength)
	fm.Find("spec.cut_base.shortest_length").Class = "start"
	length("cut_base.shortest_width", "Inner width may be cut to", "carton; empty: never cut", base.ShortestWidth)
	length("cut_base.step", "both in steps of", "how exactly they can be cut", base.Step)
	fm.Ask("spec.issued_for", "Issued for the class").Is(s.IssuedFor).WithHint("free cartons of a carrier: the only class they may go by")
	fm.Ask("reorder_at", "Restock when so many are left").Whole(it.ReorderAt)
	fm.Ask("pack", "Pieces in a supplier's pack").Whole(max(1, it.Pack))
	if it.ID == 0 {
		fm.Ask("stock", "On hand now").Whole(0)
	} else {
		fm.Ask("retired", "No longer used").As("check").Wide().Is(form.Ticked(it.Retired))
	}
	return fm.Sealed()
}

// readItem turns the form into an item; what the form does not ask for stays as it was.
func readItem(rd *form.Reader, it studio.ShelfItem, u measure.System, cur string) studio.ShelfItem {
	s := &it.Spec
	s.Kind, s.Name, s.ID, s.Note = packing.Kind(rd.Text("spec.kind")), rd.Text("spec.name"), rd.Text("spec.id"), rd.Text("spec.note")
	if s.ID == "" {
		s.ID = keyOfName(s.Name)
	}
	s.Width, s.Height, s.Length = rd.Length("spec.width", u), rd.Length("spec.height", u), rd.Length("spec.length", u)
	s.Diameter, s.Wall, s.Thickest = rd.Length("spec.diameter", u), rd.Length("spec.wall", u), rd.Length("spec.thickest", u)
	s.Mass, s.Cost = rd.Mass("spec.mass", u), rd.Amount("spec.cost", cur).Minor
	s.Stiff, s.Soft, s.Cornered, s.IssuedFor = rd.Ticked("spec.stiff"), rd.Ticked("spec.soft"), rd.Ticked("spec.cornered"), rd.Text("spec.issued_for")
	s.Cut = nil
	if shortest, step := rd.Length("spec.cut.shortest", u), rd.Length("spec.cut.step", u); shortest != 0 || step != 0 {
		s.Cut = &packing.Cut{Shortest: shortest, Step: step}
	}
	s.CutBase = nil
	base := packing.CutBase{ShortestLength: rd.Length("spec.cut_base.shortest_length", u), ShortestWidth: rd.Length("spec.cut_base.shortest_width", u), Step: rd.Length("spec.cut_base.step", u)}
	if base != (packing.CutBase{}) {
		s.CutBase = &base
	}
	it.ReorderAt, it.Pack = rd.Whole("reorder_at"), rd.Whole("pack")
	if it.ID == 0 {
		it.Stock = rd.Whole("stock")
	} else {
		it.Retired = rd.Ticked("retired")
	}
	return it
}

// keyOfName makes a key of a name: "stiff envelope 11 × 14 in" is stiff-envelope-11-14-in.
func keyOfName(name string) string {
	return strings.Join(strings.FieldsFunc(strings.ToLower(name), func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) && r != '.' }), "-")
}

const itemWords = "Give inner sizes, such as 12 1/2 in or 318 mm; a number alone is in the studio's own unit. Which sizes a kind needs stands beside each field."

func (f *Drawer) NewItem(w http.ResponseWriter, r *http.Request, fail *page.Failure) error {
	set := page.Settings(r)
	return f.ShowForm(w, r, "drawer", "New packaging", itemWords, "Put it on the shelf", page.LinkTo("/drawer#shelf", "Drawer & shelf"), itemForm(studio.ShelfItem{}, set.Units, set.Currency), fail)
}

func (f *Drawer) itemOf(r *http.Request) (studio.ShelfItem, error) {
	id, err := page.PathID(r, "item")
	if err != nil {
		return studio.ShelfItem{}, err
	}
	items, err := stockroom.Shelf(r.Context(), f.Studio)
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
	p.Count = p.Put(countForm(fmt.Sprintf("/shelf/%d/count", it.ID)), fail)
	p.Stock = today.RestockForm(it.ID, max(1, it.Pack))
	p.Stock.Back("item")
	p.Put(p.Stock, fail)
	p.Edit = p.Put(itemForm(it, fr.Units, set.Currency), fail)
	if p.Moves, err = stockroom.Moves(r.Context(), f.Studio, supply.Packaging, it.ID); err != nil {
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
	build := func(it studio.ShelfItem) *form.Form { return itemForm(it, set.Units, set.Currency) }
	read := func(rd *form.Reader, it studio.ShelfItem) studio.ShelfItem {
		return readItem(rd, it, set.Units, set.Currency)
	}
	it, err := stockroom.ChangeShelfItem(r.Context(), f.Studio, id, form.Changing(r, build, read))
	switch {
	case err == nil:
		return f.DoneSaying(w, r, fmt.Sprintf("/shelf/%d", it.ID), "item")
	case page.Ours(err):
		return err
	case id == 0:
		return f.NewItem(w, r, page.FailedIn("item", r, err))
	}
	return f.Item(w, r, page.FailedIn("item", r, err))
}

func (f *Drawer) CountShelf(w http.ResponseWriter, r *http.Request) error {
	return f.count(w, r, "item", "/shelf/%d", stockroom.CountShelf, f.Item)
}

func (f *Drawer) Restock(w http.ResponseWriter, r *http.Request) error {
	id, err := page.PathID(r, "item")
	if err != nil {
		return err
	}
	set := page.Settings(r)
	fm := today.RestockForm(id, 0)
	fm.Read(r.PostForm)
	rd := fm.Reader()
	pieces := rd.Whole("pieces")
	var cost *money.Amount
	if rd.Text("unit_cost") != "" {
		c := rd.Amount("unit_cost", set.Currency)
		cost = &c
	}
	if err = rd.Err(); err == nil {
		err = stockroom.Restock(r.Context(), f.Studio, id, pieces, cost)
	}
	atBench := r.PostForm.Get("back") == "bench"
	switch {
	case err == nil && atBench:
		return f.Done(w, r, "/")
	case err == nil:
		return f.Done(w, r, "/shelf/"+strconv.FormatInt(id, 10))
	case page.Ours(err):
		return err
	case atBench:
		return f.AtBench(w, r, page.Failed(fm, r, err))
	}
	return f.Item(w, r, page.Failed(fm, r, err))
}
