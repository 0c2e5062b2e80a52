package sale

import (
	"regexp"
	"strings"

	"solander/fault"
	"solander/intake"
	"solander/intake/cell"
	"solander/order"
)

var (
	townUS   = regexp.MustCompile(`^(.+?),? +([A-Za-z]{2})\.?,? +([0-9]{5}(?:-[0-9]{4})?)$`)
	townCA   = regexp.MustCompile(`^(.+?),? +([A-Za-z]{2}),? +([A-Za-z][0-9][A-Za-z] ?[0-9][A-Za-z][0-9])$`)
	townGB   = regexp.MustCompile(`^(.*?),? *([A-Za-z]{1,2}[0-9][A-Za-z0-9]? ?[0-9][A-Za-z]{2})$`)
	codeTown = regexp.MustCompile(`^(?:([A-Z]{1,2})-)?([0-9]{4} ?[A-Z]{2}|[0-9]{4,5}) +([^0-9]+)$`)
)

// shortZip is a ZIP that has lost the zeros in front, as numbers do.
var shortZip = regexp.MustCompile(`^[0-9]{3,4}$`)

// readPerson reads the buyer and the address.
func (r *Rows) readPerson(s *Sale) {
	s.Buyer = order.Buyer{Name: s.text(intake.Buyer), Email: strings.TrimPrefix(s.text(intake.Email), "mailto:"), Phone: s.text(intake.Phone)}
	if s.Buyer.Name == "" {
		s.Buyer.Name = intake.Clean(s.text(intake.FirstName) + " " + s.text(intake.LastName))
	}
	if err := (order.Buyer{Name: "x", Email: s.Buyer.Email}).Validate(); err != nil {
		_, column := s.Grid.Cell(s.Row, intake.Email)
		r.Problem(s, column, cell.Trouble{Rule: "email", What: fault.All(err)[0].What, Mend: "correct it, or leave it empty"})
		s.Buyer.Email = ""
	}
	a := order.Address{Line1: s.text(intake.Line1), Line2: s.text(intake.Line2), City: s.text(intake.City), Region: s.text(intake.Region), Postcode: s.postcode(), Country: s.text(intake.Country)}
	whole := s.Grid.Text(s.Row, intake.Address, "\n")
	if whole != "" {
		a = r.takeApart(s, whole, a)
	}
	if a == (order.Address{}) {
		return
	}
	r.readCountry(s, &a)
	if a.Name == "" {
		a.Name = s.Buyer.Name
	}
	s.Address = a.Tidy()
	r.checkAddress(s)
}

// postcode is the postcode as it stands, a number without its format.
func (s *Sale) postcode() string {
	c, _ := s.Grid.Cell(s.Row, intake.Postcode)
	if c.Kind == intake.Number {
		return c.Number
	}
	return intake.Clean(c.Text)
}

func (r *Rows) readCountry(s *Sale, a *order.Address) {
	if a.Country == "" {
		a.Country = r.Mapping.Country
		return
	}
	code, ok := order.CountryNamed(a.Country)
	if !ok {
		_, column := s.Grid.Cell(s.Row, intake.Country)
		r.Problem(s, column, cell.Trouble{Rule: "address.country", What: "this is no country: " + fault.Clip(a.Country), Mend: "write its English name or its two letters of ISO 3166"})
		return
	}
	a.Country = code
}

// checkAddress tells what a label would lack. It bars nothing: what was sent long ago needs no address, and what is to be sent
// is flagged until it has one. Nothing is silently changed but the zeros that a number cannot hold.
func (r *Rows) checkAddress(s *Sale) {
	if _, column := s.Grid.Cell(s.Row, intake.Postcode); s.Address.Country == "US" && shortZip.MatchString(s.Address.Postcode) {
		was := s.Address.Postcode
		s.Address.Postcode = strings.Repeat("0", 5-len(was)) + was
		r.Problem(s, column, cell.Trouble{Rule: "address.zeros", What: "the number " + was + " was read as the ZIP " + s.Address.Postcode, Mend: "format the column as text"})
	}
	a := s.Address
	if a.Name == "" {
		a.Name = "x" // a missing buyer is told on its own
	}
	at := func(field string) int {
		f := map[string]intake.Field{"ship_to.line1": intake.Line1, "ship_to.city": intake.City, "ship_to.region": intake.Region, "ship_to.postcode": intake.Postcode, "ship_to.country": intake.Country}[field]
		_, column := s.Grid.Cell(s.Row, f)
		if column < 0 {
			_, column = s.Grid.Cell(s.Row, intake.Address)
		}
		return column
	}
	told := map[string]bool{}
	if err := a.Validate(); err != nil {
		for _, f := range fault.All(err) {
			told[f.Field] = true
			r.Problem(s, at(f.Field), cell.Trouble{Rule: "address", What: strings.TrimPrefix(f.Field, "ship_to.") + ": " + f.What, Mend: f.Mend})
		}
	}
	for _, d := range a.Doubts() {
		if !told[d.Field] {
			r.Problem(s, at(d.Field), cell.Trouble{Rule: "address.doubt", What: d.Text, Mend: "look at the address; nothing of it is changed"})
		}
	}
}

// takeApart parts an address in one cell. Its lines are those of the cell, or what commas part. What other columns say stays.
func (r *Rows) takeApart(s *Sale, whole string, a order.Address) order.Address {
	lines := addressLines(whole)
	if len(lines) > 1 {
		if code, ok := order.CountryNamed(lines[len(lines)-1]); ok {
			lines = lines[:len(lines)-1]
			if a.Country == "" {
				a.Country = code
			}
		}
	}
	if len(lines) > 1 && s.Buyer.Name != "" && intake.Fold(lines[0]) == intake.Fold(s.Buyer.Name) {
		a.Name, lines = lines[0], lines[1:]
	}
	for i := len(lines) - 1; i >= 0 && a.City == ""; i-- {
		if t, ok := townOf(lines, i, a); ok {
			a, lines = t, lines[:i]
			if a.City == "" && i > 0 {
				a.City, lines = lines[i-1], lines[:i-1]
			}
		}
	}
	if len(lines) > 2 && a.Name == "" {
		a.Name, lines = lines[0], lines[1:]
	}
	if len(lines) > 0 && a.Line1 == "" {
		a.Line1, a.Line2 = lines[0], strings.Join(lines[1:], ", ")
	}
	if a.City == "" {
		_, column := s.Grid.Cell(s.Row, intake.Address)
		r.Problem(s, column, cell.Trouble{Rule: "address.apart", What: "the address could not be taken apart", Mend: "look at its parts; the cell is kept with the order"})
	}
	return a
}

func addressLines(whole string) []string {
	var lines []string
	parts := strings.Split(whole, "\n")
	if len(parts) == 1 {
		parts = strings.Split(joinRegion(whole), ",")
	}
	for _, l := range parts {
		if l = intake.Clean(strings.Trim(l, ", ")); l != "" {
			lines = append(lines, l)
		}
	}
	return lines
}

var commaRegion = regexp.MustCompile(`, *([A-Za-z]{2},? +(?:[0-9]{5}(?:-[0-9]{4})?|[A-Za-z][0-9][A-Za-z] ?[0-9][A-Za-z][0-9]))( *(?:,|$))`)

// joinRegion takes the comma between town and state away, so that commas part lines.
func joinRegion(s string) string { return commaRegion.ReplaceAllString(s, " $1$2") }

// townOf reads the line with the town in the habits of a few countries; the forms are those of order's postcodes.
func townOf(lines []string, i int, a order.Address) (order.Address, bool) {
	line, country := lines[i], a.Country
	if m := townUS.FindStringSubmatch(line); m != nil && (country == "" || country == "US") {
		a.City, a.Region, a.Postcode = strings.TrimSuffix(m[1], ","), strings.ToUpper(m[2]), m[3]
		return a, true
	}
	if m := townCA.FindStringSubmatch(line); m != nil && (country == "" || country == "CA") {
		a.City, a.Region, a.Postcode = strings.TrimSuffix(m[1], ","), strings.ToUpper(m[2]), strings.ToUpper(m[3])
		return a, true
	}
	if m := townGB.FindStringSubmatch(line); m != nil && country == "GB" {
		a.City, a.Postcode = m[1], strings.ToUpper(m[2])
		return a, true
	}
	if m := codeTown.FindStringSubmatch(line); m != nil && country != "US" && country != "GB" && country != "CA" {
		a.Postcode, a.City = m[2], strings.TrimSpace(m[3])
		return a, true
	}
	return a, false
}
