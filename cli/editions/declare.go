package editions

import (
	"slices"
	"strings"

	"solander/cli/desk"
	"solander/edition"
	"solander/fault"
	"solander/measure"
	"solander/money"
	"solander/register"
	"solander/studio"
	"solander/supply"
)

type Declare struct {
	Work         string   `placeholder:"WORK" predictor:"work" help:"The picture: its title, words of it that fit no other, or its number."`
	Width        string   `placeholder:"LENGTH" help:"Width of the sheet; a number alone is in the studio's unit."`
	Height       string   `placeholder:"LENGTH" help:"Height of the sheet."`
	Paper        string   `placeholder:"NAME" help:"The paper; one of the studio's own brings its grammage, thickness and tightest roll."`
	Grammage     string   `placeholder:"GRAMMAGE" help:"310 gsm, or 80 lb cover."`
	Caliper      string   `placeholder:"LENGTH" help:"Thickness of the sheet: 20 pt, or 0.5 mm."`
	TightestRoll string   `placeholder:"LENGTH" help:"The smallest inner diameter at which it may be rolled; never, when left out."`
	Grade        string   `placeholder:"WORD" help:"The studio's own word: fine, standard."`
	Technique    string   `placeholder:"TEXT" help:"Pigment print, etching."`
	Limit        int      `placeholder:"N" help:"How many are numbered."`
	Open         bool     `help:"An open edition: no limit, and no numbers."`
	AP           int      `name:"ap" placeholder:"N" help:"Artist's proofs."`
	PP           int      `name:"pp" placeholder:"N" help:"Printer's proofs."`
	HC           int      `name:"hc" placeholder:"N" help:"Hors commerce."`
	BAT          int      `name:"bat" placeholder:"N" help:"Bon à tirer."`
	Price        string   `placeholder:"AMOUNT" help:"The first price."`
	Step         []string `sep:"none" placeholder:"SOLD=AMOUNT" help:"The price from so many sold; say it again for each."`
	PrintCost    string   `placeholder:"AMOUNT" help:"What the lab asks for a sheet; not known, when left out."`
	File         string   `placeholder:"FILE" predictor:"file" help:"The edition in a JSON file instead (- is the input stream)."`
}

func (Declare) Help() string {
	return `The limit and the number of proofs are declared once: nothing can raise them afterwards. Many places
ask by law what a seller of limited editions must disclose; see what holds where you sell.

Example:

  solander declare --work heron --width "12 in" --height "16 in" --paper "cotton rag" --grade fine
    --technique "pigment print" --limit 250 --ap 5 --price 120 --step 50=140 --print-cost 14.50

A file holds the same: {"work": 1, "width_nm": "12 in", "height_nm": "16 in", "paper": "cotton rag",
"grammage_mg_m2": "310 gsm", "caliper_nm": "20 pt", "grade": "fine", "technique": "pigment print",
"limit": 250, "proofs": {"ap": 5}, "tightest_roll_nm": "3 in", "price": {"minor": 12000, "currency":
"USD"}, "print_cost": {"minor": 1450, "currency": "USD"}}.`
}

func (c *Declare) Run(d *desk.Open) error {
	e, err := c.edition(d)
	if err != nil {
		return err
	}
	if e, err = register.Declare(d.Ctx, d.Studio, e); err != nil {
		return err
	}
	return d.Say(e, "edition %d %s is declared", e.ID, e.Name(d.Units()))
}

// edition is what the file says, or else the flags; every fault of those is told at once.
func (c *Declare) edition(d *desk.Open) (edition.Edition, error) {
	flags := *c
	flags.File = ""
	given := flags.any()
	switch {
	case c.File != "" && given:
		return edition.Edition{}, fault.Invalidf("file", "an edition comes from a file or from flags, not both").ToMend("leave one of them out")
	case c.File != "":
		var e edition.Edition
		err := d.ReadJSON(c.File, "file", &e)
		return e, err
	case !given:
		return edition.Edition{}, fault.Invalidf("work", "nothing says what to declare").ToMend("give --work and the other flags, or --file; solander declare --help shows an example")
	}
	set, err := d.Studio.Settings(d.Ctx)
	if err != nil {
		return edition.Edition{}, err
	}
	return c.said(d, set)
}

func (c *Declare) any() bool {
	return strings.Join([]string{c.Work, c.Width, c.Height, c.Paper, c.Grammage, c.Caliper, c.TightestRoll, c.Grade, c.Technique, c.Price, c.PrintCost}, "") != "" ||
		c.Open || c.Limit != 0 || c.AP+c.PP+c.HC+c.BAT != 0 || len(c.Step) > 0
}

// said reads the flags.
func (c *Declare) said(d *desk.Open, set studio.Settings) (edition.Edition, error) {
	var l fault.List
	e := edition.Edition{
		Paper: c.Paper, Grade: c.Grade, Technique: c.Technique, Limit: c.Limit,
		Proofs: edition.Proofs{AP: c.AP, PP: c.PP, HC: c.HC, BAT: c.BAT},
		Price:  money.Of(0, set.Currency), PrintCost: money.Of(0, set.Currency),
	}
	l.Check(c.Work != "", "work", "it is missing", "say of which picture; solander works lists them")
	l.Check(c.Open != (c.Limit > 0), "limit", "the limit is missing, or does not go with --open", "give --limit N, or --open for an edition without numbers")
	if c.Work != "" {
		w, err := d.WorkNamed(c.Work)
		l.Add(err)
		e.Work = w.ID
	}
	for _, x := range []struct {
		flag, text string
		to         *measure.Length
	}{{"width", c.Width, &e.Width}, {"height", c.Height, &e.Height}, {"caliper", c.Caliper, &e.Caliper}, {"tightest-roll", c.TightestRoll, &e.TightestRoll}} {
		if x.text != "" {
			var err error
			*x.to, err = measure.ParseLength(x.text, set.Units)
			l.Add(desk.In(err, x.flag))
		}
	}
	var err error
	if c.Grammage != "" {
		e.Grammage, err = measure.ParseGrammage(c.Grammage)
		l.Add(desk.In(err, "grammage"))
	}
	e.Price, err = d.Amount(c.Price, "price")
	l.Add(err)
	e.PrintCost, err = d.Amount(c.PrintCost, "print-cost")
	l.Add(err)
	e.Steps, err = steps(d, c.Step)
	l.Add(err)
	if i := slices.IndexFunc(set.Papers, func(p supply.Paper) bool { return strings.EqualFold(p.Name, c.Paper) }); i >= 0 {
		set.Papers[i].Fill(&e)
	}
	return e, l.Err()
}
