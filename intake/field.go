package intake

// Field is what a column tells of a sale.
type Field string

// The fields. What a column says about money is in the mapping's currency.
const (
	Outlet    Field = "outlet"
	Ref       Field = "ref"     // the outlet's name of the order
	SoldOn    Field = "sold_on" // day of the sale
	Buyer     Field = "buyer"   // whole name
	FirstName Field = "first_name"
	LastName  Field = "last_name"
	Email     Field = "email"
	Phone     Field = "phone"
	Address   Field = "address" // all in one cell, lines parted by line ends or commas
	Line1     Field = "line1"
	Line2     Field = "line2"
	City      Field = "city"
	Region    Field = "region"
	Postcode  Field = "postcode"
	Country   Field = "country" // a name or an ISO 3166-1 alpha-2 code
	Title     Field = "title"   // of the work; "Heron, 12 × 18 in, fine" is taken apart
	Size      Field = "size"
	Grade     Field = "grade"
	Paper     Field = "paper"
	Limit     Field = "limit"  // how many the edition has
	Numbers   Field = "number" // "17/250", "AP 2", "17, 18"
	Quantity  Field = "quantity"
	Price     Field = "price" // of one print
	Total     Field = "total" // goods and postage of the row
	Paid      Field = "paid"  // an amount, a day, or a word such as yes
	Owed      Field = "owed"
	Fee       Field = "fee"     // of the outlet
	Postage   Field = "postage" // charged to the buyer
	Tax       Field = "tax"
	Promised  Field = "promised"
	ArriveBy  Field = "arrive_by"
	SentOn    Field = "sent_on"
	State     Field = "state" // her own words, see Mapping.Words
	Tracking  Field = "tracking"
	Note      Field = "note" // read for facts
	Gift      Field = "gift" // a message to the receiver
	Unused    Field = ""     // kept with the row, not read
)

// fields are all fields with their names in words.
var fields = []struct {
	field Field
	words string
}{
	{Outlet, "outlet"},
	{Ref, "outlet's order number"},
	{SoldOn, "day of the sale"},
	{Buyer, "buyer"},
	{FirstName, "first name"},
	{LastName, "last name"},
	{Email, "e-mail"},
	{Phone, "telephone"},
	{Address, "address in one cell"},
	{Line1, "street"},
	{Line2, "second line of the address"},
	{City, "town"},
	{Region, "state or region"},
	{Postcode, "postcode"},
	{Country, "country"},
	{Title, "title"},
	{Size, "size"},
	{Grade, "grade"},
	{Paper, "paper"},
	{Limit, "limit of the edition"},
	{Numbers, "number"},
	{Quantity, "how many prints"},
	{Price, "price of a print"},
	{Total, "total"},
	{Paid, "paid"},
	{Owed, "owed"},
	{Fee, "outlet's fee"},
	{Postage, "postage charged"},
	{Tax, "tax"},
	{Promised, "promised for"},
	{ArriveBy, "arrive by"},
	{SentOn, "day sent"},
	{State, "state"},
	{Tracking, "tracking number"},
	{Note, "note"},
	{Gift, "gift message"},
	{Unused, "not used"},
}

// Fields returns all fields in the order in which a page lists them; Unused is the last.
func Fields() []Field {
	var all []Field
	for _, f := range fields {
		all = append(all, f.field)
	}
	return all
}

// Long names the field in words; "" for an unknown one.
func (f Field) Long() string {
	for _, g := range fields {
		if g.field == f {
			return g.words
		}
	}
	return ""
}

// Many reports a field that several columns may have: their texts are joined.
func (f Field) Many() bool { return f == Unused || f == Note || f == Address || f == Title }

// Meaning is what a fill colour, or a word in a column of states, says about its row.
type Meaning string

// The meanings.
const (
	Nothing   Meaning = "nothing" // decided: it says nothing
	Waiting   Meaning = "waiting" // sold, to be sent
	PaidFull  Meaning = "paid"    // paid in full, to be sent
	Sent      Meaning = "sent"    // out of the house, and paid in full unless the row says otherwise
	Cancelled Meaning = "cancelled"
	Returned  Meaning = "returned" // it came back whole
	Ignore    Meaning = "ignore"   // the row is no sale
)

// Meanings returns all meanings, in the order in which a page lists them.
func Meanings() []Meaning {
	return []Meaning{Nothing, Waiting, PaidFull, Sent, Cancelled, Returned, Ignore}
}

// Long says the meaning in a sentence about a row; "" for an unknown one.
func (m Meaning) Long() string {
	return map[Meaning]string{
		Nothing: "means nothing", Waiting: "sold, still to be sent", PaidFull: "paid in full, still to be sent", Sent: "sent, and paid in full unless the row says otherwise",
		Cancelled: "cancelled", Returned: "came back", Ignore: "no sale: leave the row out",
	}[m]
}

// Stands reports a meaning that says how a sale stands.
func (m Meaning) Stands() bool { return m != "" && m != Nothing && m != Ignore }
