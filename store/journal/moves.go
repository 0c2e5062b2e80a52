package journal

import (
	"cmp"
	"slices"
	"strconv"
	"strings"

	"solander/layers"
	"solander/ledger"
	"solander/posted"
	"solander/store/engine"
	"solander/store/table"
	"solander/supply"
)

// stockOf tells stocks apart.
type stockOf struct {
	kind supply.MoveKind
	item int64
}

// layerRow is a layer of a stock as it is kept.
type layerRow struct {
	stockOf
	layers.Layer
}

// Layers are the layers.
var Layers = table.Make("layers", "layer", func(l *layerRow) table.Columns {
	return table.Columns{
		"id", &l.ID, "kind", &l.kind, "item", &l.item, "run", &l.Run, "move", &l.Move, "pieces", &l.Pieces, "cost", &l.Cost,
		"remaining", &l.Left, "remaining_cost", &l.LeftCost,
	}
})

// useRow is a use with what it was for.
type useRow struct {
	move, place  int64
	cause        supply.Cause
	line, parcel int64
	consignment  int64
	layers.Use
}

// Uses are what moves took of layers.
var Uses = table.Make("layer_uses", "use of a layer", func(u *useRow) table.Columns {
	return table.Columns{
		"move", &u.move, "place", &u.place, "layer", &u.Layer, "pieces", &u.Pieces, "cost", &u.Cost.Minor, "currency", &u.Cost.Currency,
		"cause", &u.cause, "line", &u.line, "parcel", &u.parcel, "consignment", &u.consignment,
	}
})

// stock is what this transaction knows of one: the layers that have pieces left, and those that it used.
type stock struct {
	layers layers.Stock
	known  map[int64]bool // that stood before
	before map[int64]layers.Layer
	uses   []useRow // of this transaction
}

// stocksFor reads the layers that have pieces left of the stocks of moves, each once.
func (t *JournalRows) stocksFor(moves []supply.Move) error {
	for some := range slices.Chunk(t.unread(moves), fewStocks) {
		ask := layersOf(some)
		rows, err := Layers.Read(t.conn, ask.Query, ask.Args)
		if err != nil {
			return err
		}
		for _, of := range some {
			t.stocked[of] = &stock{known: map[int64]bool{}, before: map[int64]layers.Layer{}}
		}
		by := map[stockOf][]layerRow{}
		for _, r := range rows {
			by[r.stockOf] = append(by[r.stockOf], r)
		}
		for of, its := range by {
			t.stocked[of].learn(its)
		}
	}
	return nil
}

// fewStocks bounds the stocks of which layers are asked for together.
const fewStocks = 16

// unread are the stocks of moves of which this transaction knows nothing yet, each once.
func (t *JournalRows) unread(moves []supply.Move) (out []stockOf) {
	asked := map[stockOf]bool{}
	for _, m := range moves {
		if of := (stockOf{m.Kind, m.Of}); t.stocked[of] == nil && !asked[of] {
			asked[of], out = true, append(out, of)
		}
	}
	return out
}

// layersOf asks for the layers of a few stocks that have pieces left.
func layersOf(stocks []stockOf) engine.Ask {
	var any1 []string
	var args []any
	for _, of := range stocks {
		any1 = append(any1, "kind = $"+strconv.Itoa(len(args)+1)+" AND item = $"+strconv.Itoa(len(args)+2))
		args = append(args, of.kind, of.item)
	}
	return Layers.Ask("WHERE remaining > 0 AND ("+strings.Join(any1, " OR ")+") ORDER BY id", args...)
}

// learn takes layers that are not known yet among the others, by age.
func (s *stock) learn(rows []layerRow) {
	for _, r := range rows {
		if !s.known[r.ID] {
			s.known[r.ID], s.before[r.ID] = true, r.Layer
			s.layers = append(s.layers, &r.Layer)
		}
	}
	slices.SortFunc(s.layers, func(a, b *layers.Layer) int { return cmp.Compare(a.ID, b.ID) })
}

// moves gathers what new moves came to: those that went along in one parcel together.
func (k *keeping) moves(all []supply.Move) error {
	prints, err := k.printsOf(all)
	if err == nil {
		err = k.stocksFor(all)
	}
	if err != nil {
		return err
	}
	for len(all) > 0 {
		n := 1
		for n < len(all) && posted.Together(all[0], all[n]) {
			n++
		}
		var moved []posted.Moved
		for _, m := range all[:n] {
			x, err := k.move(m)
			if err != nil {
				return err
			}
			moved = append(moved, x)
		}
		if err := k.add(ledger.Subject{Kind: ledger.Move, ID: all[0].ID}, posted.Stock(moved, prints.of(all[0]))); err != nil {
			return err
		}
		if err := k.full(); err != nil {
			return err
		}
		all = all[n:]
	}
	return k.keepLayers()
}

// printsBy are the prints of parcels and lines.
type printsBy struct{ parcel, line map[int64][]posted.Print }

// goneWith are the parcels and the lines of moves, each once.
func goneWith(all []supply.Move) (parcels, lines []int64) {
	for _, m := range all {
		switch {
		case m.Parcel != 0:
			parcels = append(parcels, m.Parcel)
		case m.Line != 0:
			lines = append(lines, m.Line)
		}
	}
	return distinct(parcels), distinct(lines)
}

func (k *keeping) printsOf(all []supply.Move) (p printsBy, err error) {
	parcels, lines := goneWith(all)
	if p.parcel, err = printsIn(k.conn, byParcel, parcels); err == nil {
		p.line, err = printsIn(k.conn, byLine, lines)
	}
	return p, err
}

func distinct(ids []int64) []int64 {
	slices.Sort(ids)
	return slices.Compact(ids)
}

func (p printsBy) of(m supply.Move) []posted.Print {
	if m.Parcel != 0 {
		return p.parcel[m.Parcel]
	}
	return p.line[m.Line]
}

// move lets the layers of a stock follow a move.
func (k *keeping) move(m supply.Move) (posted.Moved, error) {
	of := stockOf{m.Kind, m.Of}
	s := k.stocked[of]
	out := posted.Moved{Move: m}
	if m.Delta < 0 {
		if posted.Withdraws(m.Cause) {
			out.Uses = s.layers.Withdraw(s.latest(m.Run), -m.Delta)
		} else {
			out.Uses = s.layers.Take(-m.Delta)
		}
		k.used(s, out)
		return out, nil
	}
	rest := m.Delta
	if cause, ok := posted.Returns(m.Cause); ok {
		uses, err := k.usesFor(of, s, m, cause)
		if err != nil {
			return out, err
		}
		out.Uses = s.layers.Give(uses, m.Delta)
		for _, u := range out.Uses {
			rest += u.Pieces
		}
		k.used(s, out)
	}
	if rest == 0 {
		return out, nil
	}
	l := &layers.Layer{Run: m.Run, Move: m.ID, Pieces: rest, Cost: m.Cost, Left: rest, LeftCost: m.Cost.Minor}
	var err error
	if l.ID, err = k.conn.Next(Layers.Name); err != nil {
		return out, err
	}
	s.layers = append(s.layers, l)
	out.Layer = l.ID
	return out, nil
}

// latest is the move by which the latest layer came in, of a run if one is named.
func (s *stock) latest(run int64) int64 {
	for i := len(s.layers) - 1; i >= 0; i-- {
		if l := s.layers[i]; run == 0 || l.Run == run {
			return l.Move
		}
	}
	return 0
}

// used notes uses, to be kept with their move.
func (k *keeping) used(s *stock, m posted.Moved) {
	for i, u := range m.Uses {
		s.uses = append(s.uses, useRow{m.ID, int64(i), m.Cause, m.Line, m.Parcel, m.Consignment, u})
	}
}

// owner is a column of uses by which a move knows whose pieces it gives back, and its value; without one they are anybody's of that cause.
type owner struct {
	column string
	id     int64
}

func ownerOf(m supply.Move) owner {
	switch {
	case m.Consignment != 0:
		return owner{"consignment", m.Consignment}
	case m.Line != 0:
		return owner{"line", m.Line}
	case m.Parcel != 0:
		return owner{"parcel", m.Parcel}
	}
	return owner{}
}

// has reports whether a use is the owner's.
func (o owner) has(u useRow) bool {
	switch o.column {
	case "consignment":
		return u.consignment == o.id
	case "line":
		return u.line == o.id
	case "parcel":
		return u.parcel == o.id
	}
	return true
}

// usesFor are what is left of the uses that a move gives back: those of its print at a gallery, of its line, of its parcel, or of that cause;
// their layers are known then. Before moves said whose print came back, a gallery's gave back what went last, so that nothing may be left of
// its own: behind its own are therefore others' of that cause, which Give takes when the layer of its own is full.
func (k *keeping) usesFor(of stockOf, s *stock, m supply.Move, cause supply.Cause) ([]layers.Use, error) {
	o := ownerOf(m)
	own, err := k.usesOf(of, s, m, cause, o)
	if err != nil || o.column != "consignment" {
		return own, err
	}
	all, err := k.usesOf(of, s, m, cause, owner{})
	return append(all, own...), err
}

func (k *keeping) usesOf(of stockOf, s *stock, m supply.Move, cause supply.Cause, o owner) ([]layers.Use, error) {
	where, args := "u.cause IN ($3, $4, $5)", []any{of.kind, of.item, cause, m.Cause, supply.CameBack}
	if o.column != "" {
		where, args = where+" AND u."+o.column+" = $6 AND u."+o.column+" <> 0", append(args, o.id)
	}
	rows, err := Uses.Read(k.conn, "SELECT "+Uses.Under("u")+" FROM layer_uses u JOIN layers l ON l.id = u.layer WHERE l.kind = $1 AND l.item = $2 AND "+where+" ORDER BY u.move, u.place", args)
	if err != nil {
		return nil, err
	}
	for _, u := range s.uses {
		if (u.cause == cause || u.cause == m.Cause || u.cause == supply.CameBack) && o.has(u) {
			rows = append(rows, u)
		}
	}
	var ids []int64
	uses := make([]layers.Use, len(rows))
	for i, u := range rows {
		uses[i] = u.Use
		if !s.has(u.Layer) {
			ids = append(ids, u.Layer)
		}
	}
	found, err := Layers.In(k.conn, "id", distinct(ids), "")
	s.learn(found)
	return layers.Net(uses), err
}

func (s *stock) has(layer int64) bool {
	return slices.ContainsFunc(s.layers, func(l *layers.Layer) bool { return l.ID == layer })
}

// keepLayers writes the layers that are new or changed, and the uses.
func (k *keeping) keepLayers() error {
	var fresh []layerRow
	var uses []useRow
	for of, s := range k.stocked {
		for _, l := range s.layers {
			was, stood := s.before[l.ID]
			switch {
			case !stood:
				fresh = append(fresh, layerRow{of, *l})
			case was != *l:
				if err := k.conn.Soon(`UPDATE layers SET remaining = $2, remaining_cost = $3 WHERE id = $1`, l.ID, l.Left, l.LeftCost); err != nil {
					return err
				}
			default:
				continue
			}
			s.known[l.ID], s.before[l.ID] = true, *l
		}
		uses = append(uses, s.uses...)
		s.uses = nil
	}
	slices.SortFunc(fresh, func(a, b layerRow) int { return cmp.Compare(a.ID, b.ID) })
	if err := Layers.InsertSoon(k.conn, fresh, ""); err != nil {
		return err
	}
	slices.SortFunc(uses, func(a, b useRow) int { return cmp.Or(cmp.Compare(a.move, b.move), cmp.Compare(a.place, b.place)) })
	return Uses.InsertTold(k.conn, uses)
}
