package intake

// headingWords are the folded headings by which a column is guessed, in order of preference where two columns claim one
// field. Common practice, no source; those in German, French and Spanish stand in foreignWords. A heading in two lists is told apart by the column's values.
var headingWords = []struct {
	field Field
	words []string
}{
	{Outlet, []string{"outlet", "shop", "sold at", "sold via", "sold through", "channel", "where", "where sold", "platform", "source", "marketplace", "store", "gallery", "venue"}},
	{Ref, []string{"order number", "order no", "order id", "order ref", "order", "reference", "ref", "receipt", "receipt no", "transaction", "transaction id", "invoice", "invoice no"}},
	{SoldOn, []string{"date of sale", "sale date", "sold on", "date sold", "order date", "date", "ordered", "ordered on", "day", "when", "sold", "purchased", "day of the sale"}},
	{Buyer, []string{"buyer", "buyer name", "buyers name", "customer name", "customer", "client", "collector", "purchaser", "sold to", "full name", "recipient", "ship to", "name", "who"}},
	{FirstName, []string{"first name", "given name", "forename"}},
	{LastName, []string{"last name", "surname", "family name"}},
	{Email, []string{"email", "e mail", "email address", "e mail address", "mail"}},
	{Phone, []string{"phone", "telephone", "tel", "mobile", "phone number"}},
	{Line1, []string{"street", "street 1", "address 1", "address1", "address line 1", "line 1", "street address"}},
	{Line2, []string{"street 2", "address 2", "address2", "address line 2", "line 2", "apt", "second line of the address"}},
	{Address, []string{"address", "shipping address", "postal address", "delivery address", "address in one cell"}},
	{City, []string{"city", "town"}},
	{Region, []string{"region", "province", "county", "state or region", "state"}},
	{Postcode, []string{"postcode", "post code", "zip", "zip code", "postal code"}},
	{Country, []string{"country"}},
	{Title, []string{"title", "picture", "work", "artwork", "image", "print", "piece", "motif", "item", "painting", "description"}},
	{Size, []string{"size", "dimensions", "format", "size in", "size cm", "size inches"}},
	{Grade, []string{"grade", "quality", "version", "finish", "type"}},
	{Paper, []string{"paper"}},
	{Limit, []string{"limit", "edition of", "edition size", "limit of the edition", "out of", "of"}},
	{Numbers, []string{"number", "no", "nr", "num", "numbers", "print number", "print no", "edition number", "edition no", "edition"}},
	{Quantity, []string{"quantity", "qty", "how many", "how many prints", "copies", "count", "pcs"}},
	{Price, []string{"price", "sale price", "price of a print", "unit price", "item price", "price each", "amount", "value"}},
	{Total, []string{"total", "order total", "sum", "gross"}},
	{Paid, []string{"paid", "amount paid", "paid amount", "received", "deposit", "payment"}},
	{Owed, []string{"owed", "owing", "owes", "balance", "balance due", "due", "outstanding", "still due", "left to pay", "remaining"}},
	{Fee, []string{"fee", "fees", "commission", "outlets fee"}},
	{Postage, []string{"postage", "postage charged", "shipping", "shipping charged", "p p", "delivery"}},
	{Tax, []string{"tax", "sales tax", "vat"}},
	{Promised, []string{"promised", "promised for", "promise", "ship by", "send by"}},
	{ArriveBy, []string{"arrive by", "needed by", "deliver by", "wanted by", "deadline"}},
	{SentOn, []string{"sent on", "date sent", "day sent", "shipped on", "date shipped", "ship date", "posted on", "sent", "shipped", "posted", "dispatched"}},
	{Tracking, []string{"tracking number", "tracking", "tracking no", "tracking id", "parcel number"}},
	{State, []string{"status", "state", "stage", "progress", "done", "stand", "sent", "shipped", "posted"}},
	{Gift, []string{"gift message", "card message", "gift note", "message"}},
	{Note, []string{"note", "notes", "remark", "remarks", "comment", "comments", "memo"}},
}

// sentHeadings are headings of columns that say whether, or when, a print was sent.
var sentHeadings = map[string]bool{"sent": true, "shipped": true, "posted": true, "dispatched": true, "sent on": true, "day sent": true, "date sent": true, "shipped on": true, "versandt": true, "gone": true, "out": true}

// stateWords are words of a column of states whose meaning is guessed. Common practice, no source.
var stateWords = map[string]Meaning{
	"sent": Sent, "shipped": Sent, "posted": Sent, "dispatched": Sent, "delivered": Sent, "done": Sent, "complete": Sent, "completed": Sent, "collected": Sent, "gone": Sent, "fulfilled": Sent,
	"paid": PaidFull, "paid in full": PaidFull, "open": Waiting, "waiting": Waiting, "to send": Waiting, "to do": Waiting, "pending": Waiting, "new": Waiting, "unsent": Waiting, "in progress": Waiting,
	"not sent": Waiting, "reserved": Waiting, "cancelled": Cancelled, "canceled": Cancelled, "refunded": Cancelled, "returned": Returned, "came back": Returned,
}
