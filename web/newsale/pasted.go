package newsale

import (
	"fmt"
	"net/http"
	"net/url"
	"strconv"
	"strings"

	"solander/address"
	"solander/intake/mail"
	"solander/money"
	"solander/order"
	"solander/register"
	"solander/web/form"
	"solander/web/page"
)

// pasted is what became of a mail that was pasted: what was taken of it stands in the fields, with its words.
type pasted struct {
	Doubts []string
	Taken  int      // fields and prints
	Rest   []string // lines that were not understood
	Total  string   // what the mail says that it comes to
}

// knownTo is what a mail may name of the studio.
func knownTo(r *http.Request, works []register.WorkView, outlets []form.Choice) mail.Known {
	set := page.Settings(r)
	k := mail.Known{Country: set.Address.Country, Currency: set.Currency, Units: set.Units}
	for _, w := range works {
		for _, e := range w.Editions {
			if sellable(e) {
				k.Editions = append(k.Editions, mail.Edition{Edition: e.Edition, Title: w.Title})
			}
		}
	}
	for _, o := range outlets {
		k.Outlets = append(k.Outlets, o.Text)
	}
	return k
}

// takeApart puts what a pasted mail says into the fields that are still empty, or that only the form itself filled in: what she typed stands.
func (p *SalePage) takeApart(r *http.Request, rows int) {
	outlets := p.Form.Find("outlet")
	got := mail.Take(p.Form.Find("paste").Value, knownTo(r, p.works, outlets.Options))
	p.Pasted = &pasted{Doubts: got.Doubts(), Rest: got.Rest, Total: got.Value("total")}
	fresh := p.Form.Find("ship_to.line1").Value == ""
	for _, x := range got.Fields {
		fd := p.Form.Find(x.Field)
		switch {
		case x.Field == "total" || fd == nil:
		case x.Field == "outlet":
			for _, o := range outlets.Options {
				if o.Text == x.Value {
					p.take(fd, mail.Found{Value: o.Value, Words: x.Words, Doubt: x.Doubt})
				}
			}
		case fd.Value == "" || x.Field == "placed" || x.Field == "ship_to.country" && fresh:
			p.take(fd, x)
		}
	}
	for _, x := range got.Prints {
		n := 0
		for n < rows && p.Form.Find(at(n, "edition")).Value != "" {
			n++
		}
		if n == rows {
			p.Pasted.Rest = append(p.Pasted.Rest, x.Words)
			continue
		}
		p.takePrint(n, x)
	}
}

func at(row int, part string) string { return fmt.Sprintf("lines[%d].%s", row, part) }

func (p *SalePage) take(fd *form.Field, x mail.Found) {
	fd.Value = x.Value
	if x.Words != "" {
		fd.Hint = "from “" + x.Words + "”"
	} else if x.Doubt != "" {
		fd.Hint = x.Doubt
	}
	p.Pasted.Taken++
}

func (p *SalePage) takePrint(row int, x mail.Print) {
	if x.Edition == 0 {
		p.Form.Find(at(row, "edition")).Hint = "from “" + x.Words + "”: choose which"
		return
	}
	p.take(p.Form.Find(at(row, "edition")), mail.Found{Value: form.Text64(x.Edition), Words: x.Words})
	if x.Number != "" {
		p.Form.Find(at(row, "number")).Is(x.Number).WithHint("from the mail")
	}
	if x.Price != "" {
		p.Form.Find(at(row, "price")).Is(x.Price).WithHint("from the mail")
	}
}

// printsIn counts how many rows a pasted mail needs.
func printsIn(r *http.Request, typed url.Values, works []register.WorkView) int {
	return len(mail.Take(typed.Get("paste"), knownTo(r, works, nil)).Prints)
}

// doubtsOf are what an address typed by now is doubtful in, as the order's page will say.
func doubtsOf(a order.Address) []string {
	if a.Line1 == "" || !order.KnownCountry(a.Country) || address.Of(a.Country).Country == "" {
		return nil
	}
	var out []string
	for _, d := range a.Doubts() {
		out = append(out, d.Text)
	}
	return out
}

// differs says so when a mail's total is not what the sale comes to; "" when it is, or when it says none.
func (p *pasted) differs(due money.Amount) string {
	if p == nil || p.Total == "" {
		return ""
	}
	a, err := money.Parse(p.Total, due.Currency)
	if err != nil || a == due {
		return ""
	}
	return "the mail says a total of " + a.String() + ", and this sale comes to " + due.String()
}

// known puts a buyer of the book into the form: her name and where her latest order went, if no address was typed.
func (p *SalePage) knownBuyer(typed url.Values, b order.Buyer, place order.Address) {
	typed.Set("buyer_id", strconv.FormatInt(b.ID, 10))
	typed.Set("buyer", b.Name)
	typed.Set("email", b.Email)
	typed.Set("phone", b.Phone)
	if strings.TrimSpace(typed.Get("ship_to.line1")) != "" {
		return
	}
	for name, v := range map[string]string{
		"name": place.Name, "line1": place.Line1, "line2": place.Line2, "city": place.City, "region": place.Region, "postcode": place.Postcode, "country": place.Country,
	} {
		if v != "" {
			typed.Set("ship_to."+name, v)
		}
	}
}
