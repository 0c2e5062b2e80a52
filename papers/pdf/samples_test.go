package pdf

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"solander/bench"
	"solander/calendar"
	"solander/edition"
	"solander/measure"
	"solander/money"
	"solander/order"
	"solander/packing"
	"solander/papers"
	"solander/papers/wrap"
	"solander/tariff"
)

var dump = flag.String("dump", "", "folder to which the sample papers are written, to be looked at")

var day = calendar.Date(2026, 4, 15)

const ended = "price card post-2025-10-05 ended on Sat 17 Jan 2026: prices may be too low"

func head() papers.Head {
	return papers.Head{Studio: "Saltmarsh Studio", Day: day, Units: measure.Imperial}
}

func usd(minor int64) money.Amount { return money.Of(minor, "USD") }

func home() order.Address {
	return order.Address{Name: "Saltmarsh Studio", Line1: "9 Quay Lane", City: "Roanoke", Region: "VA", Postcode: "24011", Country: "US"}
}

func abroad() order.Address {
	return order.Address{Name: "Zoé Łukasik-Müller", Line1: "Große Straße 17½", Line2: "Hinterhaus, 3. Stock", City: "Köln", Postcode: "50667", Country: "DE"}
}

// samples returns one of every paper, as a studio has them on a plain day.
func samples() map[string]papers.Paper {
	return map[string]papers.Paper{
		"bench":     papers.Bench(head(), benchList()),
		"sign":      papers.Sign(head(), benchList(), nil),
		"slip":      papers.Slip(head(), slipIn("")),
		"gift":      papers.Slip(head(), slipIn("For your new walls, with love.\nAunt Zoé")),
		"label":     papers.Label(head(), papers.LabelIn{From: home(), To: abroad(), Mark: "S-1042", Part: 1, Parts: 2, Service: "parcel post abroad"}),
		"flat":      flatSheet(nil),
		"rolled":    rolledSheet(),
		"carton":    cartonSheet(),
		"beside":    besideSheet(),
		"hand-over": papers.HandOver(head(), handOverIn()),
		"cutting":   cuttingList(),
	}
}

func benchList() bench.List {
	s := bench.State{Day: day, Working: calendar.USFederal(), Units: measure.Imperial, OnHand: map[int64]int{1: 2, 2: 3}}
	add := func(mark, buyer string, placed, promised calendar.Day, paid int64, ed int64, n int, signed bool) *bench.Order {
		id := int64(len(s.Orders) + 1)
		title, size := "Heron at dusk", "12 × 16 in"
		if ed == 2 {
			title, size = "Tide tables, low water", "18 × 24 in"
		}
		l := order.Line{ID: id * 10, Order: id, Edition: ed, Number: edition.Number{Kind: edition.Numbered, N: n}, Price: usd(12000), Signed: signed}
		s.Orders = append(s.Orders, bench.Order{
			BuyerName: buyer, OutletName: "Own site",
			Order: order.Order{
				ID: id, Mark: mark, State: order.Open, Placed: placed, Promised: promised, Postage: usd(0), Lines: []order.Line{l},
				Payments: []order.Payment{{Kind: order.Deposit, Amount: usd(paid)}},
				ShipTo:   order.Address{Name: buyer, Line1: "9 Quay Lane", City: "Norfolk", Region: "VA", Postcode: "23510", Country: "US"},
			},
			Prints: []bench.Print{{Line: l, Title: title, Label: fmt.Sprintf("%d/250", n), Size: size, Grade: "fine", Edition: title + ", " + size + ", fine"}},
		})
		return &s.Orders[len(s.Orders)-1]
	}
	d := func(m, n int) calendar.Day { return calendar.Date(2026, 4, n) }
	add("S-1031", "Ada Quill", d(4, 1), d(4, 10), 6000, 1, 16, false)
	add("S-1038", "Zoé Łukasik-Müller", d(4, 7), d(4, 14), 12000, 1, 17, false)
	add("S-1040", "Bram Teal", d(4, 9), d(4, 16), 12000, 1, 18, false)
	add("S-1041", "Ines Fallow", d(4, 10), d(4, 17), 12000, 2, 3, false)
	p := add("S-1042", "Otto Marl", d(4, 10), d(4, 17), 12000, 2, 4, true)
	p.Plan = &bench.Plan{Proven: true, Warnings: []string{ended}, Parcels: []bench.PlannedParcel{{Wrap: "rolled in a tube", Layers: []string{"tissue 20 × 30 in", "tube 3 1/4 in, 24 in long"}, Mass: 14 * measure.Ounce, Service: "parcel post"}}}
	h := add("S-1043", "Gallery North", d(4, 13), d(4, 20), 12000, 2, 5, true)
	h.Held = "no packaging is long enough: 40 in > 36 in"
	k := add("S-1044", "Pia Holm", d(4, 13), d(4, 20), 12000, 1, 19, true)
	k.Lines[0].Parcel = 7
	k.Parcels = []bench.Parcel{{ID: 7, Labelled: true, Service: "parcel post", Text: "stiff envelope 13 × 17 in, 8.2 oz", Tracking: "RR473124829US"}}
	s.Shelf = []bench.Stock{{ID: 1, Name: "stiff envelope 13 × 17 in", Stock: 4, ReorderAt: 10, Pack: 25}}
	return bench.Make(s)
}

func slipIn(gift string) papers.SlipIn {
	e := edition.Edition{ID: 1, Title: "Heron at dusk", Width: 12 * measure.Inch, Height: 16 * measure.Inch, Paper: "cotton rag", Grammage: 310 * measure.GSM, Technique: "pigment print", Limit: 250, Proofs: edition.Proofs{AP: 25, BAT: 1}, Grade: "fine"}
	open := edition.Edition{ID: 2, Title: "Tide tables, low water", Width: 5 * measure.Inch, Height: 7 * measure.Inch, Paper: "matte", Grammage: 230 * measure.GSM, Grade: "standard"}
	return papers.SlipIn{
		Order: order.Order{Mark: "S-1042", Ref: "A-77", Placed: calendar.Date(2026, 4, 7), ShipTo: abroad(), Postage: usd(1850), Tax: usd(0), GiftMessage: gift, Lines: []order.Line{
			{ID: 1, Edition: 1, Number: edition.Number{Kind: edition.Numbered, N: 17}, Price: usd(12000)},
			{ID: 2, Edition: 1, Number: edition.Number{Kind: edition.AP, N: 2}, Price: usd(15000)},
			{ID: 3, Edition: 2, Price: usd(2500)},
		}, Payments: []order.Payment{{Kind: order.Deposit, Amount: usd(31350)}}},
		Outlet: "Harbour fair", From: home(), Editions: map[int64]edition.Edition{1: e, 2: open},
	}
}

func handOverIn() papers.HandOverIn {
	return papers.HandOverIn{Note: "Counter closes at 17:00.", Parcels: []papers.HandedParcel{
		{Mark: "S-1044", To: "Pia Holm, Richmond VA", Service: "parcel post", Tracking: "420232199205500000000000000012", Verified: "GS1 mod 10", Postage: usd(842)},
		{Mark: "S-1042", To: "Zoé Łukasik-Müller, Köln, Germany", Service: "parcel post abroad", Tracking: "RR473124829US", Verified: "UPU S10", Postage: usd(2310)},
		{Mark: "S-1043", To: "Gallery North, Bergen, Norway", Service: "courier", Tracking: "NORTH12345678", Postage: usd(5400)},
		{Mark: "S-1046", To: "Bram Teal, Salem VA", Service: "parcel post", Postage: usd(795)},
	}}
}

func sheetOf(id string, w, h measure.Length) packing.Sheet {
	return packing.Sheet{ID: id, Width: w, Height: h, Caliper: 20 * measure.Mil, Grammage: 310 * measure.GSM}
}

func flatSheet(pictures map[string][]byte) wrap.Sheet {
	items := []packing.Item{
		{ID: "sleeve-12x16", Name: "sleeve 12 × 16", Kind: packing.Sleeve, Width: 49 * measure.Inch / 4, Height: 65 * measure.Inch / 4, Wall: 2 * measure.Mil},
		{ID: "board-13x17", Name: "grey board", Kind: packing.Board, Width: 13 * measure.Inch, Height: 17 * measure.Inch, Caliper: 60 * measure.Mil, Stiff: true},
		{ID: "env-13x18", Name: "stiff envelope", Kind: packing.Envelope, Width: 53 * measure.Inch / 4, Height: 18 * measure.Inch, Wall: 24 * measure.Mil, Stiff: true, Thickest: measure.Inch / 2},
		{ID: "env-15x20", Name: "soft outer envelope", Kind: packing.Envelope, Width: 15 * measure.Inch, Height: 20 * measure.Inch, Wall: 12 * measure.Mil, Soft: true},
	}
	recipe := packing.Wrap{ID: "flat-double", Name: "double envelope with boards", Shape: packing.Flat, Layers: []packing.Layer{
		{Kind: packing.Sleeve, Per: packing.PerSheet}, {Kind: packing.Board, Count: 2, Clearance: packing.Clearance{Sides: measure.Inch / 4}}, {Kind: packing.Envelope}, {Kind: packing.Envelope},
	}}
	p := packing.Parcel{Contents: []packing.Content{{Sheet: "a", Copies: 1}}, Wrap: "flat-double", Shape: packing.Flat, Mass: 13 * measure.Ounce, Service: "parcel post", Size: tariff.SizeOf(20*measure.Inch, 15*measure.Inch, measure.Inch/4), Layers: []packing.LayerPlan{
		{Layer: 0, Kind: packing.Sleeve, Item: "sleeve-12x16", Count: 1, Sheet: "a"}, {Layer: 1, Kind: packing.Board, Item: "board-13x17", Count: 2}, {Layer: 2, Kind: packing.Envelope, Item: "env-13x18", Count: 1}, {Layer: 3, Kind: packing.Envelope, Item: "env-15x20", Count: 1},
	}}
	return wrap.Of(head(), p, wrap.In{Mark: "S-1038", Buyer: "Zoé Łukasik-Müller", Wrap: recipe, Items: items, Sheets: []packing.Sheet{sheetOf("a", 12*measure.Inch, 16*measure.Inch)}, Prints: map[string]string{"a": "17/250 Heron at dusk"}, Pictures: pictures, Warnings: []string{ended}})
}

func rolledSheet() wrap.Sheet {
	items := []packing.Item{
		{ID: "tissue-20x30", Name: "tissue", Kind: packing.Tissue, Width: 20 * measure.Inch, Height: 30 * measure.Inch, Caliper: measure.Mil},
		{ID: "tube-325", Name: "tube 3 1/4 in", Kind: packing.Tube, Diameter: 13 * measure.Inch / 4, Length: 30 * measure.Inch, Wall: 80 * measure.Mil, Cut: &packing.Cut{Shortest: 12 * measure.Inch, Step: measure.Inch}},
	}
	recipe := packing.Wrap{ID: "tube", Name: "rolled in a tube", Shape: packing.Rolled, Core: 3 * measure.Inch, Layers: []packing.Layer{
		{Kind: packing.Tissue}, {Kind: packing.Tube, Clearance: packing.Clearance{Ends: measure.Inch / 2}},
	}}
	p := packing.Parcel{
		Contents: []packing.Content{{Sheet: "a", Copies: 1}}, Wrap: "tube", Shape: packing.Rolled, Mass: 14 * measure.Ounce, Service: "parcel post", Size: tariff.SizeOf(26*measure.Inch, 3410*measure.Mil, 3410*measure.Mil),
		Roll: &packing.RollPlan{Axis: 24 * measure.Inch, Strip: 18 * measure.Inch, Pack: 21 * measure.Mil, Inner: 3 * measure.Inch, Outer: 3078 * measure.Mil}, Layers: []packing.LayerPlan{
			{Layer: 0, Kind: packing.Tissue, Item: "tissue-20x30", Count: 1}, {Layer: 1, Kind: packing.Tube, Item: "tube-325", Count: 1, CutTo: 26 * measure.Inch},
		},
	}
	return wrap.Of(head(), p, wrap.In{Mark: "S-1042", Buyer: "Otto Marl", Wrap: recipe, Items: items, Sheets: []packing.Sheet{sheetOf("a", 18*measure.Inch, 24*measure.Inch)}, Prints: map[string]string{"a": "4/250 Tide tables, low water"}})
}

func cartonSheet() wrap.Sheet {
	items := []packing.Item{
		{ID: "tissue", Name: "interleaf", Kind: packing.Tissue, Width: 20 * measure.Inch, Height: 30 * measure.Inch, Caliper: measure.Mil},
		{ID: "board-13x17", Name: "grey board", Kind: packing.Board, Width: 13 * measure.Inch, Height: 17 * measure.Inch, Caliper: 60 * measure.Mil, Stiff: true},
		{ID: "carton-18", Name: "carton 18 × 14 × 6", Kind: packing.Carton, Length: 18 * measure.Inch, Width: 14 * measure.Inch, Height: 6 * measure.Inch, Wall: 160 * measure.Mil, Cut: &packing.Cut{Shortest: measure.Inch, Step: measure.Inch / 2}, IssuedFor: "priority"},
	}
	recipe := packing.Wrap{ID: "carton", Name: "cut-down carton with stiffeners", Shape: packing.Flat, Layers: []packing.Layer{
		{Kind: packing.Tissue, Per: packing.PerGap}, {Kind: packing.Board, Count: 2}, {Kind: packing.Carton},
	}}
	p := packing.Parcel{Contents: []packing.Content{{Sheet: "a", Copies: 1}, {Sheet: "b", Copies: 2}}, Wrap: "carton", Shape: packing.Flat, Mass: 46 * measure.Ounce, Service: "priority", Size: tariff.SizeOf(18320*measure.Mil, 14320*measure.Mil, 1320*measure.Mil), Layers: []packing.LayerPlan{
		{Layer: 0, Kind: packing.Tissue, Item: "tissue", Count: 2}, {Layer: 1, Kind: packing.Board, Item: "board-13x17", Count: 2}, {Layer: 2, Kind: packing.Carton, Item: "carton-18", Count: 1, CutTo: measure.Inch},
	}}
	return wrap.Of(head(), p, wrap.In{
		Mark: "S-1050", Buyer: "Gallery North", Part: 1, Parts: 2, Wrap: recipe, Items: items,
		Sheets: []packing.Sheet{sheetOf("a", 12*measure.Inch, 16*measure.Inch), sheetOf("b", 8*measure.Inch, 10*measure.Inch)}, Prints: map[string]string{"a": "17/250 Heron at dusk", "b": "Tide tables, low water"},
	})
}

// besideSheet is five cards in three tiers in a carton whose base is cut down.
func besideSheet() wrap.Sheet {
	const in = measure.Inch
	items := []packing.Item{
		{ID: "sleeve-5x7", Name: "clear sleeve 5 × 7", Kind: packing.Sleeve, Width: 21 * in / 4, Height: 29 * in / 4, Wall: 2 * measure.Mil},
		{ID: "tissue", Name: "interleaf", Kind: packing.Tissue, Width: 20 * in, Height: 30 * in, Caliper: measure.Mil},
		{ID: "board-9x12", Name: "grey board", Kind: packing.Board, Width: 9 * in, Height: 12 * in, Caliper: 60 * measure.Mil, Stiff: true},
		{ID: "carton-14", Name: "carton 14 × 10 × 3", Kind: packing.Carton, Length: 14 * in, Width: 10 * in, Height: 3 * in, Wall: 160 * measure.Mil, Cut: &packing.Cut{Shortest: in, Step: in / 2}, CutBase: &packing.CutBase{ShortestLength: 8 * in, ShortestWidth: 6 * in, Step: in}},
	}
	recipe := packing.Wrap{ID: "cards", Name: "cards side by side in a carton", Shape: packing.Flat, Beside: 2, Between: in / 8, Layers: []packing.Layer{
		{Kind: packing.Sleeve, Per: packing.PerSheet}, {Kind: packing.Tissue, Per: packing.PerGap}, {Kind: packing.Board, Count: 2}, {Kind: packing.Carton},
	}}
	w, h := 21*in/4+4*measure.Mil, 29*in/4+4*measure.Mil
	at := func(x measure.Length) packing.Spot { return packing.Spot{Sheet: "a", X: x, Width: w, Height: h} }
	two := packing.Tier{Thickness: 24 * measure.Mil, Spots: []packing.Spot{at(0), at(w + in/8)}}
	p := packing.Parcel{
		Contents: []packing.Content{{Sheet: "a", Copies: 5}}, Wrap: "cards", Shape: packing.Flat, Mass: 13 * measure.Ounce, Service: "priority", Size: tariff.SizeOf(12320*measure.Mil, 9320*measure.Mil, 1320*measure.Mil),
		Mat: &packing.Mat{Width: 2*w + in/8, Height: h, Tiers: []packing.Tier{two, two, {Thickness: 24 * measure.Mil, Spots: []packing.Spot{at(0)}}}},
		Layers: []packing.LayerPlan{
			{Layer: 0, Kind: packing.Sleeve, Item: "sleeve-5x7", Count: 5, Sheet: "a"},
			{Layer: 1, Kind: packing.Tissue, Item: "tissue", Count: 2},
			{Layer: 2, Kind: packing.Board, Item: "board-9x12", Count: 2},
			{Layer: 3, Kind: packing.Carton, Item: "carton-14", Count: 1, CutTo: in, CutLength: 12 * in, CutWidth: 9 * in},
		},
	}
	return wrap.Of(head(), p, wrap.In{Mark: "S-1061", Buyer: "Gallery North", Wrap: recipe, Items: items, Sheets: []packing.Sheet{sheetOf("a", 5*in, 7*in)}, Prints: map[string]string{"a": "Tide tables, card"}})
}

// drawn draws a paper, and with -dump writes it out for a person to look at.
func drawn(t *testing.T, name string, paper papers.Paper) []byte {
	t.Helper()
	b, err := Draw(paper)
	if err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	if *dump != "" {
		path := filepath.Join(*dump, strings.ReplaceAll(name, " ", "-")+".pdf")
		if err := os.WriteFile(path, b, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	return b
}

// cuttingList is a sheet of 32 × 40 in cut into two boards of 16 × 20 in and one of 12 × 16 in.
func cuttingList() papers.CuttingList {
	const in = measure.Inch
	at := func(x, y, w, h measure.Length) papers.Place {
		return papers.Place{X: x * in, Y: y * in, Width: w * in, Height: h * in}
	}
	sheet := papers.SheetIn{
		N: 1, Copies: 2, Name: "mount board", Width: 32 * in, Height: 40 * in,
		Cuts: []papers.BoardCut{
			{Step: 1, At: 20 * in, Measure: 20 * in, Of: at(0, 0, 32, 40)},
			{Step: 2, Upright: true, At: 16 * in, Measure: 16 * in, Of: at(0, 0, 32, 20)},
			{Step: 3, Upright: true, At: 12 * in, Measure: 12 * in, Of: at(0, 20, 32, 20)},
			{Step: 4, At: 36 * in, Measure: 16 * in, Of: at(0, 20, 12, 20)},
		},
		Boards: []papers.CutBoard{{Board: "large", Place: at(0, 0, 16, 20)}, {Board: "large", Place: at(16, 0, 16, 20)}, {Board: "small", Place: at(0, 20, 12, 16)}},
		Waste:  []papers.CutBoard{{Place: at(0, 36, 12, 4)}, {Place: at(12, 20, 20, 20)}},
	}
	return papers.CuttingList{Head: head(), Proof: "2 sheets; proven: no list takes fewer sheets", Sheets: []papers.DrawnSheet{papers.DrawSheet(measure.Imperial, sheet)}, Cautions: papers.KnifeCautions()}
}
