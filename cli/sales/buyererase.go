package sales

import (
	"fmt"
	"io"

	"solander/cli/desk"
	"solander/privacy"
)

type buyerExportCmd struct {
	Buyer string `arg:"" predictor:"buyer" help:"The buyer: the name, the e-mail address, or the number."`
	File  string `arg:"" predictor:"file" help:"ZIP file to write (- is the output stream)."`
	Force bool   `help:"Replace the file when it exists."`
}

func (buyerExportCmd) Help() string {
	return "Every row that is about the buyer, and every row in which the buyer is named. Secrets are left out.\n\nExample:\n\n  solander buyer export \"Ines Halloran\" ines.zip"
}

func (c *buyerExportCmd) Run(d *desk.Open) error {
	id, err := d.BuyerNamed(c.Buyer, "buyer")
	if err != nil {
		return err
	}
	data, err := privacy.KeptOf(d.Ctx, d.Studio, id)
	if err != nil {
		return err
	}
	if err := d.ToFile(c.File, c.Force, data.Zip); err != nil || c.File == "-" {
		return err
	}
	return d.Say(map[string]string{"written": c.File}, "written: %s", c.File)
}

type buyerEraseCmd struct {
	Buyer string `arg:"" predictor:"buyer" help:"The buyer: the name, the e-mail address, or the number."`
	Yes   bool   `help:"Erase. It cannot be undone."`
	Early bool   `help:"The tax office needs it no more, although the years that you entered are not over."`
}

func (buyerEraseCmd) Help() string {
	return "Without --yes it is a trial: nothing is changed.\n\nExample:\n\n  solander buyer erase 17\n  solander buyer erase 17 --yes"
}

func (c *buyerEraseCmd) Run(d *desk.Open) error {
	id, err := d.BuyerNamed(c.Buyer, "buyer")
	if err != nil {
		return err
	}
	tr, err := privacy.Try(d.Ctx, d.Studio, id)
	if err != nil {
		return err
	}
	if !c.Yes {
		return d.Show(tr, func(w io.Writer) { printErasing(w, tr) })
	}
	done, err := privacy.Erase(d.Ctx, d.Studio, privacy.EraseIn{Buyer: id, Seen: tr.Seen, Early: c.Early})
	if err != nil {
		return err
	}
	return d.Say(done, "buyer %d is erased; keep the list of erasures beside your backups: solander privacy list FILE", id)
}

func printErasing(w io.Writer, tr privacy.Trial) {
	fmt.Fprintf(w, "buyer %d %s, %d orders: nothing was changed\n", tr.Buyer.ID, tr.Buyer.Name, tr.Orders)
	for _, x := range tr.InTheWay {
		fmt.Fprintf(w, "%s: %s\n", desk.Late("in the way"), x.Text)
		fmt.Fprintf(w, "  hint: %s\n", x.Mend)
	}
	for _, p := range tr.Hers {
		fmt.Fprintf(w, "would be blanked: %s (%d)\n", p.What, p.Cells)
	}
	for _, p := range tr.Named {
		fmt.Fprintf(w, "would be named no more in: %s (%d)\n", p.What, p.Cells)
	}
	for _, s := range tr.Stays {
		fmt.Fprintf(w, "stays: %s; %s\n", s.What, s.Why)
	}
	for _, c := range tr.Cautions {
		fmt.Fprintln(w, c)
	}
}
