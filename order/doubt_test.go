package order

import (
	"slices"
	"strings"
	"testing"
)

func doubtful(a Address, field string) bool {
	return slices.ContainsFunc(a.Doubts(), func(d Doubt) bool { return d.Field == field })
}

// Sources: as in package address; the armed forces by USPS Publication 28, section 238, from memory.
func TestDoubts(t *testing.T) {
	for name, tc := range map[string]struct {
		a    Address
		want string // field and a part of the words; "" = no doubt
	}{
		"none":                    {us(), ""},
		"another state":           {Address{City: "Denver", Region: "VA", Postcode: "80202", Country: "US"}, "ship_to.postcode 80202 begins like a postcode of CO, and the address says VA"},
		"two states":              {Address{City: "Alta", Region: "MT", Postcode: "83414", Country: "US"}, "ship_to.postcode of ID or WY"},
		"Fishers Island":          {Address{City: "Fishers Island", Region: "NY", Postcode: "06390", Country: "US"}, ""},
		"state in full":           {Address{City: "Denver", Region: "Colorado", Postcode: "80202", Country: "US"}, ""},
		"no such state":           {Address{City: "Denver", Region: "CX", Postcode: "80202", Country: "US"}, `ship_to.region "CX" is no state`},
		"ZIP of no state":         {Address{City: "Denver", Region: "CO", Postcode: "00000", Country: "US"}, "ship_to.postcode no state or province of United States"},
		"letters":                 {Address{City: "Denver", Region: "CO", Postcode: "8O202", Country: "US"}, "ship_to.postcode has not the form of a postcode of United States, such as 95014"},
		"military":                {Address{City: "APO", Region: "AE", Postcode: "09499-0074", Country: "US"}, ""},
		"military town":           {Address{City: "Frankfurt", Region: "AE", Postcode: "09499", Country: "US"}, "ship_to.city APO, FPO or DPO"},
		"military state":          {Address{City: "FPO", Region: "CA", Postcode: "96201", Country: "US"}, "ship_to.region AA, AE or AP"},
		"Puerto Rico by its code": {Address{City: "San Juan", Postcode: "00926", Country: "PR"}, ""},
		"Puerto Rico as a state":  {Address{City: "San Juan", Region: "PR", Postcode: "00926", Country: "US"}, ""},
		"ZIP of another island":   {Address{City: "San Juan", Postcode: "00802", Country: "PR"}, "ship_to.postcode Puerto Rico"},
		"province":                {Address{City: "Ottawa", Region: "BC", Postcode: "K1A 0B1", Country: "CA"}, "ship_to.postcode of ON"},
		"Italy without province":  {Address{City: "Roma", Postcode: "00198", Country: "IT"}, "ship_to.region labels to Italy carry one"},
		"a form unknown":          {Address{City: "Luanda", Postcode: "12 34", Country: "AO"}, ""},
		"Jersey":                  {Address{City: "St Helier", Postcode: "JE2 2BT", Country: "JE"}, ""},
		"Jersey as Guernsey":      {Address{City: "St Helier", Postcode: "JE2 2BT", Country: "GG"}, "ship_to.postcode GY1 1AA"},
		"Monaco":                  {Address{City: "Monaco", Postcode: "98000", Country: "MC"}, ""},
	} {
		var told []string
		for _, d := range tc.a.Doubts() {
			told = append(told, d.Field+" "+d.Text)
		}
		field, words, _ := strings.Cut(tc.want, " ")
		switch {
		case tc.want == "" && len(told) > 0:
			t.Errorf("%s: doubts %q", name, told)
		case tc.want != "" && !slices.ContainsFunc(told, func(s string) bool { return strings.HasPrefix(s, field) && strings.Contains(s, words) }):
			t.Errorf("%s: doubts %q, want %q", name, told, tc.want)
		}
	}
}

// Letters that the papers' type lacks are a doubt, by field; they bar nothing.
func TestLettersThatTheTypeLacks(t *testing.T) {
	a := us()
	a.Name, a.City = "অমল Hanako", "Straße ব"
	o := Order{ShipTo: a, GiftMessage: "for you 🎨", Ref: "W-17"}
	var fields []string
	for _, d := range o.Doubts() {
		fields = append(fields, d.Field)
	}
	if got := strings.Join(fields, " "); got != "ship_to.name ship_to.city gift_message" {
		t.Errorf("doubtful are %s", got)
	}
	if err := a.Validate(); err != nil {
		t.Errorf("the address is refused: %v", err)
	}
	if d := (Order{ShipTo: us(), GiftMessage: "Für Zoé Łukasik, Αθήνα"}).Doubts(); d != nil {
		t.Errorf("what can be printed is doubtful: %v", d)
	}
}
