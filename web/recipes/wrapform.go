package recipes

import (
	"cmp"
	"fmt"
	"net/url"
	"slices"
	"strings"

	"solander/measure"
	"solander/packing"
	"solander/studio"
	"solander/web/form"
	"solander/web/page"
)

// A LayerRow is a layer as its row in the editor.
type LayerRow struct {
	At, Number  int
	Kind        *form.Field
	Count       []*form.Field // how many, and for what
	Room        []*form.Field // free room
	Items       []*form.Field // a box for each piece on the shelf
	Chosen      string        // which of them, in words
	Open        bool          // something is wrong with one of them
	First, Last bool
}

// wrapForm lays a wrap out: its own fields, and a row for each of its layers by the kind that it has. Fields are named as faults
// name the parts of a wrap.
func wrapForm(w *packing.Wrap, shelf []studio.ShelfItem, u measure.System) (*form.Form, []LayerRow) {
	fm := form.New("wrap", "/studio/wrap")
	fm.Ask("was", "").As("hidden").Is(w.ID)
	rows := AskWrap(fm, w, shelf, u)
	return fm.Sealed(), rows
}

// AskWrap asks for a wrap in a form: its own fields, and a row for each of its layers.
func AskWrap(fm *form.Form, w *packing.Wrap, shelf []studio.ShelfItem, u measure.System) []LayerRow {
	fm.Text("name", "Name", &w.Name).Must().Half()
	fm.Text("note", "Note", &w.Note).Half()
	form.Select(fm, "shape", "Prints lie", &w.Shape, form.Pick("flat", "flat"), form.Pick("rolled", "rolled"), form.Pick("both", "some rolled"))
	fm.Whole("fewest", "Fewest in a parcel", &w.Fewest).OrEmpty().WithHint("empty: 1")
	fm.Whole("most", "Most in a parcel", &w.Most).OrEmpty().WithHint("empty: as many as fit")
	if w.Shape == packing.Rolled || w.Shape == packing.Both {
		fm.Length("core", "Smallest roll", &w.Core, u).WithHint("empty: as the paper bears")
	}
	if w.Shape == packing.Both {
		fm.Length("flat_to", "Flat up to", &w.FlatTo, u).WithHint("long side; longer ones are rolled, where they may be")
	}
	if w.Shape != packing.Rolled && w.Shape != packing.Both {
		fm.Whole("beside", "Prints side by side", &w.Beside).OrEmpty().WithHint("empty: one on another")
		fm.Length("between", "Apart", &w.Between, u).WithHint("when side by side")
	}
	fm.Mass("mass", "Weighs besides", &w.Mass, u).OrEmpty().WithHint("tape, labels, what your scale taught you")
	fm.Whole("minutes", "Minutes for a parcel", &w.Minutes).OrEmpty()
	fm.Whole("minutes_per_sheet", "and for each print", &w.MinutesPerSheet).OrEmpty()
	var rows []LayerRow
	for i := range w.Layers {
		row := askLayer(fm, fmt.Sprintf("layers[%d].", i), &w.Layers[i], w.Shape, shelf, u)
		row.At, row.Number, row.First, row.Last = i, i+1, i == 0, i == len(w.Layers)-1
		rows = append(rows, row)
	}
	return rows
}

// KindChoices are the kinds that a layer may be added of.
var KindChoices = func() []form.Choice {
	var out []form.Choice
	for _, k := range packing.Kinds() {
		out = append(out, form.Pick(string(k), string(k)))
	}
	return out
}()

// perChoices are what a kind may be taken for, as docs/formats/problem.md tells in section 6.
func perChoices(k packing.Kind, shape packing.Shape) []form.Choice {
	once, each, gap := form.Pick("", "for the parcel"), form.Pick("sheet", "for each print"), form.Pick("gap", "between prints")
	switch {
	case k == packing.Tissue:
		return []form.Choice{once, each, gap}
	case k == packing.Sleeve, k == packing.Board && shape != packing.Rolled:
		return []form.Choice{once, each}
	}
	return []form.Choice{once}
}

func askLayer(fm *form.Form, at string, l *packing.Layer, shape packing.Shape, shelf []studio.ShelfItem, u measure.System) LayerRow {
	var row LayerRow
	row.Kind = form.Select(fm, at+"kind", "Layer", &l.Kind, KindChoices...)
	if shape == packing.Both || l.Of != "" {
		row.Count = append(row.Count, form.Select(fm, at+"of", "Round", &l.Of, form.Pick("", "all of them"), form.Pick("rolled", "the rolled"), form.Pick("flat", "the flat")))
	}
	many := l.Kind == packing.Tissue || l.Kind == packing.Board
	if many || l.Count > 1 {
		row.Count = append(row.Count, fm.Whole(at+"count", "How many", &l.Count).OrEmpty().WithHint("empty: 1"))
	}
	if l.Per == packing.PerStack {
		l.Per = "" // the same, said otherwise
	}
	per := perChoices(l.Kind, shape)
	if !slices.ContainsFunc(per, func(c form.Choice) bool { return c.Value == string(l.Per) }) {
		per = append(per, form.Pick(string(l.Per), string(l.Per)))
	}
	if len(per) > 1 {
		row.Count = append(row.Count, form.Select(fm, at+"per", "Taken", &l.Per, per...))
	}
	row.Room = askRoom(fm, at+"clearance.", &l.Clearance, l.Kind, u)
	if l.Kind == packing.Carton || l.Empty != nil {
		row.Room = append(row.Room, fm.LengthIf(at+"empty", "Most empty height", &l.Empty, u).WithHint("empty: not limited"))
	}
	var choices []form.Choice
	for _, it := range shelf {
		if it.Spec.Kind == l.Kind && !it.Retired {
			choices = append(choices, form.Pick(it.Spec.ID, cmp.Or(it.Spec.Name, it.Spec.ID)))
		}
	}
	row.Items = fm.Ticks(at+"items", &l.Items, choices...)
	return row
}

// askRoom asks for the free room that a layer of a kind may keep, and for any other that stands: nothing is lost unseen.
func askRoom(fm *form.Form, at string, c *packing.Clearance, k packing.Kind, u measure.System) []*form.Field {
	tube, flat := k == packing.Tube, k != packing.Tube && k != packing.Tissue
	var out []*form.Field
	for _, x := range []struct {
		is          bool
		name, label string
		length      *measure.Length
	}{
		{flat, "sides", "Free at each side", &c.Sides},
		{flat && k != packing.Board, "thickness", "Free in thickness", &c.Thickness},
		{tube, "ends", "Free at each end", &c.Ends},
		{tube, "across", "Free across", &c.Across},
	} {
		if x.is || *x.length != 0 {
			out = append(out, fm.Length(at+x.name, x.label, x.length, u))
		}
	}
	return out
}

// Choose says of each row which pieces are ticked, by what stands in the form.
func Choose(rows []LayerRow) {
	for i := range rows {
		rows[i].chosen()
	}
}

func (r *LayerRow) chosen() {
	n := 0
	for _, fd := range r.Items {
		if fd.Checked() {
			n++
		}
		r.Open = r.Open || len(fd.Wrong) > 0
	}
	switch kind := r.Kind.Value; {
	case len(r.Items) == 0:
		r.Chosen = "None of this kind is on the shelf"
	case n == 0:
		r.Chosen = "Any " + kind + " on the shelf"
	default:
		r.Chosen = fmt.Sprintf("%d of %s", n, page.Many(len(r.Items), kind))
	}
}

// TypedWrap is the frame of what was typed: a wrap with as many layers, of the kinds that were chosen, for the form to be laid out.
func TypedWrap(typed url.Values) packing.Wrap {
	w := packing.Wrap{ID: typed.Get("was"), Shape: packing.Shape(typed.Get("shape"))}
	for i := range form.Rows(typed, "layers") {
		at := fmt.Sprintf("layers[%d].", i)
		l := packing.Layer{Kind: packing.Kind(typed.Get(at + "kind")), Of: packing.Shape(typed.Get(at + "of"))}
		for name, v := range typed {
			if id, ok := strings.CutPrefix(name, at+"items."); ok && len(v) > 0 && v[0] != "" {
				l.Items = append(l.Items, id) // one that left the shelf meanwhile has a box still, and a fault beside it
			}
		}
		slices.Sort(l.Items)
		w.Layers = append(w.Layers, l)
	}
	return w
}

// readWrap reads a wrap from what was typed. Faults: Invalid, as its fields are named.
func readWrap(typed url.Values, shelf []studio.ShelfItem, u measure.System) (packing.Wrap, error) {
	w := TypedWrap(typed)
	fm, _ := wrapForm(&w, shelf, u)
	err := fm.Take(typed)
	return w, err
}

// keyOf makes a key of a name that no other thing of a list has: "two-boards", "two-boards-2".
func keyOf(name string, taken func(string) bool) string {
	words := strings.FieldsFunc(strings.ToLower(name), func(r rune) bool { return (r < 'a' || r > 'z') && (r < '0' || r > '9') })
	key := strings.Join(words[:min(len(words), 6)], "-")
	key = key[:min(len(key), 60)]
	if key == "" {
		key = "own"
	}
	for n, first := 2, key; taken(key); n++ {
		key = fmt.Sprintf("%s-%d", first, n)
	}
	return key
}
