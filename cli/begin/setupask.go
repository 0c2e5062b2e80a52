package begin

import (
	"bufio"
	"cmp"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"

	"solander/cli/desk"
	"solander/fault"
	"solander/house"
	"solander/measure"
	"solander/money"
	"solander/order"
	"solander/studio"
	"solander/supply"
)

// SetUpSaid is a first studio by flags; what none of them says is asked on a terminal.
type SetUpSaid struct {
	Studio   string   `placeholder:"NAME" help:"Name of the studio."`
	Artist   string   `placeholder:"NAME" help:"Your name."`
	Line1    string   `name:"line1" placeholder:"TEXT" help:"Street and house number of the studio."`
	City     string   `placeholder:"TEXT" help:"Town."`
	Region   string   `placeholder:"TEXT" help:"State or province."`
	Postcode string   `placeholder:"TEXT" help:"Postcode."`
	Country  string   `placeholder:"NAME" help:"Country, by its name or two letters; the United States when left out."`
	Currency string   `placeholder:"CODE" help:"Your money, by ISO 4217: USD, EUR."`
	Units    string   `placeholder:"UNITS" help:"inch or metric."`
	TimeZone string   `placeholder:"ZONE" help:"America/New_York."`
	Outlet   []string `sep:"none" placeholder:"NAME" help:"A place where you sell; say it again for each."`
	Title    string   `placeholder:"TEXT" help:"Title of the first work; none when left out."`
	Width    string   `placeholder:"LENGTH" help:"Width of its prints; a number alone is in your units."`
	Height   string   `placeholder:"LENGTH" help:"Height of its prints."`
	Paper    string   `placeholder:"NAME" help:"One of the papers that set-up offers (--print shows them)."`
	Grade    string   `placeholder:"WORD" help:"fine or standard."`
	Limit    string   `placeholder:"N" help:"How many are numbered; an open edition when left out."`
	Price    string   `placeholder:"AMOUNT" help:"Its first price."`
	Sheets   string   `placeholder:"N" help:"Printed sheets in the drawer already."`
	Have     []string `sep:"none" placeholder:"ITEM[=N]" help:"Packaging that is on your shelf, by its key (--print shows them), and how many; a pack of it when no number is said."`
}

func (c SetUpSaid) any() bool {
	return strings.Join(append(append([]string{
		c.Studio, c.Artist, c.Line1, c.City, c.Region, c.Postcode, c.Country, c.Currency, c.Units, c.TimeZone, c.Title,
		c.Width, c.Height, c.Paper, c.Grade, c.Limit, c.Price, c.Sheets,
	}, c.Outlet...), c.Have...), "") != ""
}

// A clerk asks for what the flags do not say: of a person at a terminal until it can be read, else never.
type clerk struct {
	out   io.Writer
	lines *bufio.Scanner // nil: nobody is there
	wrong fault.List
	gone  bool // the input has ended
}

// ask takes what a flag says, or what is answered; offered stands for an empty answer.
func (c *clerk) ask(flag, said, label, offered string, take func(text string) error) {
	for {
		text := said
		asked := said == "" && c.lines != nil && !c.gone
		if asked {
			fmt.Fprint(c.out, desk.Shown(label), map[bool]string{true: " [" + desk.Shown(offered) + "]"}[offered != ""], ": ")
			if c.gone = !c.lines.Scan(); c.gone {
				fmt.Fprintln(c.out)
			}
			text = strings.TrimSpace(c.lines.Text())
		}
		err := desk.In(take(cmp.Or(text, offered)), flag)
		if err == nil {
			return
		}
		if !asked || c.gone {
			c.wrong.Add(err)
			return
		}
		f := fault.All(err)[0]
		fmt.Fprintln(c.out, desk.Shown(f.What+map[bool]string{true: "; " + f.Mend}[f.Mend != ""]))
	}
}

// word takes a text into its place; one that must be there is asked for again.
func word(to *string, must bool) func(string) error {
	return func(text string) error {
		if *to = text; must && text == "" {
			return fault.New(fault.Invalid, "it is missing").ToMend("fill it in")
		}
		return nil
	}
}

// held is what was taken, held against what the settings say of the field: what is wrong is told where it can be answered anew.
func held(set *studio.Settings, field string, take func(string) error) func(string) error {
	return func(text string) error {
		if err := take(text); err != nil {
			return err
		}
		for _, f := range fault.All(set.Validate()) {
			if f.Field == field || strings.HasSuffix(f.Field, "."+field) {
				return f.In("")
			}
		}
		return nil
	}
}

func whole(to *int) func(string) error {
	return func(text string) error {
		n, err := strconv.ParseInt(cmp.Or(text, "0"), 10, 32)
		if *to = int(n); err != nil || n < 0 {
			return fault.New(fault.Invalid, "%.20q is no number of pieces", text).ToMend("write it in digits, like 12")
		}
		return nil
	}
}

// answered fills a first studio in from the flags, and on a terminal from answers. Faults: Invalid.
func (c SetUpSaid) answered(k *clerk, in house.SetUpIn, proposed bool) (house.SetUpIn, error) {
	set := &in.Settings
	k.ask("studio", c.Studio, "Name of the studio", "", held(set, "studio", word(&set.Studio, true)))
	k.ask("artist", c.Artist, "Your name", "", held(set, "artist", word(&set.Artist, true)))
	set.Address.Name = set.Studio
	k.ask("country", c.Country, "Country", order.CountryName(set.Address.Country), func(text string) error {
		code, ok := order.CountryNamed(text)
		if set.Address.Country = code; !ok {
			return fault.New(fault.Invalid, "%.40q is no country that is known", text).ToMend("write its name or its two letters")
		}
		return nil
	})
	k.ask("line1", c.Line1, "Street and house number", "", held(set, "line1", word(&set.Address.Line1, true)))
	k.ask("city", c.City, "Town", "", held(set, "city", word(&set.Address.City, true)))
	k.ask("region", c.Region, "State or province", "", held(set, "region", word(&set.Address.Region, false)))
	k.ask("postcode", c.Postcode, "Postcode", "", held(set, "postcode", word(&set.Address.Postcode, false)))
	k.ask("currency", c.Currency, "Your money", set.Currency, held(set, "currency", func(text string) error {
		set.Currency = strings.ToUpper(text)
		return nil
	}))
	k.ask("units", c.Units, "Units, inch or metric", string(set.Units), func(text string) (err error) {
		set.Units, err = unitsNamed(text)
		return err
	})
	in = in.MeasuredIn(set.Units)
	k.ask("time-zone", c.TimeZone, "Time zone", set.TimeZone, held(set, "time_zone", word(&set.TimeZone, true)))
	c.outlets(k, &in)
	c.firstEdition(k, &in)
	if k.wrong.Check(!proposed || len(c.Have) == 0, "have", "the shelf is named, and proposed, too", "leave out --proposed or --have"); !proposed {
		in.Shelf = c.shelf(k, in)
	}
	return in, k.wrong.Err()
}

func unitsNamed(text string) (measure.System, error) {
	if u := measure.System(text); u == measure.Imperial || u == measure.Metric {
		return u, nil
	}
	return measure.Imperial, fault.New(fault.Invalid, "%.20q are no units known here", text).ToMend("write %s or %s", measure.Imperial, measure.Metric)
}

func (c SetUpSaid) outlets(k *clerk, in *house.SetUpIn) {
	offered := in.Outlets
	in.Outlets = nil
	for _, name := range c.Outlet {
		in.Outlets = append(in.Outlets, order.Outlet{Name: name, PromiseDays: offered[0].PromiseDays})
	}
	if len(c.Outlet) == 0 {
		o := offered[0]
		k.ask("outlet", "", "Where you sell", o.Name, word(&o.Name, true))
		in.Outlets = append(in.Outlets, o)
	}
}

// firstEdition asks for the first work and edition; both may wait.
func (c SetUpSaid) firstEdition(k *clerk, in *house.SetUpIn) {
	set, e := &in.Settings, &in.Edition
	k.ask("title", c.Title, "Title of your first work (empty: later)", "", word(&in.Work.Title, false))
	if in.Work.Title == "" {
		k.wrong.Check(c.Width+c.Height+c.Limit+c.Price+c.Sheets == "", "title", "the edition has no work", "give --title, too")
		return
	}
	k.ask("width", c.Width, "Width of its prints (empty: no edition yet)", "", func(text string) (err error) {
		if text != "" {
			e.Width, err = measure.ParseLength(text, set.Units)
		}
		return err
	})
	if e.Width == 0 {
		k.wrong.Check(c.Height+c.Limit+c.Price+c.Sheets == "", "width", "the edition has no size", "give --width and --height, too")
		return
	}
	k.ask("height", c.Height, "Height", "", func(text string) (err error) {
		e.Height, err = measure.ParseLength(text, set.Units)
		return err
	})
	var names []string
	for _, p := range set.Papers {
		names = append(names, p.Name)
	}
	k.ask("paper", c.Paper, "Paper: "+strings.Join(names, "; "), names[0], func(text string) error {
		i := slices.IndexFunc(set.Papers, func(p supply.Paper) bool { return strings.EqualFold(p.Name, text) })
		if i < 0 {
			return fault.New(fault.Invalid, "%.40q is none of the papers offered", text).ToMend("use one of %s; or name your own in a file", strings.Join(names, "; "))
		}
		set.Papers[i].Fill(e)
		return nil
	})
	k.ask("grade", c.Grade, "Grade", set.Grades[len(set.Grades)-1], word(&e.Grade, true))
	k.ask("limit", c.Limit, "How many are numbered (empty: an open edition)", "", whole(&e.Limit))
	k.ask("price", c.Price, "Price", "", func(text string) (err error) {
		if text == "" {
			return fault.New(fault.Invalid, "it is missing").ToMend("give an amount like 90.00")
		}
		e.Price, err = money.Parse(text, set.Currency)
		return err
	})
	e.PrintCost = money.Of(0, set.Currency)
	k.ask("sheets", c.Sheets, "Printed sheets in the drawer", "0", whole(&in.Sheets))
}

// shelf is the packaging that the flags name; on a terminal what the first edition needs is proposed, piece by piece, with its count.
// Nothing is on the shelf that nobody said.
func (c SetUpSaid) shelf(k *clerk, in house.SetUpIn) []studio.ShelfItem {
	var out []studio.ShelfItem
	for _, have := range c.Have {
		key, count, counted := strings.Cut(have, "=")
		i := slices.IndexFunc(in.Shelf, func(it studio.ShelfItem) bool { return it.Spec.ID == key })
		if i < 0 {
			k.wrong.Add(fault.Invalidf("have", "%.60q is not among the packaging that is offered", key).ToMend("solander set-up --print lists it; your own can be added afterwards"))
			continue
		}
		it := in.Shelf[i]
		if it.Stock = house.Count(it); counted {
			k.wrong.Add(desk.In(whole(&it.Stock)(count), "have"))
		}
		out = append(out, it)
	}
	if len(c.Have) > 0 || k.lines == nil {
		return out
	}
	for _, it := range house.Proposed(in, in.Shelf) {
		label := fmt.Sprintf("%s: how many have you? (y: %d, a pack as it is usually sold; empty: none)", it.Spec.Name, it.Stock)
		n := 0
		k.ask("have", "", label, "", func(text string) error {
			if n = it.Stock; strings.EqualFold(text, "y") || strings.EqualFold(text, "yes") {
				return nil
			}
			return whole(&n)(text)
		})
		if it.Stock = n; n > 0 {
			out = append(out, it)
		}
	}
	return out
}
