package proposal_test

import (
	"regexp"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"golang.org/x/text/unicode/norm"

	"solander/intake"
	"solander/intake/guess"
	"solander/internal/intaketest"
)

// Workbooks as they are kept in German, French and Spanish; the sales are invented. Days: Unicode CLDR, de dd.MM.y, fr dd/MM/y, es d/M/y; amounts: de
// 1.234,56 €, fr 1 234,56 €, es 1.234,56 €; Spanish days as read, the rest from memory.
var foreignBooks = map[string]struct {
	text, columns string
	orders        []string
}{
	"German": {
		"Bestellnummer|Verkauft am|Käufer|E-Mail|Straße|PLZ|Ort|Land|Titel|Größe|Nr.|Preis|Anzahlung|Versandkosten|Versandt am|Sendungsnummer|Bemerkungen\n" +
			"B-1|12.04.2026|Edda Quill|edda@example.org|Mühlweg 4|10115|Berlin|Deutschland|Reiher|30 x 40 cm|17/250|1.234,56|1.234,56|7,49|14.04.2026||\n" +
			"B-2|3. Mai 2026|Odo Marsch|odo@example.org|Am Wehr 1|1010|Wien|Österreich|Reiher|30 x 40 cm|18/250|1.234,56|600,00|7,49|||Druckerei bestellt 2. Mai",
		"A=ref B=sold_on C=buyer D=email E=line1 F=postcode G=city H=country I=title J=size K=number L=price M=paid N=postage O=sent_on P=tracking Q=note",
		[]string{
			"ready 2026-04-12 Edda Quill | Reiher, 30 x 40 cm no 17 1234.56 +1234.56 sent",
			"ready 2026-05-03 Odo Marsch | Reiher, 30 x 40 cm no 18 1234.56 +600.00 nothing",
		},
	},
	"French": {
		"Date de vente|Acheteur|Courriel|Adresse|Code postal|Ville|Pays|Œuvre|Taille|N°|Prix|Payé|Solde|Envoyé le|Remarques\n" +
			"03/04/2026|Edda Quill|edda@example.org|4 rue du Moulin|75011|Paris|France|Héron|30 x 40 cm|17/250|1 234,56 €|1 234,56 €||05/04/2026|\n" +
			"4 mai 2026|Odo Marsh|odo@example.org|1 quai Bas|69001|Lyon|France|Héron|30 x 40 cm|18/250|90,00 €|40,00 €|50,00 €||",
		"A=sold_on B=buyer C=email D=address E=postcode F=city G=country H=title I=size J=number K=price L=paid M=owed N=sent_on O=note",
		[]string{
			"ready 2026-04-03 Edda Quill | Héron, 30 x 40 cm no 17 1234.56 +1234.56 sent",
			"ready 2026-05-04 Odo Marsh | Héron, 30 x 40 cm no 18 90.00 +40.00 owed 50.00 nothing",
		},
	},
	"Spanish": {
		"Fecha|Comprador|Correo electrónico|Dirección|Código postal|Ciudad|País|Título|Tamaño|Número|Precio|Pagado|Enviado el|Estado|Observaciones\n" +
			"12/4/2026|Edda Quill|edda@example.org|Calle Alta 4|28001|Madrid|España|Garza|30 x 40 cm|17/250|1.234,56 €|1.234,56 €|14/4/2026|enviado|\n" +
			"3 de mayo de 2026|Odo Marsh|odo@example.org|Calle Baja 1|41001|Sevilla|España|Garza|30 x 40 cm|18/250|90,00 €|no||pendiente|",
		"A=sold_on B=buyer C=email D=address E=postcode F=city G=country H=title I=size J=number K=price L=paid M=sent_on N=state O=note",
		[]string{
			"ready 2026-04-12 Edda Quill | Garza, 30 x 40 cm no 17 1234.56 +1234.56 sent",
			"ready 2026-05-03 Odo Marsh | Garza, 30 x 40 cm no 18 90.00 waiting",
		},
	},
}

func TestBooksInOtherLanguages(t *testing.T) {
	for language, b := range foreignBooks {
		for _, table := range []intake.Table{intaketest.TableOf(t, b.text), intaketest.TableOf(t, unmarked(b.text))} {
			g := guess.New(table)
			if got := intaketest.Guessed(g.Mapping); got[0] != "Sales 1: "+b.columns {
				t.Errorf("%s: %s, want %s", language, got[0], b.columns)
			}
			if g.Mapping.Days != intake.DayMonth || g.Mapping.Decimal != "," {
				t.Errorf("%s: days %q, decimals %q", language, g.Mapping.Days, g.Mapping.Decimal)
			}
		}
		g := guess.New(intaketest.TableOf(t, b.text))
		m := g.Mapping
		m.Name, m.Currency, m.Outlet = "hers", "EUR", "Atelier"
		r := intaketest.Read(t, intake.Input{Table: intaketest.TableOf(t, b.text), Mapping: m})
		if diff := cmp.Diff(b.orders, intaketest.Orders(r)); diff != "" {
			t.Errorf("%s: %s %v", language, diff, intaketest.Rules(r))
		}
		for _, p := range r.Proposals {
			if p.ShipTo.Country == "" || p.ShipTo.Postcode == "" {
				t.Errorf("%s: address %+v", language, p.ShipTo)
			}
		}
	}
}

var marks = regexp.MustCompile(`\p{Mn}`)

// unmarked writes the headings without the marks of their letters, as they are often typed.
func unmarked(text string) string {
	head, rest, _ := strings.Cut(text, "\n")
	return strings.ReplaceAll(marks.ReplaceAllString(norm.NFD.String(strings.ReplaceAll(head, "ß", "ss")), ""), "Œ", "OE") + "\n" + rest
}
