package mail

import (
	"strconv"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// Mails as outlets and buyers write them, invented: labels with and without a colon, a label above its value, cells of a table, a name said twice,
// an address below other words, four languages. What is found stands in one line a field; how such mails are laid out is common practice, no source.
func TestLayouts(t *testing.T) {
	for _, m := range []struct{ name, country, text, want, rest string }{
		{"a name said twice", "US", "Order 7781\nBuyer: Mara Vell\nMara Vell\n7 Mill Road\nDenver, CO 80202\nUnited States", "ref=7781; buyer=Mara Vell; ship_to.name=Mara Vell; ship_to.line1=7 Mill Road; ship_to.city=Denver; ship_to.region=CO; ship_to.postcode=80202; ship_to.country=US", ""},
		{
			"labels without a colon, and sums below the address", "US", "Order #7781\nShip to\nMara Vell\n12 Garden St\nDenver CO 80202\nTotal $107.50\nShipping $12.50",
			"ref=7781; ship_to.name=Mara Vell; buyer=Mara Vell; ship_to.line1=12 Garden St; ship_to.city=Denver; ship_to.region=CO; ship_to.postcode=80202; ship_to.country=US; total=107.50; postage=12.50", "",
		},
		{
			"each label above its value", "US", "Order number\nW-2231\n\nOrder date\n2026-04-13\n\nBuyer\nMara Vell\n\nEmail\nmara@example.org\n\nShipping address\nMara Vell\n7 Mill Road\nApt 4\nDenver, CO 80202\nUnited States\n\nPhone\n+1 303 555 0142\n\nShipping\n$12.50\n\nOrder total\n$107.50",
			"ref=W-2231; placed=2026-04-13; buyer=Mara Vell; email=mara@example.org; phone=+1 303 555 0142; postage=12.50; total=107.50; ship_to.name=Mara Vell; ship_to.line1=7 Mill Road; ship_to.line2=Apt 4; ship_to.city=Denver; ship_to.region=CO; ship_to.postcode=80202; ship_to.country=US", "",
		},
		{
			"cells of a table", "US", "Order\tW-2231\nItem\tQty\tPrice\nHeron at dusk, 12 x 16 in\t1\t$95.00\nShipping\t$12.50\nTotal\t$107.50",
			"ref=W-2231; postage=12.50; total=107.50; print=1 95.00", "Item Qty Price",
		},
		{
			"a buyer's own words", "US", "Hi Ines,\nI would love number 17 of Heron at dusk, the 12x16. My address is\nMara Vell\n7 Mill Road\nDenver, CO 80202\n\nThank you!\nMara",
			"buyer=Mara Vell; ship_to.name=Mara Vell; ship_to.line1=7 Mill Road; ship_to.city=Denver; ship_to.region=CO; ship_to.postcode=80202; ship_to.country=US; print=1#17", "Hi Ines,|Thank you!|Mara",
		},
		{
			"German", "DE", "Bestellung 7781 vom 28.11.2026\nKäuferin: Petra Quill\nLieferanschrift\nPetra Quill\nGartenweg 12a\n99423 Weimar\nDeutschland\nTel. 03643 55501\nZwischensumme 95,00 €\nVersand 6,90 €\nGesamtbetrag 101,90 €",
			"ref=7781; placed=2026-11-28; buyer=Petra Quill; ship_to.name=Petra Quill; ship_to.line1=Gartenweg 12a; ship_to.city=Weimar; ship_to.postcode=99423; ship_to.country=DE; phone=03643 55501; postage=6.90; total=101.90", "",
		},
		{
			"French", "FR", "Commande n° 55\nClient : Noor Weir\n3 rue du Quai\n75011 Paris\nFrance\nFrais de port 9,50 €\nTotal 104,50 €",
			"ref=55; buyer=Noor Weir; ship_to.name=Noor Weir; ship_to.line1=3 rue du Quai; ship_to.city=Paris; ship_to.postcode=75011; ship_to.country=FR; postage=9.50; total=104.50", "",
		},
		{
			"Spanish", "ES", "Pedido nº 881\nDestinatario: Ada Ruiz\nCalle Mayor 3\n28013 Madrid\nEspaña\nEnvío: 9,50 €\nTotal: 104,50 €",
			"ref=881; buyer=Ada Ruiz; ship_to.name=Ada Ruiz; ship_to.line1=Calle Mayor 3; ship_to.city=Madrid; ship_to.postcode=28013; ship_to.country=ES; postage=9.50; total=104.50", "",
		},
		{
			"a buyer's own words in German", "DE", "Hallo Ines,\n\nich hätte gern Nummer 3 von \"Low tide\". Meine Adresse ist\nPetra Quill\nGartenweg 12a\n99423 Weimar\n\nViele Grüße\nPetra",
			"buyer=Petra Quill; ship_to.name=Petra Quill; ship_to.line1=Gartenweg 12a; ship_to.city=Weimar; ship_to.postcode=99423; ship_to.country=DE; print=3#3", "Hallo Ines,|Viele Grüße|Petra",
		},
		{
			"an address below a closing", "US", "Hello Ines!\nI take Low tide.\n\nThanks,\nMara Vell\n7 Mill Road\nDenver, CO 80202\n+1 303 555 0142",
			"buyer=Mara Vell; ship_to.name=Mara Vell; ship_to.line1=7 Mill Road; ship_to.city=Denver; ship_to.region=CO; ship_to.postcode=80202; ship_to.country=US; phone=+1 303 555 0142; print=3", "Hello Ines!|Thanks,",
		},
		{
			"an address in a line of words", "US", "1 x Low tide\nPlease send it to Mara Vell, 7 Mill Road, Denver CO 80202.",
			"buyer=Mara Vell; ship_to.name=Mara Vell; ship_to.line1=7 Mill Road; ship_to.city=Denver; ship_to.region=CO; ship_to.postcode=80202; ship_to.country=US; print=3", "",
		},
		{"days in words", "US", "Order 7781\nOrdered on: Saturday, November 28, 2026 at 3:12 PM", "ref=7781; placed=2026-11-28", ""},
		{"a day that can be read in two ways", "US", "Order date: 4/6/2026", "", "Order date: 4/6/2026"},
		{"labels with nothing below", "US", "Order number\n\nBuyer\nPhone\nShip to\nTotal", "", "Order number|Buyer|Phone|Ship to|Total"},
		{"a note of several lines", "US", "Note from buyer\nPlease sign it\non the back.\n\nGift message: Happy birthday", "note=Please sign it on the back.; gift_message=Happy birthday", ""},
		{"sums with their rate", "US", "Subtotal (1 item): $95.00\nSales tax (8.25%): $7.84\nTotal $102.84", "tax=7.84; total=102.84", ""},
		{"words that are no label", "US", "Order 2 prints soon\nI live in Denver\nTotal nonsense", "", "Order 2 prints soon|I live in Denver|Total nonsense"},
	} {
		known := known()
		known.Country = m.country
		if m.country != "US" {
			known.Currency = "EUR"
		}
		r := Take(m.text, known)
		got, want := map[string]bool{}, map[string]bool{}
		for _, f := range r.Fields {
			got[f.Field+"="+f.Value] = true
		}
		for _, p := range r.Prints {
			got[strings.TrimSpace("print="+strconv.FormatInt(p.Edition, 10)+strings.TrimSuffix("#"+p.Number, "#")+" "+p.Price)] = true
		}
		for w := range strings.SplitSeq(m.want, "; ") {
			if w != "" {
				want[w] = true
			}
		}
		if d := cmp.Diff(want, got); d != "" {
			t.Errorf("%s: %s", m.name, d)
		}
		if have := strings.Join(r.Rest, "|"); have != m.rest {
			t.Errorf("%s: not understood %q, want %q", m.name, have, m.rest)
		}
	}
}
