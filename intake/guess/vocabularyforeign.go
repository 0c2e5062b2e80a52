package guess

import (
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"

	"solander/intake"
)

// Where the words of headings in German, French and Spanish were found. Both files were read on 2026-11-28; NOTICE.md names their licences.
const (
	// Words by which web forms are recognised: Chromium project, components/autofill/core/common/autofill_regex_constants.h (BSD-3-Clause).
	fromForms = "forms"
	// German names of the terms of EN 16931: KoSIT, xrechnung-visualization, src/xsl/l10n/de.xml (Apache-2.0).
	fromInvoices = "invoices"
	// Common practice, no source.
	fromPractice = "practice"
)

// foreignWords are headings in German, French and Spanish, parted by bars. They follow the English ones of the same field.
var foreignWords = []struct {
	field  intake.Field
	source string
	words  string
}{
	{intake.Outlet, fromPractice, "galerie|laden|verkauft über|verkauft bei|verkaufsort|boutique|lieu de vente|point de vente|galería|tienda|lugar de venta|vendido en"},
	{intake.Ref, fromInvoices, "rechnungsnummer|bestellreferenz|auftragsreferenz"},
	{intake.Ref, fromPractice, "bestellnummer|auftragsnummer|bestellung|auftrag|commande|numéro de commande|n de commande|référence|facture|pedido|número de pedido|referencia|factura"},
	{intake.SoldOn, fromInvoices, "rechnungsdatum"},
	{intake.SoldOn, fromForms, "fecha"},
	{intake.SoldOn, fromPractice, "datum|verkauft am|verkaufsdatum|kaufdatum|bestelldatum|bestellt am|tag|date de vente|date de commande|date d'achat|vendu le|jour|fecha de venta|fecha de pedido|vendido el|día"},
	{intake.Buyer, fromInvoices, "name des empfängers"},
	{intake.Buyer, fromForms, "nom|nombre y apellidos"},
	{intake.Buyer, fromPractice, "käufer|kunde|käuferin|kundin|empfänger|empfängerin|sammler|acheteur|acheteuse|client|cliente|destinataire|collectionneur|comprador|compradora|clienta|destinatario|coleccionista"},
	{intake.FirstName, fromForms, "vorname|prénom|nombre"},
	{intake.LastName, fromForms, "nachname|nom de famille|apellido|apellidos"},
	{intake.Email, fromForms, "courriel|correo electrónico"},
	{intake.Email, fromPractice, "correo|adresse e mail|e mail adresse"},
	{intake.Phone, fromForms, "telefonnummer|teléfono"},
	{intake.Phone, fromPractice, "telefon|handy|mobil|téléphone|portable|móvil"},
	{intake.Line1, fromForms, "straße|calle"},
	{intake.Line1, fromInvoices, "adresszeile 1"},
	{intake.Line1, fromPractice, "straße und hausnummer|rue|calle y número"},
	{intake.Line2, fromForms, "adresszusatz|appartement"},
	{intake.Line2, fromInvoices, "adresszeile 2"},
	{intake.Address, fromForms, "adresse|dirección"},
	{intake.Address, fromPractice, "anschrift|lieferadresse|postanschrift|adresse de livraison|dirección de envío"},
	{intake.City, fromForms, "ort|stadt|ville|commune|ciudad|localidad|población"},
	{intake.Region, fromForms, "provincia|estado"},
	{intake.Region, fromInvoices, "bundesland"},
	{intake.Region, fromPractice, "région|département|región"},
	{intake.Postcode, fromForms, "postleitzahl|code postal|código postal|cp"},
	{intake.Postcode, fromInvoices, "plz"},
	{intake.Country, fromForms, "land|país"},
	{intake.Country, fromInvoices, "ländercode"},
	{intake.Country, fromPractice, "pays"},
	{intake.Title, fromInvoices, "bezeichnung|beschreibung"},
	{intake.Title, fromPractice, "titel|bild|bildtitel|werk|motiv|druck|titre|œuvre|oeuvre|image|tableau|estampe|título|obra|cuadro|imagen|grabado"},
	{intake.Size, fromPractice, "größe|maße|bildgröße|blattgröße|format|taille|dimensions|tamaño|medidas|dimensiones|formato"},
	{intake.Grade, fromPractice, "qualität|ausführung|qualité|finition|calidad|acabado"},
	{intake.Paper, fromPractice, "papier|papierart|papel"},
	{intake.Limit, fromPractice, "auflage|auflagenhöhe|limitierung|tirage|tirage total|limite|tirada|límite"},
	{intake.Numbers, fromForms, "número|numéro"},
	{intake.Numbers, fromPractice, "nummer|exemplar|drucknummer|exemplaire|numéro d'exemplaire|ejemplar|núm|número de ejemplar"},
	{intake.Quantity, fromInvoices, "menge"},
	{intake.Quantity, fromPractice, "anzahl|stück|stückzahl|quantité|qté|nombre d'exemplaires|cantidad|unidades"},
	{intake.Price, fromInvoices, "preis pro einheit netto|listenpreis netto"},
	{intake.Price, fromForms, "prix|tarif"},
	{intake.Price, fromPractice, "preis|betrag|verkaufspreis|einzelpreis|stückpreis|prix unitaire|prix de vente|montant|precio|precio unitario|precio de venta|importe"},
	{intake.Total, fromInvoices, "bruttobetrag|gesamtsumme"},
	{intake.Total, fromPractice, "summe|gesamt|gesamtpreis|gesamtbetrag|somme|montant total|suma|importe total|precio total"},
	{intake.Paid, fromInvoices, "bereits gezahlt"},
	{intake.Paid, fromPractice, "bezahlt|gezahlt|anzahlung|payé|réglé|acompte|versé|pagado|anticipo|señal"},
	{intake.Owed, fromInvoices, "fälliger betrag"},
	{intake.Owed, fromPractice, "offen|noch offen|offener betrag|restbetrag|reste à payer|reste dû|solde|pendiente|saldo|resta"},
	{intake.Fee, fromPractice, "gebühr|gebühren|provision|commission|frais|comisión"},
	{intake.Postage, fromPractice, "porto|versand|versandkosten|frais de port|frais d'envoi|port|livraison|gastos de envío|envío|portes"},
	{intake.Tax, fromInvoices, "umsatzsteuerbetrag|summe umsatzsteuer"},
	{intake.Tax, fromPractice, "mwst|ust|mehrwertsteuer|umsatzsteuer|steuer|tva|taxe|iva|impuesto"},
	{intake.Promised, fromPractice, "versprochen|versprochen bis|liefertermin|promis pour|prometido para"},
	{intake.ArriveBy, fromPractice, "gebraucht bis|à livrer avant|entregar antes de"},
	{intake.SentOn, fromPractice, "versandt|versandt am|versendet|versendet am|verschickt|verschickt am|versanddatum|envoyé|envoyé le|expédié|expédié le|date d'envoi|date d'expédition|enviado|enviado el|fecha de envío"},
	{intake.Tracking, fromPractice, "sendungsnummer|paketnummer|numéro de suivi|suivi|número de seguimiento|seguimiento"},
	{intake.State, fromPractice, "stand|zustand|statut|état|estado|versandt|versendet|verschickt|envoyé|expédié|enviado"},
	{intake.Gift, fromPractice, "grußkarte|message cadeau|mensaje de regalo"},
	{intake.Note, fromInvoices, "vermerk|freitext"},
	{intake.Note, fromPractice, "bemerkung|bemerkungen|anmerkung|anmerkungen|kommentar|notiz|notizen|remarque|remarques|commentaire|commentaires|nota|notas|observación|observaciones|comentario|comentarios"},
}

// foreignOnly are the folded headings of the table above that are no English ones, too.
var foreignOnly = map[string]bool{}

// foreignStates are words of a column of states in German, French and Spanish. Common practice, no source.
var foreignStates = map[intake.Meaning]string{
	intake.Sent:      "versandt|versendet|verschickt|geliefert|abgeholt|erledigt|envoyé|expédié|livré|remis|enviado|entregado|recogido",
	intake.PaidFull:  "bezahlt|gezahlt|voll bezahlt|payé|réglé|pagado",
	intake.Waiting:   "offen|wartet|zu versenden|in arbeit|reserviert|en attente|à envoyer|en cours|réservé|pendiente|por enviar|en curso|reservado",
	intake.Cancelled: "storniert|abgesagt|annulé|cancelado|anulado",
	intake.Returned:  "zurück|zurückgekommen|retoure|retourné|devuelto",
}

func init() {
	english := map[string]bool{}
	place := map[intake.Field]int{}
	for i, v := range headingWords {
		place[v.field] = i
		for _, w := range v.words {
			english[w] = true
		}
	}
	for _, f := range foreignWords {
		to := &headingWords[place[f.field]]
		for _, w := range spellings(f.words) {
			to.words = append(to.words, w)
			if !english[w] {
				foreignOnly[w] = true
			}
			if f.field == intake.SentOn {
				SentHeadings[w] = true
			}
		}
	}
	for means, words := range foreignStates {
		for _, w := range spellings(words) {
			if stateWords[w] == "" {
				stateWords[w] = means
			}
		}
	}
}

// spellings returns the folded words of a list, each also without the marks of its letters, as it is often typed.
func spellings(list string) []string {
	var all []string
	seen := map[string]bool{}
	for _, w := range strings.Split(list, "|") {
		for _, s := range []string{intake.Fold(w), intake.Fold(umlauts.Replace(w)), intake.Fold(withoutMarks(w))} {
			if !seen[s] {
				seen[s] = true
				all = append(all, s)
			}
		}
	}
	return all
}

var umlauts = strings.NewReplacer("ä", "ae", "ö", "oe", "ü", "ue", "ß", "ss")

func withoutMarks(s string) string {
	return strings.Map(func(r rune) rune {
		if unicode.Is(unicode.Mn, r) {
			return -1
		}
		return r
	}, norm.NFD.String(strings.ReplaceAll(s, "ß", "ss")))
}
