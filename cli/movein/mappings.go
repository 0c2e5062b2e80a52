package movein

import (
	"io"

	"solander/cli/desk"
	"solander/intake"
	"solander/movein"
)

type Mappings struct {
	List mappingsListCmd `cmd:"" default:"withargs" help:"The saved readings (this is what mappings alone does)."`
	Show mappingsShowCmd `cmd:"" help:"Print one as JSON."`
	Save mappingsSaveCmd `cmd:"" help:"Save one from a file, under the name in it."`
	Drop mappingsDropCmd `cmd:"" help:"Drop one; what was brought in by it stays."`
}

type mappingsListCmd struct{}

func (mappingsListCmd) Help() string { return "Example:\n\n  solander mappings" }

func (c *mappingsListCmd) Run(d *desk.Open) error {
	all, err := movein.Mappings(d.Ctx, d.Studio)
	if err != nil {
		return err
	}
	if all == nil {
		all = []intake.Mapping{}
	}
	return d.Show(all, func(w io.Writer) {
		desk.Table(w, func(row func(string, ...any)) {
			row("NAME\tSHEETS\tCOLOURS\tMONEY")
			for _, m := range all {
				row("%s\t%d\t%d\t%s", desk.OneLine(m.Name), len(m.Sheets), len(m.Fills), m.Currency)
			}
		})
	})
}

type mappingsShowCmd struct {
	Name string `arg:"" help:"Its name."`
}

func (mappingsShowCmd) Help() string { return "Example:\n\n  solander mappings show \"my workbook\"" }

func (c *mappingsShowCmd) Run(d *desk.Open) error {
	m, err := movein.Mapping(d.Ctx, d.Studio, c.Name)
	if err != nil {
		return err
	}
	return writeMapping(d.Desk, m)
}

type mappingsSaveCmd struct {
	File string `arg:"" predictor:"file" help:"A reading as JSON (docs/formats/mapping.md); - is the input stream."`
}

func (mappingsSaveCmd) Help() string { return "Example:\n\n  solander mappings save reading.json" }

func (c *mappingsSaveCmd) Run(d *desk.Open) error {
	m, err := mappingOf(d.Desk, c.File, nil)
	if err != nil {
		return err
	}
	err = movein.SaveMapping(d.Ctx, d.Studio, m)
	return d.Done(err, map[string]string{"saved": m.Name}, "the reading %s is saved", m.Name)
}

type mappingsDropCmd struct {
	Name string `arg:"" help:"Its name."`
}

func (mappingsDropCmd) Help() string { return "Example:\n\n  solander mappings drop \"my workbook\"" }

func (c *mappingsDropCmd) Run(d *desk.Open) error {
	err := movein.DropMapping(d.Ctx, d.Studio, c.Name)
	return d.Done(err, map[string]string{"dropped": c.Name}, "the reading %s is dropped", c.Name)
}
