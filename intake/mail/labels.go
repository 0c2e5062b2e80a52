package mail

import (
	"regexp"
	"strings"

	"solander/calendar"
	"solander/money"
)

// labels are what mails write before a value, in English, German, French and Spanish, without capitals. Common practice, no source.
var labels = map[string][]string{
	"email":        {"email", "e-mail", "mail", "email address", "e-mail address", "courriel", "correo"},
	"phone":        {"phone", "telephone", "tel", "mobile", "phone number", "telefon", "téléphone", "teléfono"},
	"ref":          {"order", "order number", "order no", "order no.", "order #", "order id", "reference", "ref", "bestellung", "bestellnummer", "commande", "numéro de commande", "pedido", "número de pedido"},
	"placed":       {"date", "order date", "ordered on", "sold on", "bestelldatum", "date de commande", "fecha"},
	"postage":      {"postage", "shipping", "delivery", "postage and packing", "shipping and handling", "versand", "versandkosten", "port", "livraison", "envío", "gastos de envío"},
	"tax":          {"tax", "sales tax", "vat", "steuer", "mwst", "mwst.", "tva", "iva"},
	"total":        {"total", "order total", "grand total", "amount due", "summe", "gesamt", "gesamtsumme", "montant total", "importe total"},
	"paid":         {"paid", "amount paid", "payment received", "bezahlt", "payé", "pagado"},
	"subtotal":     {"subtotal", "sub-total", "items", "goods", "zwischensumme", "sous-total"},
	"gift_message": {"gift message", "gift note", "message to the recipient", "grußbotschaft", "message cadeau"},
	"note":         {"note", "note to seller", "message", "buyer's note", "nachricht", "anmerkung", "remarque", "nota"},
	"price":        {"price", "item price", "preis", "prix", "precio"},
	"buyer":        {"buyer", "customer", "sold to", "bill to", "billing address", "ordered by", "käufer", "kunde", "rechnungsadresse", "acheteur", "client", "comprador"},
	"to":           {"ship to", "deliver to", "delivery address", "shipping address", "send to", "postal address", "address", "lieferadresse", "liefern an", "adresse de livraison", "livrer à", "dirección de envío", "enviar a"},
	"number":       {"number", "edition number", "print number", "nummer", "numéro", "número"},
	"count":        {"qty", "quantity", "anzahl", "menge", "quantité", "cantidad"},
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
	labelled  = regexp.MustCompile(`^([\pL][\pL .'#-]{0,40}?) ?[:：] ?(.*)$`)
	hashed    = regexp.MustCompile(`(?i)^(?:new )?(?:order|bestellung|commande|pedido)(?: number| no\.?| id)? ?(?:#|№|nr\.? ) ?([\pL\d][\pL\d/_-]*)`)
	spaced    = regexp.MustCompile(`^([\pL][\pL .'-]{0,40}?) {1,}((?:[\pL]{1,3} ?)?[$€£]? ?\d[\d., ]*(?: ?(?:[A-Z]{3}|€))?)$`)
	emailForm = regexp.MustCompile(`[\pL\d._%+-]+@[\pL\d.-]+\.\pL{2,}`)
	phoneForm = regexp.MustCompile(`^(?:(?i:tel|phone|mobile)\.?:? ?)?(\+?[\d(][\d ()./-]{6,22}\d)$`)
	amountIn  = regexp.MustCompile(`(?:[A-Z]{3} ?|[$€£] ?)?\d{1,3}(?:[., ]?\d{3})*[.,]\d{2}(?: ?(?:[A-Z]{3}\b|€|£))?|[$€£] ?\d{1,7}\b`)
)

// label parts a line into the field its label stands for and the rest; "" when it has none that is known.
func label(text string) (field, value string) {
	m := labelled.FindStringSubmatch(text)
	if m == nil {
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

// labelled takes what stands behind a label.
func (r *reader) labelled() {
	for i := range r.lines {
		l := &r.lines[i]
		if m := hashed.FindStringSubmatch(l.text); m != nil {
			l.used = r.put(Found{Field: "ref", Value: m[1], Words: l.text}) || l.used
			continue
		}
		switch field, value := label(l.text); field {
		case "email":
			value = emailForm.FindString(value)
			l.used = r.put(Found{Field: field, Value: value, Words: l.text})
		case "phone", "ref", "gift_message", "note":
			value = strings.TrimPrefix(value, "#")
			l.used = r.put(Found{Field: field, Value: strings.TrimSpace(value), Words: l.text})
		case "placed":
			l.used = r.day(value, l.text)
		case "postage", "tax", "total", "paid":
			l.used = r.amount(field, value, l.text)
		case "subtotal":
			l.used = true // said again by prices and total, against which the sale is held
		case "buyer":
			if value != "" {
				l.used = r.put(Found{Field: "buyer", Value: value, Words: l.text})
			}
		}
	}
}

// day takes a day that can be read in one way alone.
func (r *reader) day(value, words string) bool {
	d, err := calendar.ParseDay(strings.TrimSpace(value))
	if err != nil {
		return false
	}
	return r.put(Found{Field: "placed", Value: d.String(), Words: words})
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
