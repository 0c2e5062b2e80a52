package certify

import (
	"solander/certificate"
	"solander/certify"
	"solander/cli/desk"
)

type pageCmd struct {
	Bare bool `help:"Without this studio's keys and list: for any studio's certificates."`
	fileOut
	desk.Unlocking
}

func (pageCmd) Help() string {
	return "One file that asks no server: give it to buyers, or put it on your site. It knows this studio's keys, and which certificates do not hold any more today.\n\nExample:\n\n  solander certificate page -o check.html"
}

func (c *pageCmd) Run(d *desk.Open) error {
	name, known := "", certificate.Known{}
	if !c.Bare {
		words, err := c.Words(d.Desk)
		if err != nil {
			return err
		}
		if name, known, err = certify.ForThePage(d.Ctx, d.Studio, words); err != nil {
			return err
		}
	}
	page, err := certificate.Page(name, known)
	if err != nil {
		return err
	}
	if d.JSON {
		return d.Show(map[string]string{"page": page}, nil)
	}
	return c.write(d.Desk, page)
}
