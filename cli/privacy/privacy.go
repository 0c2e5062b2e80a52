// Package privacy has the commands of how long buyers are kept: the rule, who is due, what was erased, and what is done after an older
// copy was restored.
package privacy

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"

	"solander/cli/desk"
	"solander/fault"
	"solander/privacy"
	"solander/upkeep"
)

type Privacy struct {
	Rule     ruleCmd     `cmd:"" default:"withargs" help:"How long buyers are kept: show it, or set it."`
	Due      dueCmd      `cmd:"" help:"Buyers who are due to be erased by the rule; with --yes they are."`
	Erasures erasuresCmd `cmd:"" help:"What was erased, without names."`
	List     listCmd     `cmd:"" help:"Write the list of erasures, to be kept beside the backups."`
	Again    againCmd    `cmd:"" help:"After an older copy was restored: erase again by the list."`
	Cipher   cipherCmd   `cmd:"" help:"What is kept in cipher: show it, or choose."`
	Key      keyCmd      `cmd:"" help:"The key of what is kept in cipher: carry it elsewhere."`
	Wipe     wipeCmd     `cmd:"" help:"Write the files of the store anew, so that nothing erased is left in them."`
}

func (Privacy) Help() string {
	return `solander buyer export and solander buyer erase are for one buyer. How long you must keep, and what you must erase, ask an adviser.

Example:

  solander privacy
  solander privacy rule --years 3 --tax-years 10
  solander privacy due
  solander privacy list erasures.json`
}

type ruleCmd struct {
	Years       *int  `placeholder:"N" help:"Years after the last payment or hand-over; 0 = never due."`
	UnpaidYears *int  `placeholder:"N" help:"Years after the last order of who never paid anything; 0 = never due."`
	TaxYears    *int  `placeholder:"N" help:"Years after the end of the year in which the tax may ask for a sale."`
	Scheduled   *bool `negatable:"" help:"Who is due is erased by itself."`
}

func (ruleCmd) Help() string {
	return "Example:\n\n  solander privacy rule --years 3 --unpaid-years 1 --tax-years 10"
}

func (c *ruleCmd) Run(d *desk.Open) error {
	if c.Years != nil || c.UnpaidYears != nil || c.TaxYears != nil || c.Scheduled != nil {
		if err := privacy.ChangeRetention(d.Ctx, d.Studio, c.change); err != nil {
			return err
		}
	}
	set, err := d.Studio.Settings(d.Ctx)
	if err != nil {
		return err
	}
	r := upkeep.Retention{}
	if set.Retention != nil {
		r = *set.Retention
	}
	return d.Show(r, func(w io.Writer) {
		fmt.Fprintf(w, "after the last payment or hand-over: %s\n", years(r.Years))
		fmt.Fprintf(w, "of who never paid, after the last order: %s\n", years(r.UnpaidYears))
		if r.TaxYears == 0 {
			fmt.Fprintln(w, "for the tax: not said; ask your adviser")
		} else {
			fmt.Fprintf(w, "for the tax: %s after the end of the year\n", fault.Count(r.TaxYears, "year"))
		}
		fmt.Fprintf(w, "by itself: %s\n", map[bool]string{true: "yes", false: "no, by your word"}[r.Scheduled])
	})
}

func years(n int) string {
	if n == 0 {
		return "kept without end"
	}
	return fault.Count(n, "year")
}

// change takes over what was given.
func (c *ruleCmd) change(r *upkeep.Retention) error {
	for _, x := range []struct{ to, given *int }{{&r.Years, c.Years}, {&r.UnpaidYears, c.UnpaidYears}, {&r.TaxYears, c.TaxYears}} {
		if x.given != nil {
			*x.to = *x.given
		}
	}
	if c.Scheduled != nil {
		r.Scheduled = *c.Scheduled
	}
	return nil
}

type dueCmd struct {
	Yes bool `help:"Erase all of them whom nothing keeps. It cannot be undone."`
}

func (dueCmd) Help() string {
	return "Example:\n\n  solander privacy due\n  solander privacy due --yes"
}

func (c *dueCmd) Run(d *desk.Open) error {
	due, err := privacy.WhoIsDue(d.Ctx, d.Studio)
	if err != nil {
		return err
	}
	if !c.Yes {
		return d.Show(due, func(w io.Writer) { printDue(w, due) })
	}
	var ids []int64
	for _, x := range due {
		if len(x.InTheWay) == 0 {
			ids = append(ids, x.Buyer)
		}
	}
	done, err := privacy.EraseDue(d.Ctx, d.Studio, ids)
	if err != nil {
		return err
	}
	return d.Say(done, "%d erased", len(done))
}

func printDue(w io.Writer, due []privacy.Due) {
	if len(due) == 0 {
		fmt.Fprintln(w, "nobody is due")
		return
	}
	desk.Table(w, func(row func(string, ...any)) {
		row("BUYER\tNAME\tLAST\tDUE SINCE\tORDERS\tIN THE WAY")
		for _, x := range due {
			way := ""
			if len(x.InTheWay) > 0 {
				way = x.InTheWay[0].Text
			}
			row("%d\t%s\t%s\t%s\t%d\t%s", x.Buyer, x.Name, x.Last, x.On, x.Orders, way)
		}
	})
}

type erasuresCmd struct{}

func (erasuresCmd) Help() string { return "Example:\n\n  solander privacy erasures" }

func (erasuresCmd) Run(d *desk.Open) error {
	all, err := privacy.Erasures(d.Ctx, d.Studio, 0)
	if err != nil {
		return err
	}
	return d.Show(all, func(w io.Writer) {
		if len(all) == 0 {
			fmt.Fprintln(w, "nobody was erased")
			return
		}
		desk.Table(w, func(row func(string, ...any)) {
			row("DAY\tBUYER\tWHY\tPLACES\tBY")
			for _, e := range all {
				row("%s\t%d\t%s\t%d\t%s", e.Day, e.Buyer, e.Why, e.Cells, e.Who)
			}
		})
	})
}

type listCmd struct {
	File  string `arg:"" predictor:"file" help:"File to write (- is the output stream)."`
	Force bool   `help:"Replace the file when it exists."`
}

func (listCmd) Help() string {
	return "The list names nobody: it holds numbers of buyers and marks of their orders.\n\nExample:\n\n  solander privacy list erasures.json --force"
}

func (c *listCmd) Run(d *desk.Open) error {
	l, err := privacy.ErasureList(d.Ctx, d.Studio)
	if err != nil {
		return err
	}
	if err := d.ToFile(c.File, c.Force, func(w io.Writer) error { return json.NewEncoder(w).Encode(l) }); err != nil || c.File == "-" {
		return err
	}
	return d.Say(map[string]string{"written": c.File}, "written: %s", c.File)
}

type againCmd struct {
	List string `arg:"" predictor:"file" help:"The list of erasures."`
}

func (againCmd) Help() string {
	return "Whoever has another's number in this copy is left alone, and told.\n\nExample:\n\n  solander privacy again erasures.json"
}

func (c *againCmd) Run(d *desk.Open) error {
	body, err := d.ReadFile(c.List, "list")
	if err != nil {
		return err
	}
	l, err := privacy.ReadList(bytes.NewReader(body))
	if err != nil {
		return err
	}
	done, err := privacy.EraseAgain(d.Ctx, d.Studio, l)
	if err != nil {
		return err
	}
	return d.Show(done, func(w io.Writer) {
		for _, a := range done {
			fmt.Fprintf(w, "buyer %d: %s\n", a.Buyer, a.Why)
		}
	})
}

type wipeCmd struct{}

func (wipeCmd) Help() string {
	return "Others have to wait meanwhile.\n\nExample:\n\n  solander privacy wipe"
}

func (wipeCmd) Run(d *desk.Open) error {
	return d.Done(privacy.Wipe(d.Ctx, d.Studio), map[string]bool{"wiped": true}, "the files are written anew")
}

type cipherCmd struct {
	Secrets *bool `negatable:"" help:"The secrets of web-hooks and of second factors."`
	People  *bool `negatable:"" help:"Names, addresses, mails, phones, and what was typed or brought in about buyers."`
	NewKey  bool  `help:"Take a new key; older copies need the old one."`
}

func (cipherCmd) Help() string {
	return "The key lies in a file outside the database: beside the studio's file, or where SOLANDER_KEY says. Without it neither the studio nor its copies can be opened: keep a copy of it elsewhere. Other programs that have the studio open are to be started anew.\n\nExample:\n\n  solander privacy cipher\n  solander privacy cipher --secrets --people"
}

func (c *cipherCmd) Run(d *desk.Open) error {
	is, err := privacy.Cipher(d.Ctx, d.Studio)
	if err != nil {
		return err
	}
	if c.Secrets != nil || c.People != nil || c.NewKey {
		for _, x := range []struct{ to, given *bool }{{&is.Secrets, c.Secrets}, {&is.People, c.People}} {
			if x.given != nil {
				*x.to = *x.given
			}
		}
		mail, err := d.Mail()
		if err != nil {
			return err
		}
		set := func() error { return privacy.SetCipher(d.Ctx, d.Studio, is.Secrets, is.People, c.NewKey) }
		if err := mail.Through(set); err != nil {
			return err
		}
		if is, err = privacy.Cipher(d.Ctx, d.Studio); err != nil {
			return err
		}
	}
	word := map[bool]string{true: "in cipher", false: "in clear"}
	return d.Show(is, func(w io.Writer) {
		fmt.Fprintf(w, "secrets of web-hooks and second factors: %s\n", word[is.Secrets])
		fmt.Fprintf(w, "people: %s\n", word[is.People])
		switch {
		case is.Itself:
			fmt.Fprintf(w, "key: %s; copies hold secrets as they are, and need no key: seal those that leave this machine\n", is.KeyFile)
		case is.Secrets || is.People:
			fmt.Fprintf(w, "key: %s; keep a copy of it elsewhere (solander privacy key save), without it nothing can be read\n", is.KeyFile)
		}
	})
}
