package intake

import (
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"
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
	field  Field
	source string
	words  string
}{
	{Outlet, fromPractice, "galerie|laden|verkauft über|verkauft bei|verkaufsort|boutique|lieu de vente|point de vente|galería|tienda|lugar de venta|vendido en"},
	{Ref, fromInvoices, "rechnungsnummer|bestellreferenz|auftragsreferenz"},
	{Ref, fromPractice, "bestellnummer|auftragsnummer|bestellung|auftrag|commande|numéro de commande|n de commande|référence|facture|pedido|número de pedido|referencia|factura"},
	{SoldOn, fromInvoices, "rechnungsdatum"},
	{SoldOn, fromForms, "fecha"},
	{SoldOn, fromPractice, "datum|verkauft am|verkaufsdatum|kaufdatum|bestelldatum|bestellt am|tag|date de vente|date de commande|date d'achat|vendu le|jour|fecha de venta|fecha de pedido|vendido el|día"},
	{Buyer, fromInvoices, "name des empfängers"},
	{Buyer, fromForms, "nom|nombre y apellidos"},
	{Buyer, fromPractice, "käufer|kunde|käuferin|kundin|empfänger|empfängerin|sammler|acheteur|acheteuse|client|cliente|destinataire|collectionneur|comprador|compradora|clienta|destinatario|coleccionista"},
	{FirstName, fromForms, "vorname|prénom|nombre"},
	{LastName, fromForms, "nachname|nom de famille|apellido|apellidos"},
	{Email, fromForms, "courriel|correo electrónico"},
	{Email, fromPractice, "correo|adresse e mail|e mail adresse"},
	{Phone, fromForms, "telefonnummer|teléfono"},
	{Phone, fromPractice, "telefon|handy|mobil|téléphone|portable|móvil"},
	{Line1, fromForms, "straße|calle"},
	{Line1, fromInvoices, "adresszeile 1"},
	{Line1, fromPractice, "straße und hausnummer|rue|calle y número"},
	{Line2, fromForms, "adresszusatz|appartement"},
	{Line2, fromInvoices, "adresszeile 2"},
	{Address, fromForms, "adresse|dirección"},
	{Address, fromPractice, "anschrift|lieferadresse|postanschrift|adresse de livraison|dirección de envío"},
	{City, fromForms, "ort|stadt|ville|commune|ciudad|localidad|población"},
	{Region, fromForms, "provincia|estado"},
	{Region, fromInvoices, "bundesland"},
	{Region, fromPractice, "région|département|región"},
	{Postcode, fromForms, "postleitzahl|code postal|código postal|cp"},
	{Postcode, fromInvoices, "plz"},
	{Country, fromForms, "land|país"},
	{Country, fromInvoices, "ländercode"},
	{Country, fromPractice, "pays"},
	{Title, fromInvoices, "bezeichnung|beschreibung"},
	{Title, fromPractice, "titel|bild|bildtitel|werk|motiv|druck|titre|œuvre|oeuvre|image|tableau|estampe|título|obra|cuadro|imagen|grabado"},
	{Size, fromPractice, "größe|maße|bildgröße|blattgröße|format|taille|dimensions|tamaño|medidas|dimensiones|formato"},
	{Grade, fromPractice, "qualität|ausführung|qualité|finition|calidad|acabado"},
	{Paper, fromPractice, "papier|papierart|papel"},
	{Limit, fromPractice, "auflage|auflagenhöhe|limitierung|tirage|tirage total|limite|tirada|límite"},
	{Numbers, fromForms, "número|numéro"},
	{Numbers, fromPractice, "nummer|exemplar|drucknummer|exemplaire|numéro d'exemplaire|ejemplar|núm|número de ejemplar"},
	{Quantity, fromInvoices, "menge"},
	{Quantity, fromPractice, "anzahl|stück|stückzahl|quantité|qté|nombre d'exemplaires|cantidad|unidades"},
	{Price, fromInvoices, "preis pro einheit netto|listenpreis netto"},
	{Price, fromForms, "prix|tarif"},
	{Price, fromPractice, "preis|betrag|verkaufspreis|einzelpreis|stückpreis|prix unitaire|prix de vente|montant|precio|precio unitario|precio de venta|importe"},
	{Total, fromInvoices, "bruttobetrag|gesamtsumme"},
	{Total, fromPractice, "summe|gesamt|gesamtpreis|gesamtbetrag|somme|montant total|suma|importe total|precio total"},
	{Paid, fromInvoices, "bereits gezahlt"},
	{Paid, fromPractice, "bezahlt|gezahlt|anzahlung|payé|réglé|acompte|versé|pagado|anticipo|señal"},
	{Owed, fromInvoices, "fälliger betrag"},
	{Owed, fromPractice, "offen|noch offen|offener betrag|restbetrag|reste à payer|reste dû|solde|pendiente|saldo|resta"},
	{Fee, fromPractice, "gebühr|gebühren|provision|commission|frais|comisión"},
	{Postage, fromPractice, "porto|versand|versandkosten|frais de port|frais d'envoi|port|livraison|gastos de envío|envío|portes"},
	{Tax, fromInvoices, "umsatzsteuerbetrag|summe umsatzsteuer"},
	{Tax, fromPractice, "mwst|ust|mehrwertsteuer|umsatzsteuer|steuer|tva|taxe|iva|impuesto"},
	{Promised, fromPractice, "versprochen|versprochen bis|liefertermin|promis pour|prometido para"},
	{ArriveBy, fromPractice, "gebraucht bis|à livrer avant|entregar antes de"},
	{SentOn, fromPractice, "versandt|versandt am|versendet|versendet am|verschickt|verschickt am|versanddatum|envoyé|envoyé le|expédié|expédié le|date d'envoi|date d'expédition|enviado|enviado el|fecha de envío"},
	{Tracking, fromPractice, "sendungsnummer|paketnummer|numéro de suivi|suivi|número de seguimiento|seguimiento"},
	{State, fromPractice, "stand|zustand|statut|état|estado|versandt|versendet|verschickt|envoyé|expédié|enviado"},
	{Gift, fromPractice, "grußkarte|message cadeau|mensaje de regalo"},
	{Note, fromInvoices, "vermerk|freitext"},
	{Note, fromPractice, "bemerkung|bemerkungen|anmerkung|anmerkungen|kommentar|notiz|notizen|remarque|remarques|commentaire|commentaires|nota|notas|observación|observaciones|comentario|comentarios"},
}

// foreignOnly are the folded headings of the table above that are no English ones, too.
var foreignOnly = map[string]bool{}

// foreignStates are words of a column of states in German, French and Spanish. Common practice, no source.
var foreignStates = map[Meaning]string{
	Sent:      "versandt|versendet|verschickt|geliefert|abgeholt|erledigt|envoyé|expédié|livré|remis|enviado|entregado|recogido",
	PaidFull:  "bezahlt|gezahlt|voll bezahlt|payé|réglé|pagado",
	Waiting:   "offen|wartet|zu versenden|in arbeit|reserviert|en attente|à envoyer|en cours|réservé|pendiente|por enviar|en curso|reservado",
	Cancelled: "storniert|abgesagt|annulé|cancelado|anulado",
	Returned:  "zurück|zurückgekommen|retoure|retourné|devuelto",
}

func init() {
	english := map[string]bool{}
	place := map[Field]int{}
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
			if f.field == SentOn {
				sentHeadings[w] = true
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
		for _, s := range []string{Fold(w), Fold(umlauts.Replace(w)), Fold(withoutMarks(w))} {
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
