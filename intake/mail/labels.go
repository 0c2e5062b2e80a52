package mail

import (
	"regexp"
	"strings"
	"unicode"

	"solander/calendar"
	"solander/intake"
	"solander/intake/cell"
	"solander/money"
)

// labels are what mails write before or above a value, in English, German, French and Spanish, without capitals. Common practice, no source.
var labels = map[string][]string{
	"email": {"email", "e-mail", "mail", "email address", "e-mail address", "e-mail-adresse", "courriel", "correo", "correo electrónico"},
	"phone": {"phone", "telephone", "tel", "tel.", "mobile", "phone number", "telefon", "mobil", "handy", "téléphone", "tél.", "portable", "teléfono", "móvil"},
	"ref": {
		"order", "order number", "order no", "order no.", "order #", "order id", "order reference", "sale", "reference", "ref", "ref.",
		"bestellung", "bestellnummer", "bestell-nr.", "auftrag", "auftragsnummer", "commande", "numéro de commande", "n° de commande", "pedido", "número de pedido", "nº de pedido",
	},
	"placed": {"date", "order date", "ordered on", "sold on", "date of sale", "placed on", "datum", "bestelldatum", "bestellt am", "date de commande", "fecha", "fecha del pedido"},
	"postage": {
		"postage", "shipping", "delivery", "postage and packing", "postage & packing", "shipping and handling", "shipping & handling", "shipping cost", "shipping costs", "shipping charged",
		"versand", "versandkosten", "porto", "port", "livraison", "frais de port", "frais de livraison", "envío", "gastos de envío",
	},
	"tax":          {"tax", "sales tax", "vat", "steuer", "mwst", "mwst.", "ust.", "tva", "iva"},
	"total":        {"total", "order total", "grand total", "amount due", "summe", "gesamt", "gesamtsumme", "gesamtbetrag", "endbetrag", "rechnungsbetrag", "montant total", "total à payer", "importe total"},
	"paid":         {"paid", "amount paid", "payment received", "bezahlt", "payé", "pagado"},
	"subtotal":     {"subtotal", "sub-total", "items", "goods", "item total", "zwischensumme", "warenwert", "sous-total"},
	"gift_message": {"gift message", "gift note", "message to the recipient", "grußbotschaft", "message cadeau", "mensaje de regalo"},
	"note":         {"note", "note to seller", "note from buyer", "message", "buyer's note", "nachricht", "anmerkung", "remarque", "nota"},
	"price":        {"price", "item price", "preis", "prix", "precio"},
	"buyer": {
		"buyer", "customer", "sold to", "bill to", "billing address", "billed to", "ordered by", "käufer", "käuferin", "kunde", "kundin", "besteller", "bestellerin", "rechnungsadresse", "rechnungsanschrift",
		"acheteur", "acheteuse", "client", "cliente", "adresse de facturation", "comprador", "compradora", "dirección de facturación",
	},
	"to": {
		"ship to", "deliver to", "delivery address", "shipping address", "shipped to", "send to", "send it to", "postal address", "address", "my address", "my address is", "recipient",
		"lieferadresse", "lieferanschrift", "versandadresse", "liefern an", "anschrift", "adresse", "meine adresse", "meine adresse ist", "empfänger", "empfängerin",
		"adresse de livraison", "livrer à", "mon adresse", "destinataire", "dirección de envío", "dirección", "mi dirección", "enviar a", "destinatario", "destinataria",
	},
	"number": {"number", "edition number", "print number", "nummer", "numéro", "número"},
	"count":  {"qty", "quantity", "anzahl", "menge", "quantité", "cantidad"},
}

var labelOf = func() map[string]string {
	out := map[string]string{}
	for field, words := range labels {
		for _, w := range words {
			out[w] = field
		}
	}
	return out
}()

var (
	labelled = regexp.MustCompile(`^([\pL][\pL .'#&°º-]{0,40}?)(?: ?\([^)]*\))? ?[:：] ?(.*)$`)
	spaced   = regexp.MustCompile(`^([\pL][\pL .'&-]{0,40}?)(?: ?\([^)]*\))? {1,}((?:[\pL]{1,3} ?)?[$€£]? ?\d[\d., ]*(?: ?(?:[A-Z]{3}|€|£))?)$`)
	// An address on the line that says where to: "Send it to Mara Vell, 7 Mill Road, Denver CO 80202".
	sentTo = regexp.MustCompile(`(?i)^(?:please )?(?:ship|send|deliver|post)(?: it)? to (.+,.+,.+)$`)
	// An order's reference after its word: "Order #7781", "Commande n° 55", "Bestellung 7781 vom 28.11.2026". Without a sign it has a digit, and nothing
	// else stands behind it than its day.
	hashed    = regexp.MustCompile(`(?i)^(?:new |your )?(?:order|sale|bestellung|auftrag|commande|pedido)(?: number| no\.?| id)? ?(?:#|№|n[°º]|nr\.? ) ?([\pL\d][\pL\d/_-]*)(.*)$`)
	numbered  = regexp.MustCompile(`(?i)^(?:new |your )?(?:order|sale|bestellung|auftrag|commande|pedido)(?: number| no\.?| id)? ((?:\pL{1,4}[-_]?)?\d[\d_-]*\pL?)( (?:of|from|on|dated|vom|du|del) .+|)$`)
	behind    = regexp.MustCompile(`(?i)^(?:,|of|from|on|dated|vom|du|del)? *`)
	emailForm = regexp.MustCompile(`[\pL\d._%+-]+@[\pL\d.-]+\.\pL{2,}`)
	phoneForm = regexp.MustCompile(`^(?:(?i:tel|tél|phone|telephone|mobile|telefon|téléphone|teléfono)\.?:? ?)?(\+?[\d(][\d ()./-]{6,22}\d)$`)
	amountIn  = regexp.MustCompile(`(?:[A-Z]{3} ?|[$€£] ?)?\d{1,3}(?:[., ]?\d{3})*[.,]\d{2}(?: ?(?:[A-Z]{3}\b|€|£))?|[$€£] ?\d{1,7}\b`)
)

// label parts a line into the field its label stands for and the rest; "" when it has none that is known. A line may be a label alone: its value stands
// below it.
func label(text string) (field, value string) {
	if f, alone := labelOf[strings.ToLower(text)]; alone {
		return f, ""
	}
	m := labelled.FindStringSubmatch(text)
	if m == nil {
		if m = sentTo.FindStringSubmatch(text); m != nil {
			return "to", m[1]
		}
		if m = spaced.FindStringSubmatch(text); m == nil {
			return "", ""
		}
		if f := labelOf[strings.ToLower(m[1])]; f == "postage" || f == "tax" || f == "total" || f == "subtotal" || f == "paid" || f == "price" {
			return f, m[2]
		}
		return "", ""
	}
	return labelOf[strings.ToLower(strings.TrimSpace(m[1]))], m[2]
}

// labelled takes what stands behind a label, or below it.
func (r *reader) labelled() {
	for i := range r.lines {
		l := &r.lines[i]
		if l.used || r.reference(l) {
			continue
		}
		field, value := l.field, l.value
		words, below := l.text, []int(nil)
		if value == "" && field != "" {
			if below = r.below(i, field); len(below) > 0 {
				value, words = r.joined(below, " "), words+joint+r.joined(below, joint)
			}
		}
		if !r.value(field, strings.TrimSpace(value), words) {
			continue
		}
		l.used = true
		for _, at := range below {
			r.lines[at].used = true
		}
	}
}

// value takes the value of a label, and reports whether that was one.
func (r *reader) value(field, value, words string) bool {
	switch field {
	case "email":
		return r.put(Found{Field: field, Value: emailForm.FindString(value), Words: words})
	case "phone", "ref", "gift_message", "note", "buyer":
		return r.put(Found{Field: field, Value: strings.TrimSpace(strings.TrimPrefix(value, "#")), Words: words})
	case "placed":
		return r.day(value, words)
	case "postage", "tax", "total", "paid":
		return r.amount(field, value, words)
	case "subtotal":
		return value != "" // said again by prices and total, against which the sale is held
	}
	return false
}

// below are the lines with the value of a label that stands alone: the next one, and of words all until an empty one. A buyer is a name on a line of its
// own: more is an address.
func (r *reader) below(i int, field string) (out []int) {
	at := i + 1
	for at < len(r.lines) && r.lines[at].text == "" {
		at++
	}
	for ; at < len(r.lines) && len(out) < mostBlock && r.lines[at].text != ""; at++ {
		if r.lines[at].field != "" || r.lines[at].used {
			break
		}
		out = append(out, at)
	}
	if len(out) == 0 {
		return nil
	}
	first := r.lines[out[0]].text
	switch field {
	case "gift_message", "note":
		return out
	case "buyer":
		if len(out) > 1 {
			return nil
		}
	case "ref":
		if !strings.ContainsFunc(first, unicode.IsDigit) || strings.Contains(first, " ") {
			return nil
		}
	case "phone":
		if !phoneForm.MatchString(first) {
			return nil
		}
	case "subtotal":
		if !amountIn.MatchString(first) {
			return nil
		}
	case "to", "number", "price", "count":
		return nil // an address, or said of a print
	}
	return out[:1]
}

// joined are the texts of lines.
func (r *reader) joined(lines []int, sep string) string {
	var all []string
	for _, at := range lines {
		all = append(all, r.lines[at].text)
	}
	return strings.Join(all, sep)
}

// reference takes an order's reference from the line that says it without a label's colon, and the day behind it.
func (r *reader) reference(l *line) bool {
	m := hashed.FindStringSubmatch(l.text)
	if m == nil {
		if m = numbered.FindStringSubmatch(l.text); m == nil {
			return false
		}
		if _, err := calendar.ParseDay(m[1]); err == nil {
			return false
		}
	}
	l.used = r.put(Found{Field: "ref", Value: m[1], Words: l.text})
	r.day(behind.ReplaceAllString(strings.TrimSpace(m[2]), ""), l.text)
	return true
}

// day takes a day with its year that can be read in one way alone: in figures parted by points the day stands first (common practice, no source).
func (r *reader) day(value, words string) bool {
	var order intake.DayOrder
	if strings.Contains(value, ".") {
		order = intake.DayMonth
	}
	d, ok, _ := cell.DayText(value, order)
	return ok && d.Year > 0 && r.put(Found{Field: "placed", Value: d.In(d.Year).String(), Words: words})
}

// amount takes money of the studio's currency; of another it says so and takes none.
func (r *reader) amount(field, value, words string) bool {
	a, err := money.Parse(strings.TrimSpace(value), r.known.Currency)
	if err != nil {
		return false
	}
	if a.IsZero() {
		return true
	}
	return r.put(Found{Field: field, Value: a.Plain(), Words: words})
}

// loose takes an e-mail address and a telephone number that stand anywhere.
func (r *reader) loose() {
	for i := range r.lines {
		l := &r.lines[i]
		if l.used {
			continue
		}
		if m := emailForm.FindString(l.text); m != "" && r.put(Found{Field: "email", Value: m, Words: l.text}) {
			l.used = true
			continue
		}
		if m := phoneForm.FindStringSubmatch(l.text); m != nil && r.put(Found{Field: "phone", Value: m[1], Words: l.text}) {
			l.used = true
		}
	}
}

// outlet takes the outlet that the mail names.
func (r *reader) outlet() {
	best, where := "", 0
	for _, name := range r.known.Outlets {
		if len(name) < 4 || len(name) <= len(best) {
			continue
		}
		for i := range r.lines {
			if says(r.lines[i].text, name) {
				best, where = name, i
				break
			}
		}
	}
	if best != "" {
		r.put(Found{Field: "outlet", Value: best, Words: r.lines[where].text})
	}
}
