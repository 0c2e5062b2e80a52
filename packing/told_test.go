package packing

import "testing"

func TestReasonsAreToldByName(t *testing.T) {
	p := Problem{
		Shelf:  []Item{{ID: "tube-18", Kind: Tube, Name: "tube 18 in long"}, {ID: "envelope-13x17", Kind: Envelope, Name: "stiff envelope 13 in × 17 in"}, {ID: "envelope-13", Kind: Envelope, Name: "the small one"}, {ID: "plain", Kind: Carton}},
		Wraps:  []Wrap{{ID: "nested", Name: "flat in two stiff envelopes"}},
		Orders: []Order{{Sheets: []Sheet{{ID: "L7", Note: "17/250 Heron at dusk"}}}},
	}
	for _, c := range []struct{ rule, text, want string }{
		{"tube.length", "tube tube-18: length of the roll 18 in + 2 × 1/2 in = 19 in > 18 in", "tube 18 in long: length of the roll 18 in + 2 × 1/2 in = 19 in > 18 in"},
		{"shelf.stock", "1 piece of envelope-13x17 needed, there are 0", "1 piece of stiff envelope 13 in × 17 in needed, there are 0"},
		{"shelf.stock", "2 pieces of envelope-13 needed, there are 1", "2 pieces of the small one needed, there are 1"},
		{"shelf.shared", "1 piece needed, other parcels take 2 of the 2 of envelope-13x17", "1 piece needed, other parcels take 2 of the 2 of stiff envelope 13 in × 17 in"},
		{"shelf.shared", "the orders of the day would take 3 of tube-18, there are 2, and others take them", "the orders of the day would take 3 of tube 18 in long, there are 2, and others take them"},
		{"carton.length", "carton plain: long side 20 in > 16 in", "carton plain: long side 20 in > 16 in"},
		{"wrap.most", "nested is for at most 1 sheet; these are 3", "flat in two stiff envelopes is for at most 1 sheet; these are 3"},
		{"sheet.roll", "sheet L7 may not be rolled", "17/250 Heron at dusk may not be rolled"},
		{"house.fine", "the class ground is not allowed", "the class ground is not allowed"},
	} {
		if got := p.Told(Reason{Rule: c.rule, Text: c.text}); got != c.want {
			t.Errorf("%q is told as %q, want %q", c.text, got, c.want)
		}
	}
}
