package guess

import (
	"solander/intake"
)

// headingWords are the folded headings by which a column is guessed, in order of preference where two columns claim one
// field. Common practice, no source; those in German, French and Spanish stand in foreignWords. A heading in two lists is told apart by the column's values.
var headingWords = []struct {
	field intake.Field
	words []string
}{
	{intake.Outlet, []string{"outlet", "shop", "sold at", "sold via", "sold through", "channel", "where", "where sold", "platform", "source", "marketplace", "store", "gallery", "venue"}},
	{intake.Ref, []string{"order number", "order no", "order id", "order ref", "order", "reference", "ref", "receipt", "receipt no", "transaction", "transaction id", "invoice", "invoice no"}},
	{intake.SoldOn, []string{"date of sale", "sale date", "sold on", "date sold", "order date", "date", "ordered", "ordered on", "day", "when", "sold", "purchased", "day of the sale"}},
	{intake.Buyer, []string{"buyer", "buyer name", "buyers name", "customer name", "customer", "client", "collector", "purchaser", "sold to", "full name", "recipient", "ship to", "name", "who"}},
	{intake.FirstName, []string{"first name", "given name", "forename"}},
	{intake.LastName, []string{"last name", "surname", "family name"}},
	{intake.Email, []string{"email", "e mail", "email address", "e mail address", "mail"}},
	{intake.Phone, []string{"phone", "telephone", "tel", "mobile", "phone number"}},
	{intake.Line1, []string{"street", "street 1", "address 1", "address1", "address line 1", "line 1", "street address"}},
	{intake.Line2, []string{"street 2", "address 2", "address2", "address line 2", "line 2", "apt", "second line of the address"}},
	{intake.Address, []string{"address", "shipping address", "postal address", "delivery address", "address in one cell"}},
	{intake.City, []string{"city", "town"}},
	{intake.Region, []string{"region", "province", "county", "state or region", "state"}},
	{intake.Postcode, []string{"postcode", "post code", "zip", "zip code", "postal code"}},
	{intake.Country, []string{"country"}},
	{intake.Title, []string{"title", "picture", "work", "artwork", "image", "print", "piece", "motif", "item", "painting", "description"}},
	{intake.Size, []string{"size", "dimensions", "format", "size in", "size cm", "size inches"}},
	{intake.Grade, []string{"grade", "quality", "version", "finish", "type"}},
	{intake.Paper, []string{"paper"}},
	{intake.Limit, []string{"limit", "edition of", "edition size", "limit of the edition", "out of", "of"}},
	{intake.Numbers, []string{"number", "no", "nr", "num", "numbers", "print number", "print no", "edition number", "edition no", "edition"}},
	{intake.Quantity, []string{"quantity", "qty", "how many", "how many prints", "copies", "count", "pcs"}},
	{intake.Price, []string{"price", "sale price", "price of a print", "unit price", "item price", "price each", "amount", "value"}},
	{intake.Total, []string{"total", "order total", "sum", "gross"}},
	{intake.Paid, []string{"paid", "amount paid", "paid amount", "received", "deposit", "payment"}},
	{intake.Owed, []string{"owed", "owing", "owes", "balance", "balance due", "due", "outstanding", "still due", "left to pay", "remaining"}},
	{intake.Fee, []string{"fee", "fees", "commission", "outlets fee"}},
	{intake.Postage, []string{"postage", "postage charged", "shipping", "shipping charged", "p p", "delivery"}},
	{intake.Tax, []string{"tax", "sales tax", "vat"}},
	{intake.Promised, []string{"promised", "promised for", "promise", "ship by", "send by"}},
	{intake.ArriveBy, []string{"arrive by", "needed by", "deliver by", "wanted by", "deadline"}},
	{intake.SentOn, []string{"sent on", "date sent", "day sent", "shipped on", "date shipped", "ship date", "posted on", "sent", "shipped", "posted", "dispatched"}},
	{intake.Tracking, []string{"tracking number", "tracking", "tracking no", "tracking id", "parcel number"}},
	{intake.State, []string{"status", "state", "stage", "progress", "done", "stand", "sent", "shipped", "posted"}},
	{intake.Gift, []string{"gift message", "card message", "gift note", "message"}},
	{intake.Note, []string{"note", "notes", "remark", "remarks", "comment", "comments", "memo"}},
}

// SentHeadings are headings of columns that say whether, or when, a print was sent.
var SentHeadings = map[string]bool{"sent": true, "shipped": true, "posted": true, "dispatched": true, "sent on": true, "day sent": true, "date sent": true, "shipped on": true, "versandt": true, "gone": true, "out": true}

// stateWords are words of a column of states whose meaning is guessed. Common practice, no source.
var stateWords = map[string]intake.Meaning{
	"sent": intake.Sent, "shipped": intake.Sent, "posted": intake.Sent, "dispatched": intake.Sent, "delivered": intake.Sent, "done": intake.Sent, "complete": intake.Sent, "completed": intake.Sent, "collected": intake.Sent, "gone": intake.Sent, "fulfilled": intake.Sent,
	"paid": intake.PaidFull, "paid in full": intake.PaidFull, "open": intake.Waiting, "waiting": intake.Waiting, "to send": intake.Waiting, "to do": intake.Waiting, "pending": intake.Waiting, "new": intake.Waiting, "unsent": intake.Waiting, "in progress": intake.Waiting,
	"not sent": intake.Waiting, "reserved": intake.Waiting, "cancelled": intake.Cancelled, "canceled": intake.Cancelled, "refunded": intake.Cancelled, "returned": intake.Returned, "came back": intake.Returned,
}
