package mail

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"solander/edition"
	"solander/measure"
)

func known() Known {
	ed := func(id int64, title string, w, h measure.Length, grade string, limit int) Edition {
		return Edition{edition.Edition{ID: id, Width: w * measure.Inch, Height: h * measure.Inch, Grade: grade, Paper: "cotton rag", Limit: limit}, title}
	}
	return Known{Country: "US", Currency: "USD", Units: measure.Imperial, Outlets: []string{"Own shop", "Harbour Street Gallery"}, Editions: []Edition{
		ed(1, "Heron at dusk", 12, 16, "fine", 250), ed(2, "Heron at dusk", 18, 24, "fine", 90), ed(3, "Low tide", 11, 14, "standard", 80), ed(4, "Heron", 5, 7, "", 0),
	}}
}

// An outlet's mail, invented: everything that it says is found, with its words, and greetings are kept as not understood.
const wholeMail = `Hello Ines,

You have a new sale at Harbour Street Gallery!
Order number: W-2231
Order date: 2026-04-13

1 x Heron at dusk, 12 x 16 in, fine
Edition number: 17/250
Price: $95.00

Shipping: $12.50
Total: $107.50

Ship to:
Mara Vell
7 Mill Road
Apt 4
Denver, CO 80202
United States
+1 303 555 0142

Email: mara@example.org
Please pack it well.`

func TestAWholeMail(t *testing.T) {
	r := Take(wholeMail, known())
	got := map[string]string{}
	for _, f := range r.Fields {
		got[f.Field] = f.Value
		if f.Words == "" || f.Doubt != "" {
			t.Errorf("%s: words %q, doubt %q", f.Field, f.Words, f.Doubt)
		}
	}
	want := map[string]string{
		"outlet": "Harbour Street Gallery", "ref": "W-2231", "placed": "2026-04-13", "postage": "12.50", "total": "107.50", "email": "mara@example.org", "phone": "+1 303 555 0142", "buyer": "Mara Vell",
		"ship_to.name": "Mara Vell", "ship_to.line1": "7 Mill Road", "ship_to.line2": "Apt 4", "ship_to.city": "Denver", "ship_to.region": "CO", "ship_to.postcode": "80202", "ship_to.country": "US",
	}
	if d := cmp.Diff(want, got); d != "" {
		t.Error(d)
	}
	if len(r.Prints) != 1 || r.Prints[0].Edition != 1 || r.Prints[0].Number != "17" || r.Prints[0].Price != "95.00" || r.Prints[0].Doubt != "" {
		t.Errorf("prints %+v", r.Prints)
	}
	if d := cmp.Diff([]string{"Hello Ines,", "You have a new sale at Harbour Street Gallery!", "Please pack it well."}, r.Rest); d != "" {
		t.Error(d)
	}
}

// Addresses as countries write them. Source: the examples of postcodes and the orders of lines are those of the open address metadata
// (see package address); people and streets are invented.
func TestAddressBlocks(t *testing.T) {
	for text, want := range map[string]string{
		"Mara Vell\n7 Mill Road\nDenver CO 80202-1234":                                            "Mara Vell|7 Mill Road||Denver|CO|80202-1234|US|the mail names no country",
		"Mara Vell\n7 Mill Road\nSanta Fe, New Mexico 87501\nUSA":                                 "Mara Vell|7 Mill Road||Santa Fe|NM|87501|US|",
		"Mara Vell\n7 Mill Road\nDenver, CO 10001\nUSA":                                           "Mara Vell|7 Mill Road||Denver|CO|10001|US|the postcode 10001 does not lie in CO",
		"Tam Reed\nAm Wehr 3\n99423 Weimar\nDeutschland":                                          "Tam Reed|Am Wehr 3||Weimar||99423|DE|",
		"Tam Reed\nHinterhaus\nAm Wehr 3\n99423 Weimar, Germany":                                  "Tam Reed|Hinterhaus|Am Wehr 3|Weimar||99423|DE|",
		"Edda Quill\n14 Tide Lane\nWhitby\nNorth Yorkshire\nYO22 4PT\nUnited Kingdom":             "Edda Quill|14 Tide Lane|Whitby|North Yorkshire||YO22 4PT|GB|",
		"Edda Quill\n14 Tide Lane\nWhitby YO22 4PT\nUK":                                           "Edda Quill|14 Tide Lane||Whitby||YO22 4PT|GB|",
		"Jan Oever\nKade 12\n1234 AB Amsterdam\nNederland":                                        "Jan Oever|Kade 12||Amsterdam||1234 AB|NL|",
		"Odo Marsh\n55 Quarry St\nToronto ON M5V 2T6\nCanada":                                     "Odo Marsh|55 Quarry St||Toronto|ON|M5V 2T6|CA|",
		"Noor Weir\n3 rue du Quai\n75011 Paris\nFrance":                                           "Noor Weir|3 rue du Quai||Paris||75011|FR|",
		"Ship to: Mara Vell, 7 Mill Road, Denver, CO 80202, USA":                                  "Mara Vell|7 Mill Road||Denver|CO|80202|US|",
		"> Ship to:\n> Mara Vell\n> Mill Road\n> Denver, CO 80202\n> USA":                         "Mara Vell|Mill Road||Denver|CO|80202|US|the street has no house number",
		"Mara Vell\nc/o Weir\nHouse 4\nBack yard\n7 Mill Road\nDenver, CO 80202\nUSA":             "Mara Vell|c/o Weir|House 4, Back yard, 7 Mill Road|Denver|CO|80202|US|the address has more lines",
		"Kit Lo\nFlat B, 9/F\n12 Ferry Street\nKowloon\nHong Kong":                                "Kit Lo|Flat B, 9/F|12 Ferry Street|Kowloon|||HK|",
		"Hello, where is my print? I paid three weeks ago and\nnobody writes.\nIt was number 17.": "||||||",
	} {
		r := Take(text, known())
		var got []string
		for _, f := range []string{"name", "line1", "line2", "city", "region", "postcode", "country"} {
			got = append(got, r.Value("ship_to."+f))
		}
		doubts := strings.Join(r.Doubts(), "; ")
		if have := strings.Join(got, "|"); have+"|" != want && !(strings.HasPrefix(want, have+"|") && len(want) > len(have)+1 && strings.Contains(doubts, want[len(have)+1:])) && have != want {
			t.Errorf("%q:\n got %s|%s\nwant %s", text, have, doubts, want)
		}
	}
}

func TestPrintsInDoubt(t *testing.T) {
	for text, want := range map[string]Print{
		"Heron at dusk":                      {Doubt: "Heron at dusk has 2 editions, and the mail does not say which: choose the print"},
		"Heron at dusk, 18x24, no. 4":        {Edition: 2, Number: "4"},
		"Heron at dusk 40 x 60 cm":           {Doubt: "no edition of Heron at dusk is 40 x 60 cm, or it is sold out: choose the print"},
		"Low tide (28 x 35.5 cm) 110.00 USD": {Edition: 3, Price: "110.00"},
		"Low tide 110.00 EUR":                {Edition: 3}, // not the studio's money: left in sight, not taken
		"Heron, open edition, $8":            {Edition: 4, Price: "8.00"},
	} {
		r := Take(text, known())
		if len(r.Prints) != 1 {
			t.Errorf("%q: %d prints", text, len(r.Prints))
			continue
		}
		got := r.Prints[0]
		if got.Words != text {
			t.Errorf("%q was taken from %q", text, got.Words)
		}
		if got.Words = ""; got != want {
			t.Errorf("%q: %+v, want %+v", text, got, want)
		}
	}
	if r := Take("2 x Low tide 11 x 14 in 220.00\n1 x Heron at dusk, 12 x 16 in", known()); len(r.Prints) != 3 || r.Prints[0].Price != "" || r.Prints[0].Doubt == "" || r.Prints[2].Edition != 1 {
		t.Errorf("two and one are %+v", r.Prints)
	}
}

// Nothing is lost: each word of the text stands in what a field was taken from, or among what was not understood.
func FuzzNothingIsLost(f *testing.F) {
	f.Add(wholeMail)
	f.Add("Ship to: \xff\n\n\x00")
	f.Add("a: b\nMara Vell\n7 Mill Road\nDenver CO 80202\nHeron at dusk 2 x Low tide\nTel: 0303 555 0142\nSubtotal 4.00\nTotal: 0")
	f.Fuzz(func(t *testing.T, text string) {
		if len(text) > 2000 || strings.Count(text, "\n")+strings.Count(text, "\r") >= mostLines { // what is beyond is said to be left out
			return
		}
		r := Take(text, known())
		var kept strings.Builder
		for _, x := range r.Fields {
			kept.WriteString(x.Words + "\n")
		}
		for _, p := range r.Prints {
			kept.WriteString(p.Words + "\n")
		}
		all := kept.String() + strings.Join(r.Rest, "\n")
		for _, l := range strings.Split(strings.NewReplacer("\r\n", "\n", "\r", "\n", "\u00a0", " ", "\t", " ").Replace(text), "\n") {
			if field, _ := label(unquoted(l)); field != "" || len([]rune(l)) > mostWords/4 {
				continue // a label goes with its value
			}
			for _, w := range strings.Fields(unquoted(l)) {
				if strings.Trim(w, "-_=~.,;:") != "" && !strings.Contains(all, strings.Trim(w, ",")) {
					t.Errorf("%q of %q is lost: %q", w, l, all)
				}
			}
		}
	})
}
