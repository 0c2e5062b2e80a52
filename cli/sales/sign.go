package sales

import (
	"solander/cli/desk"
	"solander/fault"
	"solander/register"
	"solander/studio"
)

type Sign struct {
	Order string  `arg:"" predictor:"order" help:"Mark of the order."`
	Line  []int64 `placeholder:"ID" help:"Only these lines of it; all that are not signed when left out."`
}

func (Sign) Help() string {
	return "Example:\n\n  solander sign S-1042\n\nNumbers that no order holds are signed with: solander register sign EDITION NUMBER …"
}

func (c *Sign) Run(d *desk.Open) error {
	o, err := d.OrderNamed(c.Order)
	if err != nil {
		return err
	}
	lines, err := unsigned(o, c.Line)
	if err != nil {
		return err
	}
	if err := register.Sign(d.Ctx, d.Studio, lines); err != nil {
		return err
	}
	return d.After(o.ID)
}

// unsigned returns the lines to sign: those asked for, which must be the order's own, or all live ones
// that are not signed.
func unsigned(o studio.OrderView, asked []int64) ([]int64, error) {
	own := map[int64]bool{}
	var all []int64
	for _, l := range o.Live() {
		own[l.ID] = true
		if !l.Signed {
			all = append(all, l.ID)
		}
	}
	for _, id := range asked {
		if !own[id] {
			return nil, fault.New(fault.Missing, "%s has no line %d", o.Mark, id).In("line").ToMend("solander order %s lists them", o.Mark)
		}
	}
	switch {
	case len(asked) > 0:
		return asked, nil
	case len(all) == 0:
		return nil, fault.New(fault.Refused, "all its prints are signed").At("%s", o.Mark)
	}
	return all, nil
}
