package certify

import (
	"fmt"
	"io"
	"strings"

	"solander/certificate"
	"solander/certify"
	"solander/cli/desk"
	"solander/edition"
	"solander/fault"
	paper "solander/papers/certificate"
)

type makeCmd struct {
	Edition string   `arg:"" predictor:"edition" help:"The edition: its number, or words of its name that fit no other."`
	Number  []string `arg:"" optional:"" help:"The signed numbers: 17, AP 2. Left out: see --all."`
	All     bool     `help:"All signed numbers that have none."`
	Place   string   `placeholder:"TEXT" help:"Where they were signed."`
	Reissue string   `placeholder:"REASON" help:"Another certificate in the place of the one that the number has, and why."`
	desk.Unlocking
}

func (makeCmd) Help() string {
	return "The register's key signs it, and the log tells of it. Print it by solander certificate print.\n\nExample:\n\n" +
		"  solander certificate make heron 17 18\n  solander certificate make heron --all --place Pinfold\n  solander certificate make heron 17 --reissue \"lost by its owner\""
}

func (c *makeCmd) Run(d *desk.Open) error {
	e, err := d.EditionNamed(c.Edition)
	if err != nil {
		return err
	}
	in := certify.MakeIn{Edition: e.ID, Place: c.Place, Reissue: c.Reissue != "", Reason: c.Reissue}
	if in.Passphrase, err = c.Words(d.Desk); err != nil {
		return err
	}
	switch {
	case c.All == (len(c.Number) > 0):
		return fault.Invalidf("number", "say for which numbers").ToMend("name them, or give --all")
	case c.All:
		if in.Numbers, err = certify.Lacking(d.Ctx, d.Studio, e.ID); err != nil {
			return err
		}
	}
	for _, text := range c.Number {
		n, err := desk.Number(text, e.Edition)
		if err != nil {
			return err
		}
		in.Numbers = append(in.Numbers, n)
	}
	made, err := certify.Make(d.Ctx, d.Studio, in)
	if err != nil {
		return err
	}
	return d.Show(made, func(w io.Writer) {
		for _, k := range made {
			fmt.Fprintf(w, "certificate %d: %s of %s\n", k.ID, k.Number.Of(e.Edition), e.Name(d.Units()))
		}
	})
}

type listCmd struct {
	Edition string `arg:"" predictor:"edition" help:"The edition: its number, or words of its name that fit no other."`
	Number  string `arg:"" optional:"" help:"One number of it."`
}

func (listCmd) Help() string {
	return "Example:\n\n  solander certificate list heron\n  solander certificate list heron 17"
}

func (c *listCmd) Run(d *desk.Open) error {
	e, err := d.EditionNamed(c.Edition)
	if err != nil {
		return err
	}
	var n edition.Number
	if c.Number != "" {
		if n, err = desk.Number(c.Number, e.Edition); err != nil {
			return err
		}
	}
	all, err := certify.OfNumber(d.Ctx, d.Studio, e.ID, n)
	if err != nil {
		return err
	}
	return d.Show(all, func(w io.Writer) {
		if len(all) == 0 {
			fmt.Fprintln(w, "none")
		}
		desk.Table(w, func(row func(string, ...any)) {
			for _, k := range all {
				row("%d\t%s\t%s\t%s", k.ID, k.Number.Of(e.Edition), k.Day, k.Words())
			}
		})
	})
}

type printCmd struct {
	Certificate []int64 `arg:"" help:"The certificates, by their serials."`
	Format      string  `default:"sheet" enum:"sheet,card" help:"sheet (US letter, or A4) or card (6 × 4 in, or A6)."`
	desk.SheetOut
}

func (printCmd) Help() string {
	return "Front and back. The small code is signed by the studio; the large one proves besides that it stands in the register's log.\n\nExample:\n\n  solander certificate print 12 13 -o certificates.pdf\n  solander certificate print 12 --format card -o card.pdf"
}

func (c *printCmd) Run(d *desk.Open) error {
	all, err := certify.Papers(d.Ctx, d.Studio, c.Certificate)
	if err != nil {
		return err
	}
	pdf, err := paper.Draw(paper.Format(c.Format), all)
	return written(d, c.SheetOut, "certificates", pdf, err)
}

type fileCmd struct {
	Certificate int64 `arg:"" help:"The certificate, by its serial."`
	fileOut
}

// fileOut is where a text goes.
type fileOut struct {
	Output string `short:"o" default:"-" placeholder:"FILE" predictor:"file" help:"The file to write (- is the output stream)."`
	Force  bool   `help:"Replace the file when it exists."`
}

func (o fileOut) write(d *desk.Desk, text string) error {
	return d.ToFile(o.Output, o.Force, func(w io.Writer) error { _, err := io.WriteString(w, text); return err })
}

func (fileCmd) Help() string {
	return "What it says, the facts that go with it and the large code, for whoever keeps it as a file.\n\nExample:\n\n  solander certificate file 12 -o heron-17.txt"
}

func (c *fileCmd) Run(d *desk.Open) error {
	p, err := certify.Read(d.Ctx, d.Studio, c.Certificate)
	if err != nil {
		return err
	}
	if d.JSON {
		return d.Show(map[string]string{"file": p.File()}, nil)
	}
	return c.write(d.Desk, p.File())
}

type revokeCmd struct {
	Certificate int64  `arg:"" help:"The certificate, by its serial."`
	Reason      string `required:"" placeholder:"TEXT" help:"Why; without names."`
}

func (revokeCmd) Help() string {
	return "Example:\n\n  solander certificate revoke 12 --reason \"the sheet came back damaged\""
}

func (c *revokeCmd) Run(d *desk.Open) error {
	err := certify.Revoke(d.Ctx, d.Studio, c.Certificate, c.Reason)
	return d.Done(err, map[string]int64{"revoked": c.Certificate}, "certificate %d is revoked", c.Certificate)
}

type endedCmd struct {
	fileOut
	desk.Unlocking
}

func (endedCmd) Help() string {
	return "Which certificates do not hold any more, signed by the register's key: for whoever checks one.\n\nExample:\n\n  solander certificate ended -o ended.txt"
}

func (c *endedCmd) Run(d *desk.Open) error {
	words, err := c.Words(d.Desk)
	if err != nil {
		return err
	}
	list, err := certify.SignedList(d.Ctx, d.Studio, words)
	if err != nil {
		return err
	}
	if d.JSON {
		return d.Show(map[string]string{"list": list}, nil)
	}
	return c.write(d.Desk, list)
}

type verifyCmd struct {
	Code string   `arg:"" optional:"" placeholder:"CODE" help:"The text of a code: SOL1:… or SOL2:…"`
	File string   `placeholder:"FILE" predictor:"file" help:"A file in which it stands (- is the input stream)."`
	Key  []string `sep:"none" placeholder:"KEY" help:"A public key of the studio: name+id+key. Left out: this studio's own."`
	List string   `placeholder:"FILE" predictor:"file" help:"The studio's newest list of certificates that were ended; with --key."`
}

func (verifyCmd) Help() string {
	return "With --key no studio is opened. Exit code 1 when it does not hold.\n\nExample:\n\n  solander certificate verify --file heron-17.txt\n  solander certificate verify --file heron-17.txt --key KEY --list ended.txt"
}

func (c *verifyCmd) Run(d *desk.Desk) error {
	text := c.Code
	if (c.Code == "") == (c.File == "") {
		return fault.Invalidf("code", "say what to check").ToMend("give the text of a code, or --file")
	}
	if c.File != "" {
		raw, err := d.ReadFile(c.File, "file")
		if err != nil {
			return err
		}
		text = string(raw)
	}
	v, err := c.check(d, text)
	if err != nil {
		return err
	}
	if err := d.Show(v, func(w io.Writer) { printVerdict(w, v) }); err != nil {
		return err
	}
	if !v.Word.Good() {
		return desk.ErrFindings
	}
	return nil
}

func (c *verifyCmd) check(d *desk.Desk, text string) (certificate.Verdict, error) {
	if len(c.Key) == 0 {
		if c.List != "" {
			return certificate.Verdict{}, fault.Invalidf("list", "it goes with --key").ToMend("leave it out: the studio's own is looked at")
		}
		open, err := d.Opened()
		if err != nil {
			return certificate.Verdict{}, err
		}
		return certify.Check(open.Ctx, open.Studio, text)
	}
	known := certificate.Known{Keys: c.Key}
	if c.List != "" {
		raw, err := d.ReadFile(c.List, "list")
		if err != nil {
			return certificate.Verdict{}, err
		}
		known.List = string(raw)
	}
	return certificate.Check(text, known), nil
}

func printVerdict(w io.Writer, v certificate.Verdict) {
	fmt.Fprintf(w, "%s: %s\n", v.Word, v.Says)
	for _, line := range v.Statement {
		if !strings.HasPrefix(line, "solander-") {
			fmt.Fprintf(w, "  %s\n", desk.OneLine(line))
		}
	}
	if v.Key != "" {
		fmt.Fprintf(w, "signed by the key %s\n", v.Key)
	}
	if v.Size > 0 {
		fmt.Fprintf(w, "in a log of %d leaves\n", v.Size)
	}
	if v.Facts {
		fmt.Fprintln(w, "the facts that go with it are those that were signed")
	}
}

type letterheadCmd struct {
	Words   string `placeholder:"TEXT" help:"A sentence or two of your own; - takes it away."`
	Crest   string `placeholder:"FILE" predictor:"file" help:"A picture in the place of the studio's name: JPEG, PNG, WebP or TIFF; none takes it away."`
	Truth   bool   `help:"Certify in set words that all of it is true and correct, as California asks."`
	NoTruth bool   `help:"Leave these words out."`
}

func (letterheadCmd) Help() string {
	return "Without flags it is shown.\n\nExample:\n\n  solander certificate letterhead --words \"Printed slowly, by hand.\" --crest crest.jpg --truth"
}

func (c *letterheadCmd) Run(d *desk.Open) error {
	if *c == (letterheadCmd{}) {
		set, err := d.Studio.Settings(d.Ctx)
		if err != nil {
			return err
		}
		var l certificate.Letterhead
		if set.Letterhead != nil {
			l = *set.Letterhead
		}
		return showLetterhead(d, l)
	}
	var crest []byte
	if c.Crest != "" && c.Crest != "none" {
		var err error
		if crest, err = d.ReadFile(c.Crest, "crest"); err != nil {
			return err
		}
		if crest, err = certify.Crest(d.Ctx, crest); err != nil {
			return err
		}
	}
	l, err := certify.ChangeLetterhead(d.Ctx, d.Studio, func(l *certificate.Letterhead) error {
		switch c.Words {
		case "":
		case "-":
			l.Words = ""
		default:
			l.Words = c.Words
		}
		if c.Crest != "" {
			l.Crest = crest
		}
		l.Truth = (l.Truth || c.Truth) && !c.NoTruth
		return nil
	})
	if err != nil {
		return err
	}
	return showLetterhead(d, l)
}

func showLetterhead(d *desk.Open, l certificate.Letterhead) error {
	return d.Show(l, func(w io.Writer) {
		fmt.Fprintf(w, "words: %s\ncrest: %d bytes\nset words: %v\n", desk.OneLine(l.Words), len(l.Crest), l.Truth)
	})
}
