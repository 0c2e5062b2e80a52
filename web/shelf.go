package web

import (
	"fmt"
	"net/http"
	"strconv"
	"strings"
	"unicode"

	"solander/measure"
	"solander/money"
	"solander/packing"
	"solander/papers"
	"solander/studio"
	"solander/supply"
)

func minor(n int64, cur string) money.Amount { return money.Of(n, cur) }

// itemSize prints the inner size of an item.
func itemSize(it packing.Item, u measure.System) string {
	switch it.Kind {
	case packing.Tube:
		return it.Diameter.In(u) + " wide, " + it.Length.In(u) + " long"
	case packing.Carton:
		return papers.Sides(u, it.Length, it.Width, it.Height)
	}
	return papers.Sides(u, it.Width, it.Height)
}

// itemForm asks for one kind of packaging. Field names are those of its faults.
func itemForm(it studio.ShelfItem, u measure.System, cur string) *form {
	to := "/shelf"
	if it.ID != 0 {
		to = fmt.Sprintf("/shelf/%d", it.ID)
	}
	s := it.Spec
	fm := newForm("item", to)
	var kinds []choice
	for _, k := range packing.Kinds() {
		kinds = append(kinds, choice{string(k), string(k)})
	}
	fm.ask("spec.kind", "Kind").of(kinds...).is(string(s.Kind)).must()
	fm.ask("spec.name", "Name").is(s.Name).must()
	fm.ask("spec.id", "Key").is(s.ID).hint("in wraps and plans; empty: made from the name")
	length := func(name, label, hint string, l measure.Length) {
		fd := fm.ask("spec."+name, label).hint(hint)
		if l != 0 {
			fd.is(l.In(u))
		}
	}
	length("width", "Inner width", "not of a tube", s.Width)
	length("height", "Inner height", "not of a tube", s.Height)
	length("length", "Inner length", "of a tube or a carton", s.Length)
	length("diameter", "Inner diameter", "of a tube", s.Diameter)
	length("wall", "Thickness of one wall", "film, face or board", s.Wall)
	length("thickest", "Thickest contents", "sleeve or envelope; empty: any", s.Thickest)
	mass := fm.ask("spec.mass", "Weight of one").hint("such as 2.4 oz or 68 g").must()
	if s.Mass != 0 {
		mass.is(s.Mass.In(u))
	}
	fm.ask("spec.cost", "Cost of one").money(minor(s.Cost, cur)).must()
	fm.ask("spec.note", "Note").is(s.Note)
	check := func(name, label string, v bool) { fm.ask("spec."+name, label).as("check").half().is(ticked(v)) }
	check("stiff", "Stiff: makes the parcel stiff", s.Stiff)
	check("soft", "Soft: thick contents take of its width", s.Soft)
	check("cornered", "A tube with corners, not round", s.Cornered)
	var cut packing.Cut
	if s.Cut != nil {
		cut = *s.Cut
	}
	length("cut.shortest", "May be cut down to", "tube or carton; empty: never cut", cut.Shortest)
	fm.find("spec.cut.shortest").Class = "start"
	length("cut.step", "in steps of", "how exactly it can be cut", cut.Step)
	var base packing.CutBase
	if s.CutBase != nil {
		base = *s.CutBase
	}
	length("cut_base.shortest_length", "Inner length may be cut to", "carton; empty: never cut", base.ShortestLength)
	fm.find("spec.cut_base.shortest_length").Class = "start"
	length("cut_base.shortest_width", "Inner width may be cut to", "carton; empty: never cut", base.ShortestWidth)
	length("cut_base.step", "both in steps of", "how exactly they can be cut", base.Step)
	fm.ask("spec.issued_for", "Issued for the class").is(s.IssuedFor).hint("free cartons of a carrier: the only class they may go by")
	fm.ask("reorder_at", "Restock when so many are left").whole(it.ReorderAt)
	fm.ask("pack", "Pieces in a supplier's pack").whole(max(1, it.Pack))
	if it.ID == 0 {
		fm.ask("stock", "On hand now").whole(0)
	} else {
		fm.ask("retired", "No longer used").as("check").wide().is(ticked(it.Retired))
	}
	return fm.sealed()
}

// readItem turns the form into an item; what the form does not ask for stays as it was.
func readItem(rd *reader, it studio.ShelfItem, u measure.System, cur string) studio.ShelfItem {
	s := &it.Spec
	s.Kind, s.Name, s.ID, s.Note = packing.Kind(rd.text("spec.kind")), rd.text("spec.name"), rd.text("spec.id"), rd.text("spec.note")
	if s.ID == "" {
		s.ID = keyOfName(s.Name)
	}
	s.Width, s.Height, s.Length = rd.length("spec.width", u), rd.length("spec.height", u), rd.length("spec.length", u)
	s.Diameter, s.Wall, s.Thickest = rd.length("spec.diameter", u), rd.length("spec.wall", u), rd.length("spec.thickest", u)
	s.Mass, s.Cost = rd.mass("spec.mass", u), rd.amount("spec.cost", cur).Minor
	s.Stiff, s.Soft, s.Cornered, s.IssuedFor = rd.ticked("spec.stiff"), rd.ticked("spec.soft"), rd.ticked("spec.cornered"), rd.text("spec.issued_for")
	s.Cut = nil
	if shortest, step := rd.length("spec.cut.shortest", u), rd.length("spec.cut.step", u); shortest != 0 || step != 0 {
		s.Cut = &packing.Cut{Shortest: shortest, Step: step}
	}
	s.CutBase = nil
	base := packing.CutBase{ShortestLength: rd.length("spec.cut_base.shortest_length", u), ShortestWidth: rd.length("spec.cut_base.shortest_width", u), Step: rd.length("spec.cut_base.step", u)}
	if base != (packing.CutBase{}) {
		s.CutBase = &base
	}
	it.ReorderAt, it.Pack = rd.whole("reorder_at"), rd.whole("pack")
	if it.ID == 0 {
		it.Stock = rd.whole("stock")
	} else {
		it.Retired = rd.ticked("retired")
	}
	return it
}

// keyOfName makes a key of a name: "stiff envelope 11 × 14 in" is stiff-envelope-11-14-in.
func keyOfName(name string) string {
	return strings.Join(strings.FieldsFunc(strings.ToLower(name), func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) && r != '.' }), "-")
}

const itemWords = "Give inner sizes, such as 12 1/2 in or 318 mm; a number alone is in the studio's own unit. Which sizes a kind needs stands beside each field."

func (f *face) newItem(w http.ResponseWriter, r *http.Request) error { return f.showNewItem(w, r, nil) }

func (f *face) showNewItem(w http.ResponseWriter, r *http.Request, fail *failure) error {
	set, err := f.studio.Settings(r.Context())
	if err != nil {
		return err
	}
	return f.showForm(w, r, "drawer", "New packaging", itemWords, "Put it on the shelf", link{"/drawer#shelf", "Drawer & shelf"}, itemForm(studio.ShelfItem{}, set.Units, set.Currency), fail)
}

func (f *face) itemOf(r *http.Request) (studio.ShelfItem, error) {
	id, err := pathID(r, "item")
	if err != nil {
		return studio.ShelfItem{}, err
	}
	items, err := f.studio.Shelf(r.Context())
	if err != nil {
		return studio.ShelfItem{}, err
	}
	for _, it := range items {
		if it.ID == id {
			return it, nil
		}
	}
	return studio.ShelfItem{}, missing("shelf item", id)
}

func (f *face) item(w http.ResponseWriter, r *http.Request) error { return f.showItem(w, r, nil) }

func (f *face) showItem(w http.ResponseWriter, r *http.Request, fail *failure) error {
	it, err := f.itemOf(r)
	if err != nil {
		return err
	}
	set, err := f.studio.Settings(r.Context())
	if err != nil {
		return err
	}
	fr, err := f.frame(r, "drawer", it.Spec.Name)
	if err != nil {
		return err
	}
	p := &stockPage{frame: fr, Name: it.Spec.Name}
	p.tell(fail)
	p.Facts = []fact{{"Kind", string(it.Spec.Kind)}, {"Inside", itemSize(it.Spec, fr.Units)}, {"On hand", many(it.Stock, "piece")}, {"Cost of one", minor(it.Spec.Cost, set.Currency).String()}, {"Weight of one", it.Spec.Mass.About(fr.Units)}, {"Key", it.Spec.ID}}
	p.Count = p.put(countForm(fmt.Sprintf("/shelf/%d/count", it.ID)), fail)
	p.Stock = restockForm(it.ID, max(1, it.Pack))
	p.Stock.back("item")
	p.put(p.Stock, fail)
	p.Edit = p.put(itemForm(it, fr.Units, set.Currency), fail)
	if p.Moves, err = f.studio.Moves(r.Context(), supply.Packaging, it.ID); err != nil {
		return err
	}
	return f.show(w, r, statusOf(fail), "stock", p)
}

func (f *face) saveItem(w http.ResponseWriter, r *http.Request) error {
	set, err := f.studio.Settings(r.Context())
	if err != nil {
		return err
	}
	id := int64(0)
	if r.PathValue("item") != "" {
		if id, err = pathID(r, "item"); err != nil {
			return err
		}
	}
	build := func(it studio.ShelfItem) *form { return itemForm(it, set.Units, set.Currency) }
	read := func(rd *reader, it studio.ShelfItem) studio.ShelfItem {
		return readItem(rd, it, set.Units, set.Currency)
	}
	it, err := f.studio.ChangeShelfItem(r.Context(), id, changing(r, build, read))
	switch {
	case err == nil:
		return f.doneSaying(w, r, fmt.Sprintf("/shelf/%d", it.ID), "item")
	case ours(err):
		return err
	case id == 0:
		return f.showNewItem(w, r, failedIn("item", r, err))
	}
	return f.showItem(w, r, failedIn("item", r, err))
}

func (f *face) countShelf(w http.ResponseWriter, r *http.Request) error {
	return f.count(w, r, "item", "/shelf/%d", f.studio.CountShelf, f.showItem)
}

func (f *face) restock(w http.ResponseWriter, r *http.Request) error {
	id, err := pathID(r, "item")
	if err != nil {
		return err
	}
	set, err := f.studio.Settings(r.Context())
	if err != nil {
		return err
	}
	fm := restockForm(id, 0)
	fm.read(r.PostForm)
	rd := fm.reader()
	pieces := rd.whole("pieces")
	var cost *money.Amount
	if rd.text("unit_cost") != "" {
		c := rd.amount("unit_cost", set.Currency)
		cost = &c
	}
	if err = rd.Err(); err == nil {
		err = f.studio.Restock(r.Context(), id, pieces, cost)
	}
	atBench := r.PostForm.Get("back") == "bench"
	switch {
	case err == nil && atBench:
		return f.done(w, r, "/")
	case err == nil:
		return f.done(w, r, "/shelf/"+strconv.FormatInt(id, 10))
	case ours(err):
		return err
	case atBench:
		return f.atBench(w, r, failed(fm, r, err))
	}
	return f.showItem(w, r, failed(fm, r, err))
}
