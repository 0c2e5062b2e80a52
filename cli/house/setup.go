package house

import (
	"fmt"
	"io"
	"reflect"
	"strings"

	"solander/cli/desk"
	"solander/edition"
	"solander/fault"
	"solander/house"
	"solander/order"
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
}

func (SetUp) Help() string {
	return "What a file leaves out is as --print shows it. solander serve leads through the same in a browser.\n\nExample:\n\n  solander set-up --print > studio.json\n  solander set-up --file studio.json"
}

func (c *SetUp) Run(d *desk.Desk) error {
	if c.Print == (c.File != "") {
		return fault.Invalidf("file", "set-up needs a file").ToMend("solander set-up --print > studio.json makes one to fill in")
	}
	if c.Print {
		return c.print(d)
	}
	f := defaults(d)
	if err := d.ReadJSON(c.File, "file", &f); err != nil {
		return err
	}
	in, left := house.SetUpIn(f).LeaveOut()
	asOffered := reflect.DeepEqual(f.Settings.Rules, defaults(d).Settings.Rules)
	if _, err := d.Fill(func(st *studio.Studio) error {
		if asOffered {
			said, err := followCards(d, st, &in)
			if err != nil {
				return err
			}
			left = append(left, said...)
		}
		return inFile(house.SetUp(d.Ctx, st, in))
	}); err != nil {
		return err
	}
	said := map[string]any{"studio": f.Settings.Studio, "store": d.Store.Place(), "left_out": append([]string{}, left...)}
	return d.Show(said, func(w io.Writer) {
		fmt.Fprintf(w, "%s is set up: %s\n", f.Settings.Studio, d.Store.Place())
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
	kept, left := st.RulesByCards(in.Settings, today)
	for _, r := range left {
		said = append(said, fmt.Sprintf("the house rule “%s” is left out: no price card for this studio can keep it", in.Settings.RuleText(r)))
	}
	in.Settings.Rules = kept
	return said, nil
}

func (c *SetUp) print(d *desk.Desk) error {
	d.JSON = true
	return d.Show(defaults(d), nil)
}

// defaults are the same for every studio, so none needs to be open.
func defaults(d *desk.Desk) setUpFile {
	return setUpFile(house.Defaults(studio.New(nil, studio.Options{Clock: d.Env.Clock})))
}

// inFile names the fields of the studio's own address as they stand in the file.
func inFile(err error) error {
	for _, f := range fault.All(err) {
		if field, of := strings.CutPrefix(f.Field, "ship_to."); of {
			f.Field = "settings.address." + field
		}
	}
	return err
}
