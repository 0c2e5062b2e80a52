// Package certify has the commands of what is told of an edition: its facts, and the rules of a state held against them.
package certify

import (
	"fmt"
	"io"
	"strings"

	"solander/certify"
	"solander/cli/desk"
	"solander/disclosure"
	"solander/fault"
)

type Certificate struct {
	Facts       factsCmd       `cmd:"" help:"What is told of an edition; say more of it."`
	Make        makeCmd        `cmd:"" help:"Make certificates of signed numbers."`
	List        listCmd        `cmd:"" help:"The certificates of an edition, or of a number."`
	Print       printCmd       `cmd:"" help:"Print certificates as PDF, as a sheet or a card."`
	File        fileCmd        `cmd:"" help:"A certificate as a file, with its proof."`
	Verify      verifyCmd      `cmd:"" help:"Check a certificate: its code, or a file."`
	Revoke      revokeCmd      `cmd:"" help:"Revoke a certificate for good."`
	Ended       endedCmd       `cmd:"" help:"The signed list of certificates that do not hold any more."`
	Provenance  provenanceCmd  `cmd:"" help:"Who had a number: its buyer, and what owners told since."`
	Tell        tellCmd        `cmd:"" help:"Note what an owner tells, with the certificate in hand: transfer, resale, theft, loss, found."`
	Forget      forgetCmd      `cmd:"" help:"Forget who told something."`
	Page        pageCmd        `cmd:"" help:"The page on which anybody checks a certificate, as one file."`
	Letterhead  letterheadCmd  `cmd:"" help:"What of your own stands on certificates: words, a crest."`
	Statement   statementCmd   `cmd:"" help:"Print what is true of every print of an open edition, to be signed."`
	Closing     closingCmd     `cmd:"" help:"Print the declaration that an edition was closed or cancelled."`
	Disclosures disclosuresCmd `cmd:"" help:"Hold an edition, or the text of a listing, against the rules of a state."`
}

type factsCmd struct {
	Edition string   `arg:"" predictor:"edition" help:"The edition: its number, or words of its name that fit no other."`
	Say     []string `sep:"none" placeholder:"FACT=WORDS" help:"What is said of a fact: words, 'not known' or 'does not apply'; nothing takes it back. Say it again for each."`
}

func (factsCmd) Help() string {
	var facts []string
	for _, a := range disclosure.Asked() {
		facts = append(facts, string(a.Fact))
	}
	return "The facts: " + strings.Join(facts, ", ") + ".\n\nExample:\n\n" +
		"  solander certificate facts heron\n  solander certificate facts heron --say \"signature=by the artist, in pencil\" --say \"posthumous=does not apply\""
}

func (c *factsCmd) Run(d *desk.Open) error {
	e, err := d.EditionNamed(c.Edition)
	if err != nil {
		return err
	}
	if len(c.Say) > 0 {
		if err := c.say(d, e.ID); err != nil {
			return err
		}
	}
	v, err := certify.Facts(d.Ctx, d.Studio, e.ID)
	if err != nil {
		return err
	}
	return d.Show(v, func(w io.Writer) {
		fmt.Fprintln(w, v.Edition.Name(d.Units()))
		desk.Table(w, func(row func(string, ...any)) {
			for _, f := range []disclosure.Fact{disclosure.Limited, disclosure.MaxSigned, disclosure.MaxProofs, disclosure.Total} {
				row("  %s\t%s\t%s\tdeclared", f, f.Label(), v.Facts[f].Text())
			}
			for _, a := range disclosure.Asked() {
				t, from := v.Facts[a.Fact], ""
				if t.Declared {
					from = "declared"
				}
				row("  %s\t%s\t%s\t%s", a.Fact, a.Label, t.Text(), from)
			}
		})
	})
}

func (c *factsCmd) say(d *desk.Open, ed int64) error {
	_, err := certify.Say(d.Ctx, d.Studio, ed, func(w *certify.Words) error {
		for _, text := range c.Say {
			f, words, ok := strings.Cut(text, "=")
			if !ok {
				return fault.Invalidf("say", "%.60q says nothing of a fact", text).ToMend("write it like 'signature=by the artist, in pencil'")
			}
			(*w)[disclosure.Fact(strings.TrimSpace(f))] = words
		}
		return nil
	})
	return desk.In(err, "say")
}

type disclosuresCmd struct {
	Edition string `arg:"" predictor:"edition" help:"The edition: its number, or words of its name that fit no other."`
	State   string `arg:"" optional:"" help:"The buyer's state: CA, or its name. Left out: the states whose rules are known here."`
	Price   string `placeholder:"AMOUNT" help:"The price; as it is now, when left out."`
	Framed  bool   `help:"It is sold in a frame."`
	Text    string `placeholder:"FILE" predictor:"file" help:"The text of a listing or a certificate, looked at item by item (- is the input stream)."`
}

func (disclosuresCmd) Help() string {
	return disclosure.Caution + "\n\nExample:\n\n  solander certificate disclosures heron CA\n  solander certificate disclosures heron \"new york\" --price 100.01 --text listing.txt"
}

func (c *disclosuresCmd) Run(d *desk.Open) error {
	if c.State == "" {
		return listSets(d)
	}
	e, err := d.EditionNamed(c.Edition)
	if err != nil {
		return err
	}
	asked := certify.Asked{State: c.State, Framed: c.Framed}
	if c.Price != "" {
		if asked.Price, err = d.Amount(c.Price, "price"); err != nil {
			return err
		}
	}
	if c.Text != "" {
		raw, err := d.ReadFile(c.Text, "text")
		if err != nil {
			return err
		}
		asked.Text = string(raw)
	}
	a, err := certify.Disclose(d.Ctx, d.Studio, e.ID, asked)
	if err != nil {
		return err
	}
	return d.Show(a, func(w io.Writer) { printAnswer(w, a) })
}

func listSets(d *desk.Open) error {
	return d.Show(disclosure.Sets(), func(w io.Writer) {
		desk.Table(w, func(row func(string, ...any)) {
			for _, s := range disclosure.Sets() {
				row("%s\t%s\t%s\t%d facts", s.Code(), s.Name, s.Cite, len(s.Facts))
			}
		})
		fmt.Fprintln(w, disclosure.Caution)
	})
}

func printAnswer(w io.Writer, a certify.Answer) {
	holds := "holds"
	if !a.Scope.Covered {
		holds = "does not hold"
	}
	fmt.Fprintf(w, "%s, %s: at %s it %s; %s\n", a.Set.Name, a.Set.Cite, a.Price, holds, a.Scope.Why)
	desk.Table(w, func(row func(string, ...any)) {
		for _, l := range a.Lines {
			says := l.Told.Text()
			if l.Lacks {
				says = "nothing is said of it"
			}
			row("  %s\t%s\t%s\t%s", l.Section, l.Fact.Label(), desk.OneLine(says), string(l.Found))
		}
	})
	for _, x := range a.Words {
		fmt.Fprintf(w, "the text lacks words that stand as they are (%s, %s): %s\n", x.Section, x.Read.Words(), x.Words)
	}
	fmt.Fprintf(w, "of %d of %d facts nothing is said\n%s\n", a.Lacks, len(a.Lines), a.Caution)
}
