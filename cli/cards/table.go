package cards

import (
	"fmt"
	"io"
	"path/filepath"
	"strings"

	"solander/cli/desk"
	"solander/fault"
	"solander/intake/pricelist"
	"solander/money"
	"solander/movein"
	"solander/pricecards"
	"solander/studio"
	"solander/tariff"
)

type tariffTableCmd struct {
	File     string `arg:"" predictor:"file" help:"The operator's list: a workbook (.xlsx) or a text file (.csv)."`
	Into     string `placeholder:"CARD" help:"Put the table into this card of the studio's own."`
	After    string `placeholder:"CARD" help:"Make the card that follows this one; all else is carried over as it was."`
	Service  string `help:"Id of the service whose table it is; of a card of its own: whose zones it has."`
	Zones    string `placeholder:"CARD" help:"Of a card of its own: the card whose zones it has."`
	Places   string `placeholder:"FILE" predictor:"file" help:"Of a card of its own: a text file that says where its zones lie, a zone a line (Europe: Denmark, DE) or a place a line (Denmark 2)."`
	Operator string `help:"Of a card of its own: whose prices they are."`
	Name     string `help:"Of a card of its own: what the service is called."`
	Class    string `help:"Of a card of its own: class of price, such as counter." default:"counter"`
	From     string `help:"First day of the prices."`
	To       string `help:"Last day of the prices; left out: till the next card."`
	Source   string `help:"Where the prices stand: the operator's list and its day."`
	Sheet    string `help:"Sheet of the workbook; left out: the one with the most prices."`
	Layout   string `help:"down (weights down, zones across), across, or rows (a row for each price); left out: as it looks."`
	Only     string `help:"Of a list of several services, with a row for each price: the one that is read."`
	Unit     string `help:"Unit of weights that say none: g, kg, oz, lb."`
	Decimal  string `help:"Sign before decimals: a point or a comma; left out: as it looks."`
	Currency string `help:"Currency of the prices; left out: as the list says."`
	Empty    string `help:"What an empty cell is: not-carried; left out: a price that is missing."`
	Sure     bool   `help:"Keep the card though cells are in doubt."`
}

func (tariffTableCmd) Help() string {
	return "Without --into, --after or --operator it is only read, and shown with every doubt and its cell. What must be mended lets no card be made; what is in doubt needs --sure.\n\nExample:\n\n" +
		"  solander tariff table list.xlsx\n  solander tariff table list.xlsx --after us-usps-commercial-2025-10-05 --service ground-commercial --from 2026-07-12 --source \"their list of 12 July\""
}

func (c *tariffTableCmd) Run(d *desk.Open) error {
	read, err := c.read(d)
	if err != nil {
		return err
	}
	in := pricecards.TableIn{Place: pricecards.Alone, Card: c.Zones, Service: c.Service, Operator: c.Operator, Name: c.Name, Class: c.Class, Currency: read.Mapping.Currency, Source: c.Source, Who: studio.Who(d.Ctx)}
	switch {
	case c.Into != "":
		in.Place, in.Card = pricecards.Into, c.Into
	case c.After != "":
		in.Place, in.Card = pricecards.After, c.After
	case c.Operator == "":
		return c.show(d, read)
	}
	var l fault.List
	for _, x := range read.Doubts {
		if x.Bars {
			l.Add(fault.New(fault.Invalid, "%s", x.What).At("%s", strings.Trim(c.File+", "+read.Grid.Place(x.Row, x.Col), ", ")).ToMend("%s", x.Mend))
		}
	}
	l.Check(c.Into == "" || c.After == "" && c.Operator == "", "into", "the table goes into one card", "name one of --into, --after and --operator")
	for _, x := range []struct {
		typed, name string
	}{{c.From, "from"}, {c.To, "to"}} {
		if x.typed == "" {
			continue
		}
		day, err := desk.Day(x.typed, x.name)
		if l.Add(err); x.name == "from" {
			in.From = day
		} else {
			in.To = day
		}
	}
	if err := l.Err(); err != nil {
		return err
	}
	if c.Places != "" {
		body, err := d.ReadFile(c.Places, "places")
		if err != nil {
			return err
		}
		in.Places = string(body)
	}
	in.Prices = read.Table()
	made, err := pricecards.TryTable(d.Ctx, d.Studio, in)
	if err != nil {
		return err
	}
	if !c.Sure {
		for _, x := range read.Doubts {
			l.Add(fault.New(fault.Refused, "%s", x.What).At("%s", read.Grid.Place(x.Row, x.Col)).ToMend("%s; --sure takes it as it is", x.Mend))
		}
		for _, x := range made.Doubts {
			l.Add(fault.New(fault.Refused, "%s", x.Text).At("%s", x.Where()).ToMend("%s; --sure takes it as it is", x.Mend))
		}
		if err := l.Err(); err != nil {
			return err
		}
	}
	made, err = pricecards.KeepTable(d.Ctx, d.Studio, in)
	return d.Done(err, made, "card %s is kept, from %s: %s of %s", made.Card.ID, made.Card.From, fault.Count(len(read.Steps), "step"), made.Service)
}

func (c *tariffTableCmd) read(d *desk.Open) (pricelist.Reading, error) {
	body, err := d.ReadFile(c.File, "file")
	if err != nil {
		return pricelist.Reading{}, err
	}
	set, err := d.Studio.Settings(d.Ctx)
	if err != nil {
		return pricelist.Reading{}, err
	}
	t, err := movein.ReadFile(d.Ctx, d.Studio, filepath.Base(c.File), body, nil)
	if err != nil {
		return pricelist.Reading{}, err
	}
	m := pricelist.Guess(t, set.Currency)
	if c.Sheet != "" || c.Layout != "" {
		sheet := m.Sheet
		for i, s := range t.Sheets {
			if strings.EqualFold(s.Name, c.Sheet) {
				sheet = i
			} else if c.Sheet != "" && i == len(t.Sheets)-1 && sheet == m.Sheet && !strings.EqualFold(t.Sheets[sheet].Name, c.Sheet) {
				return pricelist.Reading{}, fault.Invalidf("sheet", "there is no sheet %.60q", c.Sheet).ToMend("name one of the workbook's sheets")
			}
		}
		layout := m.Layout
		if c.Layout != "" {
			layout = pricelist.Layout(c.Layout)
		}
		m = pricelist.GuessIn(t, sheet, layout, -1, set.Currency)
	}
	for _, x := range []struct {
		typed string
		to    *string
	}{{c.Only, &m.Only}, {c.Unit, &m.Unit}, {c.Decimal, &m.Decimal}, {strings.ToUpper(c.Currency), &m.Currency}, {c.Empty, &m.Empty}} {
		if x.typed != "" {
			*x.to = x.typed
		}
	}
	return pricelist.Read(t.Sheets[m.Sheet], m), nil
}

// show prints what was read: the steps, and every doubt.
func (c *tariffTableCmd) show(d *desk.Open, r pricelist.Reading) error {
	type said struct {
		Cell string `json:"cell"`
		What string `json:"what"`
		Mend string `json:"mend"`
		Bars bool   `json:"bars"`
	}
	doubts := []said{}
	for _, x := range r.Doubts {
		doubts = append(doubts, said{r.Grid.Place(x.Row, x.Col), x.What, x.Mend, x.Bars})
	}
	return d.Show(map[string]any{"mapping": r.Mapping, "prices": r.Table(), "doubts": doubts}, func(w io.Writer) {
		desk.Table(w, func(row func(string, ...any)) {
			row("%s", "UP TO\t"+strings.Join(upper(r.Zones), "\t"))
			for i, s := range r.Steps {
				cells := []string{s.Text}
				for _, p := range r.Prices[i] {
					text := "-"
					if p.Cell != tariff.NotCarried {
						text = money.Of(int64(p.Cell), r.Mapping.Currency).Plain()
					}
					cells = append(cells, text)
				}
				row("%s", strings.Join(cells, "\t"))
			}
		})
		for _, x := range doubts {
			printDoubt(w, x.Bars, x.Cell+": "+x.What, x.Mend)
		}
	})
}

// printDoubt prints what is in doubt, by a sign whether it bars.
func printDoubt(w io.Writer, bars bool, what, mend string) {
	sign := "?"
	if bars {
		sign = "!"
	}
	fmt.Fprintf(w, "%s %s (%s)\n", sign, what, mend)
}

func upper(zones []string) []string {
	if len(zones) == 0 {
		return []string{"PRICE"}
	}
	var out []string
	for _, z := range zones {
		out = append(out, "ZONE "+strings.ToUpper(z))
	}
	return out
}
