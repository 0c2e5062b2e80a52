package begin

import (
	"bufio"
	"cmp"
	"fmt"
	"io"
	"reflect"
	"strings"

	"solander/cli/desk"
	"solander/edition"
	"solander/fault"
	"solander/house"
	"solander/measure"
	"solander/order"
	"solander/record"
	"solander/studio"
)

// setUpFile is a first studio in a file.
type setUpFile struct {
	Settings studio.Settings    `json:"settings"`
	Outlets  []order.Outlet     `json:"outlets"`
	Work     edition.Work       `json:"work"`
	Edition  edition.Edition    `json:"edition"`
	Shelf    []studio.ShelfItem `json:"shelf"`
	Sheets   int                `json:"sheets"` // of the edition, in the drawer
}

type SetUp struct {
	File  string `placeholder:"FILE" predictor:"file" help:"What set-up asks for, in a JSON file (- is the input stream)."`
	Print bool   `help:"Print a file to fill in, with the default wraps, house rules and shelf."`

	Proposed bool `help:"Put the packaging on the shelf that prints of the first edition need, a pack of each as it is usually sold, and no other."`
	SetUpSaid

	RegisterPassphrase string `placeholder:"FILE" predictor:"file" help:"A file with the passphrase that shall lock the register's key; without one a file in your own settings opens it." xor:"register"`
	RegisterKeyring    bool   `help:"Let this computer's keyring open the register's key." xor:"register"`
}

// registerWords are the words of the file that was named; "" = none was.
func (c *SetUp) registerWords(d *desk.Desk) (string, error) {
	if c.RegisterPassphrase == "" {
		return "", nil
	}
	body, err := d.ReadFile(c.RegisterPassphrase, "register-passphrase")
	words := strings.TrimSpace(string(body))
	if err == nil && words == "" {
		err = fault.Invalidf("register-passphrase", "the passphrase is empty").ToMend("give one, or leave the flag out")
	}
	return words, err
}

func (SetUp) Help() string {
	return `On a terminal it asks, question by question, for what the flags do not say; an empty answer takes what stands in
brackets. Nothing is kept before the last answer. What a file leaves out is as --print shows it. The ways to pack follow
the packaging on the shelf, as in a browser, through which solander serve leads.

Example:

  solander set-up
  solander set-up --studio "Marsh Lane Press" --artist "Ines Corrow" --line1 "4 Marsh Lane" --city Roanoke --region VA
    --postcode 24011 --title "Heron at dusk" --width 11 --height 14 --limit 250 --price 90 --sheets 7 --proposed
  solander set-up --print --units metric > studio.json
  solander set-up --file studio.json`
}

func (c *SetUp) Run(d *desk.Desk) error {
	asked, alone := d.Asks(), c.SetUpSaid
	alone.Units = "" // the file is printed in the units that are asked for
	switch {
	case c.File != "" && (c.Print || c.SetUpSaid.any()), c.Print && alone.any():
		return fault.Invalidf("file", "a file says all itself").ToMend("leave out the other flags, or the file")
	case c.Print:
		return c.print(d)
	case c.File == "" && !c.SetUpSaid.any() && !asked:
		return fault.Invalidf("file", "set-up needs a file, or flags").ToMend("solander set-up --print > studio.json makes one to fill in; on a terminal solander set-up asks")
	}
	in, err := c.studio(d, asked)
	if err != nil {
		return err
	}
	if c.Proposed {
		in.Shelf = house.Proposed(in, house.Defaults(in.Settings.Units).Shelf)
	}
	asOffered := reflect.DeepEqual(in.Settings.Rules, house.Defaults(in.Settings.Units).Settings.Rules)
	in, left := in.Follow()
	words, err := c.registerWords(d)
	if err != nil {
		return err
	}
	st, err := d.Fill(func(st *studio.Studio) error {
		if asOffered {
			said, err := followCards(d, st, &in)
			if err != nil {
				return err
			}
			left = append(left, said...)
		}
		return inFile(house.SetUp(d.Ctx, st, in))
	})
	if err != nil {
		return err
	}
	if err := record.MakeKey(d.Ctx, st, words); err != nil { // the studio stands: the key is made when the register is signed first
		left = append(left, "the register has no key yet: "+fault.All(err)[0].What)
	} else if c.RegisterKeyring {
		if err := record.ToKeyring(d.Ctx, st, ""); err != nil {
			left = append(left, "a file in your own settings opens the register's key: "+fault.All(err)[0].What)
		}
	}
	said := map[string]any{"studio": in.Settings.Studio, "store": d.Store.Place(), "left_out": append([]string{}, left...)}
	return d.Show(said, func(w io.Writer) {
		fmt.Fprintf(w, "%s is set up: %s\n", in.Settings.Studio, d.Store.Place())
		for _, it := range in.Shelf {
			if it.Stock > 0 && c.File == "" {
				fmt.Fprintf(w, "on the shelf: %d × %s\n", it.Stock, it.Spec.Name)
			}
		}
		for _, l := range left {
			fmt.Fprintln(w, l)
		}
	})
}

// followCards leaves the offered house rules out that no price card of the studio can keep, and says which.
func followCards(d *desk.Desk, st *studio.Studio, in *house.SetUpIn) (said []string, err error) {
	today, err := house.Today(d.Ctx, st)
	if err != nil {
		return nil, err
	}
	kept, left, err := st.RulesByCards(in.Settings, today)
	if err != nil {
		return nil, err
	}
	for _, r := range left {
		said = append(said, fmt.Sprintf("the house rule “%s” is left out: no price card for this studio can keep it", in.Settings.RuleText(r)))
	}
	in.Settings.Rules = kept
	return said, nil
}

// studio is what the file says, or else the flags and the answers.
func (c *SetUp) studio(d *desk.Desk, asked bool) (house.SetUpIn, error) {
	f := defaults()
	if c.File != "" {
		err := d.ReadJSON(c.File, "file", &f)
		return house.SetUpIn(f), err
	}
	k := &clerk{out: d.Err}
	if asked {
		k.lines = bufio.NewScanner(d.In)
	}
	return c.answered(k, house.SetUpIn(f), c.Proposed)
}

func (c *SetUp) print(d *desk.Desk) error {
	units, err := unitsNamed(cmp.Or(c.Units, string(measure.Imperial)))
	if err != nil {
		return desk.In(err, "units")
	}
	d.JSON = true
	return d.Show(setUpFile(house.Defaults(units)), nil)
}

// defaults are what the file and the flags begin with.
func defaults() setUpFile { return setUpFile(house.Defaults(measure.Imperial)) }

// inFile names the fields of the studio's own address as they stand in the file.
func inFile(err error) error {
	for _, f := range fault.All(err) {
		if field, of := strings.CutPrefix(f.Field, "ship_to."); of {
			f.Field = "settings.address." + field
		}
	}
	return err
}
