package check_test

import (
	"slices"

	"solander/calendar"
	"solander/measure"
	"solander/packing"
	"solander/tariff"
)

var mutations = map[string]mutation{
	// What goes into the parcels.
	"a copy too many": {"plan.copies", parcel(func(p *packing.Parcel) { p.Contents[0].Copies++ })},
	"a copy left out": {"plan.copies", first(func(_ *packing.Problem, p *packing.Parcel) bool {
		p.Contents[0].Copies--
		return p.Contents[0].Copies > 0
	})},
	"a sheet left out": {"plan.copies", first(func(_ *packing.Problem, p *packing.Parcel) bool {
		if len(p.Contents) < 2 || p.Orders != nil {
			return false
		}
		p.Contents = p.Contents[1:]
		return true
	})},
	"a parcel left out": {"plan.copies", func(_ *packing.Problem, plan *packing.Plan) bool {
		if len(plan.Parcels) < 2 || plan.Parcels[0].Order != plan.Parcels[1].Order {
			return false
		}
		plan.Parcels = plan.Parcels[1:]
		settle(plan)
		return true
	}},
	"a parcel sent twice": {"plan.copies", func(_ *packing.Problem, plan *packing.Plan) bool {
		if len(plan.Parcels) == 0 {
			return false
		}
		plan.Parcels = append(plan.Parcels[:1:1], plan.Parcels...)
		settle(plan)
		return true
	}},
	"a sheet of no order":       {"plan.contents", parcel(func(p *packing.Parcel) { p.Contents[0].Sheet = "zz" })},
	"a sheet of another order":  {"plan.contents", parcel(func(p *packing.Parcel) { p.Contents[0].Order = "another" })},
	"sheets in the wrong order": {"plan.contents", first(reverseContents)},
	"nothing in the parcel":     {"plan.contents", parcel(func(p *packing.Parcel) { p.Contents = nil })},
	"parcels in the wrong order": {"plan.order", func(_ *packing.Problem, plan *packing.Plan) bool {
		if len(plan.Parcels) < 2 || plan.Parcels[0].Order == plan.Parcels[len(plan.Parcels)-1].Order {
			return false
		}
		slices.Reverse(plan.Parcels)
		settle(plan)
		return true
	}},

	// Parcels that orders share.
	"orders of a parcel left unsaid": {"plan.orders", shared(func(p *packing.Parcel) { p.Orders = nil })},
	"one order of a parcel unsaid":   {"plan.orders", shared(func(p *packing.Parcel) { p.Orders = p.Orders[:1] })},
	"orders in the wrong order":      {"plan.contents", shared(func(p *packing.Parcel) { slices.Reverse(p.Contents); slices.Reverse(p.Orders) })},
	"all said to be of one order": {"plan.copies", shared(func(p *packing.Parcel) {
		for i := range p.Contents {
			p.Contents[i].Order = p.Order
		}
		p.Orders = nil
	})},
	"an order that may not share": {"plan.contents", first(func(p *packing.Problem, parcel *packing.Parcel) bool {
		for _, o := range p.Orders {
			if last := parcel.Contents[len(parcel.Contents)-1].Order; o.ID > last && o.Combine == "" {
				parcel.Contents = append(parcel.Contents, packing.Content{Order: o.ID, Sheet: o.Sheets[0].ID, Copies: 1})
				parcel.Orders = []string{parcel.Order, o.ID}
				return true
			}
		}
		return false
	})},
	"one order pays the other's part": {"plan.total", func(_ *packing.Problem, plan *packing.Plan) bool {
		i := slices.IndexFunc(plan.Parcels, func(p packing.Parcel) bool { return p.Orders != nil })
		if i < 0 {
			return false
		}
		for k := range plan.Orders {
			o := &plan.Orders[k]
			switch at := slices.Index(plan.Parcels[i].Orders, o.ID); {
			case at == 0:
				o.Total, o.Bound = o.Total+1, o.Bound+1
			case at == 1:
				o.Total, o.Bound = o.Total-1, o.Bound-1
			}
		}
		return true
	}},

	// How they are packed.
	"an unknown wrap": {"plan.wrap", parcel(func(p *packing.Parcel) { p.Wrap = "none" })},
	"another shape": {"plan.shape", parcel(func(p *packing.Parcel) {
		p.Shape = map[packing.Shape]packing.Shape{"flat": "rolled", "rolled": "flat"}[p.Shape]
	})},
	"an unknown item":     {"plan.item", entry(func(_ *packing.Problem, _ *packing.Parcel, e *packing.LayerPlan) bool { e.Item = "none"; return true })},
	"an item swapped":     {"", entry(swapItem(true))},
	"an item not allowed": {"plan.item", entry(swapItem(false))},
	"an item of another kind": {"plan.item", entry(func(p *packing.Problem, _ *packing.Parcel, e *packing.LayerPlan) bool {
		i := slices.IndexFunc(p.Shelf, func(i packing.Item) bool { return i.Kind != e.Kind })
		if i >= 0 {
			e.Item = p.Shelf[i].ID
		}
		return i >= 0
	})},
	"a kind misnamed":  {"plan.kind", entry(func(_ *packing.Problem, _ *packing.Parcel, e *packing.LayerPlan) bool { e.Kind = "bag"; return true })},
	"a piece too many": {"plan.pieces", entry(func(_ *packing.Problem, _ *packing.Parcel, e *packing.LayerPlan) bool { e.Count++; return true })},
	"a board too few": {"plan.pieces", entry(func(_ *packing.Problem, _ *packing.Parcel, e *packing.LayerPlan) bool {
		e.Count--
		return e.Kind == packing.Board
	})},
	"a board left out": {"plan.layers", first(func(_ *packing.Problem, p *packing.Parcel) bool {
		i := slices.IndexFunc(p.Layers, func(e packing.LayerPlan) bool { return e.Kind == packing.Board })
		if i >= 0 {
			p.Layers, p.Lines = slices.Delete(p.Layers, i, i+1), slices.Delete(p.Lines, i, i+1)
		}
		return i >= 0
	})},
	"an entry twice": {"plan.layers", parcel(func(p *packing.Parcel) {
		p.Layers, p.Lines = slices.Insert(p.Layers, 0, p.Layers[0]), slices.Insert(p.Lines, 0, p.Lines[0])
	})},
	"layers turned round": {"plan.layers", first(func(_ *packing.Problem, p *packing.Parcel) bool {
		slices.Reverse(p.Layers)
		slices.Reverse(p.Lines[:len(p.Layers)])
		return len(p.Layers) > 1
	})},
	"a film of another sheet": {"plan.layers", entry(func(_ *packing.Problem, p *packing.Parcel, e *packing.LayerPlan) bool {
		other := p.Contents[len(p.Contents)-1].Sheet
		ok := e.Sheet != "" && e.Sheet != other
		e.Sheet = other
		return ok
	})},
	"a cut off the step": {"plan.cut", entry(func(_ *packing.Problem, _ *packing.Parcel, e *packing.LayerPlan) bool { e.CutTo--; return e.CutTo > 0 })},
	"a cut to the full size": {"plan.cut", entry(func(p *packing.Problem, _ *packing.Parcel, e *packing.LayerPlan) bool {
		i := item(p, e.Item)
		ok := i.Cut != nil && e.CutTo == 0
		e.CutTo = map[packing.Kind]measure.Length{packing.Carton: i.Height, packing.Tube: i.Length}[i.Kind]
		return ok
	})},
	"a cut of what is not cut": {"plan.cut", entry(func(p *packing.Problem, _ *packing.Parcel, e *packing.LayerPlan) bool {
		e.CutTo = 5
		return item(p, e.Item).Cut == nil
	})},
	"a cut left unsaid": {"plan.size", entry(func(_ *packing.Problem, p *packing.Parcel, e *packing.LayerPlan) bool {
		ok := e.CutTo > 0 && p.Shape != packing.Both // in a carton a tube may be any longer
		e.CutTo = 0
		return ok
	})},
	"the other axis": {"plan.roll", first(func(_ *packing.Problem, p *packing.Parcel) bool {
		if p.Roll == nil || p.Roll.Axis == p.Roll.Strip {
			return false
		}
		p.Roll.Axis, p.Roll.Strip = p.Roll.Strip, p.Roll.Axis
		return true
	})},
	"an axis that is no side": {"plan.roll", rolled(func(r *packing.RollPlan) { r.Axis++ })},
	"a shorter strip":         {"plan.roll", rolled(func(r *packing.RollPlan) { r.Strip-- })},
	"a thinner pack":          {"plan.roll", rolled(func(r *packing.RollPlan) { r.Pack-- })},
	"a tighter roll":          {"plan.roll", rolled(func(r *packing.RollPlan) { r.Inner-- })},
	"a roll one too thin":     {"plan.roll", rolled(func(r *packing.RollPlan) { r.Outer-- })},
	"a roll left unsaid": {"plan.roll", first(func(_ *packing.Problem, p *packing.Parcel) bool {
		ok := p.Roll != nil
		p.Roll = nil
		return ok
	})},
	"a roll in a flat parcel": {"plan.roll", first(func(_ *packing.Problem, p *packing.Parcel) bool {
		ok := p.Roll == nil
		p.Roll = &packing.RollPlan{}
		return ok
	})},

	// What the parcel is.
	"one nanometre shorter": {"plan.size", parcel(func(p *packing.Parcel) { p.Size.Length-- })},
	"one nanometre thinner": {"plan.size", parcel(func(p *packing.Parcel) { p.Size.Height-- })},
	"sides not sorted": {"plan.size", first(func(_ *packing.Problem, p *packing.Parcel) bool {
		p.Size.Length, p.Size.Height = p.Size.Height, p.Size.Length
		return p.Size.Length != p.Size.Height
	})},
	"one nanogram lighter": {"plan.mass", parcel(func(p *packing.Parcel) { p.Mass-- })},
	"worth one more":       {"plan.value", parcel(func(p *packing.Parcel) { p.Value++ })},
	"another form": {"plan.form", parcel(func(p *packing.Parcel) {
		p.Form = map[tariff.Form]tariff.Form{tariff.Box: tariff.Cylinder, tariff.Cylinder: tariff.Box}[p.Form]
	})},
	"stiff or not": {"plan.stiff", parcel(func(p *packing.Parcel) { p.Stiff = !p.Stiff })},

	// How it is sent.
	"an unknown card":    {"plan.card", parcel(func(p *packing.Parcel) { p.Card = "none" })},
	"an unknown service": {"plan.service", parcel(func(p *packing.Parcel) { p.Service = "none" })},
	"another service":    {"", first(otherService)},
	"another class":      {"plan.class", parcel(func(p *packing.Parcel) { p.Class += "er" })},
	"another zone":       {"plan.zone", parcel(func(p *packing.Parcel) { p.Zone = map[string]string{"near": "far"}[p.Zone] + "?" })},
	"billed one less":    {"plan.billed", parcel(func(p *packing.Parcel) { p.Billed-- })},
	"cover not asked for": {"plan.cover", first(func(_ *packing.Problem, p *packing.Parcel) bool {
		ok := p.Cover > 0
		p.Cover = 0
		dropLine(p, "cover")
		return ok
	})},
	"cover for one more": {"plan.cover", parcel(func(p *packing.Parcel) { p.Cover++ })},
	"signature not bought": {"plan.signature", first(func(_ *packing.Problem, p *packing.Parcel) bool {
		ok := p.Signature
		p.Signature = false
		dropLine(p, "signature")
		return ok
	})},
	"signature not wanted": {"plan.signature", first(func(_ *packing.Problem, p *packing.Parcel) bool { ok := !p.Signature; p.Signature = true; return ok })},
	"a day sooner": {"plan.days", first(func(_ *packing.Problem, p *packing.Parcel) bool {
		p.Arrives = p.Arrives.Add(-1)
		return p.DaysMax != nil
	})},
	"fewer days at most":  {"plan.days", inPost(func(p *packing.Parcel) { *p.DaysMax-- })},
	"fewer days at least": {"plan.days", inPost(func(p *packing.Parcel) { *p.DaysMin-- })},
	"days not stated":     {"plan.days", inPost(func(p *packing.Parcel) { p.DaysMin = nil })},
	"days out of the air": {"plan.days", first(func(_ *packing.Problem, p *packing.Parcel) bool {
		ok := p.DaysMin == nil
		p.DaysMin = new(0)
		return ok
	})},
	"no day of arrival": {"plan.days", first(func(_ *packing.Problem, p *packing.Parcel) bool {
		ok := !p.Arrives.IsZero()
		p.Arrives = calendar.Day{}
		return ok
	})},

	// What it costs.
	"packaging one cheaper": {"plan.lines", line("packaging", func(l *tariff.Line) { l.Amount-- })},
	"postage one cheaper":   {"plan.lines", line("postage", func(l *tariff.Line) { l.Amount-- })},
	"surcharge one cheaper": {"plan.lines", line("surcharge", func(l *tariff.Line) { l.Amount-- })},
	"work one cheaper":      {"plan.lines", line("work", func(l *tariff.Line) { l.Amount-- })},
	"cover one cheaper":     {"plan.lines", line("cover", func(l *tariff.Line) { l.Amount-- })},
	"signature one cheaper": {"plan.lines", line("signature", func(l *tariff.Line) { l.Amount-- })},
	"no packaging":          {"plan.lines", drop("packaging")},
	"no postage":            {"plan.lines", drop("postage")},
	"no surcharge":          {"plan.lines", drop("surcharge")},
	"no work":               {"plan.lines", drop("work")},
	"no cover":              {"plan.lines", drop("cover")},
	"postage twice": {"plan.lines", first(func(_ *packing.Problem, p *packing.Parcel) bool {
		i := slices.IndexFunc(p.Lines, func(l tariff.Line) bool { return l.Rule == "postage" })
		p.Lines = slices.Insert(p.Lines, i, p.Lines[i])
		return true
	})},
	"lines turned round": {"plan.lines", first(func(_ *packing.Problem, p *packing.Parcel) bool { slices.Reverse(p.Lines); return true })},
	"another source":     {"plan.lines", line("postage", func(l *tariff.Line) { l.Source += "?" })},
	"another status":     {"plan.lines", line("postage", func(l *tariff.Line) { l.Status += "?" })},
	"a line misnamed":    {"plan.lines", line("postage", func(l *tariff.Line) { l.What += "?" })},
	"a line's count":     {"plan.lines", line("postage", func(l *tariff.Line) { l.Count++ })},

	// Sums, counts and headings.
	"a parcel's cost":                  {"plan.cost", whole(func(p *packing.Plan) { p.Parcels[0].Cost-- })},
	"an order's total":                 {"plan.total", orderOf(true, func(o *packing.OrderPlan) { o.Total-- })},
	"an order's bound above its total": {"plan.bound", orderOf(true, func(o *packing.OrderPlan) { o.Bound++ })},
	"an order's bound below its total": {"plan.bound", orderOf(true, func(o *packing.OrderPlan) { o.Bound-- })},
	"an order's parcels":               {"plan.parcels", orderOf(true, func(o *packing.OrderPlan) { o.Parcels++ })},
	"an order sent and infeasible":     {"plan.status", orderOf(true, func(o *packing.OrderPlan) { o.Status = packing.Infeasible })},
	"an order held and optimal":        {"plan.status", orderOf(false, func(o *packing.OrderPlan) { o.Status = packing.Optimal })},
	"a held order without reason":      {"plan.held", orderOf(false, func(o *packing.OrderPlan) { o.Reason = nil })},
	"a held order's unknown rule":      {"plan.reason", orderOf(false, func(o *packing.OrderPlan) { o.Reason.Rule = "tube.weight" })},
	"a held order's wrong unit":        {"plan.reason", orderOf(false, func(o *packing.OrderPlan) { o.Reason.Unit = "kg" })},
	"a held order's unknown sheet":     {"plan.held", orderOf(false, func(o *packing.OrderPlan) { o.Sheet = "none" })},
	"a sent order with a reason":       {"plan.held", orderOf(true, func(o *packing.OrderPlan) { o.Reason = &packing.Reason{Rule: "sheet.roll", Text: "?"} })},
	"an order left out":                {"plan.orders", whole(func(p *packing.Plan) { p.Orders = p.Orders[1:] })},
	"an order twice":                   {"plan.orders", whole(func(p *packing.Plan) { p.Orders = append(p.Orders, p.Orders[0]) })},
	"an order misnamed":                {"plan.orders", whole(func(p *packing.Plan) { p.Orders[0].ID += "?" })},
	"the total":                        {"plan.total", whole(func(p *packing.Plan) { p.Total-- })},
	"the bound above the total":        {"plan.bound", whole(func(p *packing.Plan) { p.Bound++ })},
	"the bound below the total":        {"plan.bound", whole(func(p *packing.Plan) { p.Bound-- })},
	"the number held":                  {"plan.held", whole(func(p *packing.Plan) { p.Held++ })},
	"the status":                       {"plan.status", whole(func(p *packing.Plan) { p.Status = packing.NotProven })},
	"the format":                       {"plan.format", whole(func(p *packing.Plan) { p.Format = "solander-plan/2" })},
	"the currency":                     {"plan.currency", whole(func(p *packing.Plan) { p.Currency = "EUR" })},
	"the day":                          {"plan.day", whole(func(p *packing.Plan) { p.Day = p.Day.Add(1) })},
	"stock used one less":              {"plan.stock", whole(func(p *packing.Plan) { p.StockUsed[0].Count-- })},
	"stock used left out":              {"plan.stock", whole(func(p *packing.Plan) { p.StockUsed = p.StockUsed[1:] })},
	"a warning left out": {"plan.warnings", func(_ *packing.Problem, p *packing.Plan) bool {
		if len(p.Warnings) == 0 {
			return false
		}
		p.Warnings = p.Warnings[1:]
		return true
	}},
	"a warning too many": {"plan.warnings", whole(func(p *packing.Plan) {
		p.Warnings = append(p.Warnings, packing.Warning{Code: "card.ended", Card: "none", Text: "?"})
	})},

	// The options rejected.
	"rejected for no parcel": {"plan.rejected", option(func(o *packing.Rejected, plan *packing.Plan) { o.Parcel = len(plan.Parcels) })},
	"rejected though dearer": {"plan.rejected", option(func(o *packing.Rejected, plan *packing.Plan) { o.Looks = plan.Parcels[o.Parcel].Cost })},
	"rejected by an untrue rule": {"plan.rejected", option(func(o *packing.Rejected, _ *packing.Plan) {
		o.Reason = packing.Reason{Rule: "zone.mass", Text: "?", Got: 2, Limit: 1, Unit: "ng"}
	})},
	"rejected by untrue numbers": {"plan.rejected", func(_ *packing.Problem, plan *packing.Plan) bool {
		i := slices.IndexFunc(plan.Rejected, func(o packing.Rejected) bool { return o.Reason.Unit != "" })
		if i >= 0 {
			plan.Rejected[i].Reason.Got++
		}
		return i >= 0
	}},
	"rejected by an unknown rule": {"plan.reason", option(func(o *packing.Rejected, _ *packing.Plan) { o.Reason.Rule = "tube.weight" })},
	"rejected without words":      {"plan.reason", option(func(o *packing.Rejected, _ *packing.Plan) { o.Reason.Text = "" })},
	"rejected without items":      {"plan.rejected", option(func(o *packing.Rejected, _ *packing.Plan) { o.Items = nil })},
	"rejected though admissible": {"plan.rejected", whole(func(plan *packing.Plan) {
		p := &plan.Parcels[0]
		o := packing.Rejected{Order: p.Order, Wrap: p.Wrap, Card: p.Card, Service: p.Service, Looks: p.Cost - 1, Reason: packing.Reason{Rule: "service.form", Text: "?"}}
		for _, e := range p.Layers {
			o.Items = append(o.Items, e.Item)
		}
		plan.Rejected = []packing.Rejected{o}
	})},
	"too many rejected": {"plan.rejected", option(func(o *packing.Rejected, plan *packing.Plan) {
		for range 13 {
			plan.Rejected = append([]packing.Rejected{*o}, plan.Rejected...)
		}
	})},
	"rejected in the wrong order": {"plan.rejected", func(_ *packing.Problem, plan *packing.Plan) bool {
		n := len(plan.Rejected)
		if n < 2 || plan.Rejected[0].Parcel == plan.Rejected[n-1].Parcel && plan.Rejected[0].Looks == plan.Rejected[n-1].Looks {
			return false
		}
		slices.Reverse(plan.Rejected)
		return true
	}},
}

// shared spoils the first parcel of several orders.
func shared(spoil func(p *packing.Parcel)) func(*packing.Problem, *packing.Plan) bool {
	return first(func(_ *packing.Problem, p *packing.Parcel) bool {
		ok := p.Orders != nil
		if ok {
			spoil(p)
		}
		return ok
	})
}

func reverseContents(_ *packing.Problem, p *packing.Parcel) bool {
	slices.Reverse(p.Contents)
	return len(p.Contents) > 1
}

// swapItem puts another item of the kind, that weighs something else, in place of the first it can: one
// that the layer allows, or one that it does not.
func swapItem(allowed bool) func(*packing.Problem, *packing.Parcel, *packing.LayerPlan) bool {
	return func(p *packing.Problem, parcel *packing.Parcel, e *packing.LayerPlan) bool {
		w := slices.IndexFunc(p.Wraps, func(w packing.Wrap) bool { return w.ID == parcel.Wrap })
		items := p.Wraps[w].Layers[e.Layer].Items
		old := item(p, e.Item)
		for _, other := range p.Shelf {
			allows := len(items) == 0 || slices.Contains(items, other.ID)
			if other.Kind == e.Kind && other.Mass != old.Mass && allows == allowed {
				e.Item = other.ID
				return true
			}
		}
		return false
	}
}

// otherService names another service of the card in the parcel's heading and lines.
func otherService(p *packing.Problem, parcel *packing.Parcel) bool {
	for _, c := range p.Cards {
		for _, s := range c.Services {
			if c.ID != parcel.Card || s.ID == parcel.Service {
				continue
			}
			for i := range parcel.Lines {
				if parcel.Lines[i].What == parcel.Service {
					parcel.Lines[i].What = s.ID
				}
			}
			parcel.Service, parcel.Class = s.ID, s.Class
			return true
		}
	}
	return false
}
