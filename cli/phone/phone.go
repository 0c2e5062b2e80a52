// Package phone is phones on the command line: let in, listed, ended; and the certificate that they may trust.
package phone

import (
	"fmt"
	"io"
	"strings"

	"solander/access"
	"solander/cli/desk"
	"solander/fault"
	"solander/internal/nearby"
	"solander/internal/qrcode"
	"solander/people"
	"solander/phones"
)

type Phone struct {
	List        listCmd        `cmd:"" default:"1" help:"List the phones that were let in."`
	LetIn       letInCmd       `cmd:"" name:"let-in" help:"Make a code that lets one phone in, within ten minutes."`
	End         endCmd         `cmd:"" help:"Let a phone in no more, at once."`
	Certificate certificateCmd `cmd:"" help:"Write the certificate that phones may trust."`
}

func (Phone) Help() string {
	return `A phone reaches a studio that is open to the local network: by solander serve --phones, or on the page Studio, Let a phone in.

Example:

  solander phone let-in --may helper
  solander phone list
  solander phone end "kitchen phone"`
}

// folder is that of what vouches for this computer.
func folder(d *desk.Open) (string, error) {
	file, err := d.NoteBeside()
	return desk.TrustBeside(file), err
}

// openAt is where the studio is open to phones. Faults: Refused when it is not.
func openAt(d *desk.Open) (nearby.Note, error) {
	at, err := folder(d)
	if err != nil {
		return nearby.Note{}, err
	}
	return nearby.Noted(desk.OpenToPhones(at), d.Env.Clock())
}

type letInCmd struct {
	Under string      `placeholder:"NAME" help:"Whose phone it is; when there is one owner alone, hers."`
	May   access.Role `default:"helper" placeholder:"ROLE" help:"What it may do at most: owner (all that its person may), helper (the work of the bench), reader (look)."`
}

func (letInCmd) Help() string {
	return "Example:\n\n  solander phone let-in --under \"Mara Vell\" --may owner"
}

// offered is a code with where it is used.
type offered struct {
	phones.Offer
	Address string `json:"address"`
	Print   string `json:"fingerprint"`
}

func (c *letInCmd) Run(d *desk.Open) error {
	p, err := personNamed(d, c.Under)
	if err != nil {
		return err
	}
	n, err := openAt(d)
	if err != nil {
		return err
	}
	o, err := phones.Invite(d.Ctx, d.Studio, p.ID, c.May)
	if err != nil {
		return desk.In(err, "may")
	}
	picture, err := drawn(n.Bases[0] + "/phone#" + o.Code)
	if err != nil {
		return err
	}
	return d.Show(offered{o, n.Bases[0] + "/phone", n.Print}, func(w io.Writer) {
		fmt.Fprintf(w, "%s\nopen %s/phone on the phone and type the code, or let its camera read the picture:\n%s\n", picture, n.Bases[0], o.Code)
		fmt.Fprintf(w, "it lets one phone of %s in, within ten minutes; before the phone trusts this computer, compare the fingerprint:\n%s\n", p.Name, n.Print)
	})
}

// drawn is a QR code in half blocks, light on dark as most terminals are: a light module is drawn.
func drawn(text string) (string, error) {
	rows, err := qrcode.Modules(text)
	if err != nil {
		return "", err
	}
	blocks := map[[2]bool]string{{false, false}: "█", {false, true}: "▀", {true, false}: "▄", {true, true}: " "} // dark above, dark below
	var b strings.Builder
	for y := 0; y < len(rows); y += 2 {
		for x := range rows[y] {
			below := y+1 == len(rows) || rows[y+1][x]
			b.WriteString(blocks[[2]bool{rows[y][x], below}])
		}
		b.WriteByte('\n')
	}
	return b.String(), nil
}

// personNamed finds whose phone it is. Faults: Missing, Refused.
func personNamed(d *desk.Open, name string) (access.Person, error) {
	all, err := people.All(d.Ctx, d.Studio)
	if err != nil {
		return access.Person{}, err
	}
	var owners []access.Person
	for _, p := range all {
		switch {
		case !p.Active():
		case name != "" && strings.EqualFold(p.Name, strings.TrimSpace(name)):
			return p, nil
		case p.Role == access.Owner:
			owners = append(owners, p)
		}
	}
	switch {
	case name != "":
		return access.Person{}, fault.New(fault.Missing, "nobody who may come in is called %.40q", name).In("under").ToMend("solander people lists them")
	case len(owners) == 0:
		return access.Person{}, fault.New(fault.Refused, "there is no account, so no phone could come in").ToMend("make yours on the page Studio, Let a phone in")
	case len(owners) > 1:
		return access.Person{}, fault.Invalidf("under", "there are %d owners", len(owners)).ToMend("say whose phone it is")
	}
	return owners[0], nil
}

type listCmd struct{}

func (listCmd) Help() string { return "Example:\n\n  solander phone list" }

func (listCmd) Run(d *desk.Open) error {
	all, err := phones.All(d.Ctx, d.Studio)
	if err != nil {
		return err
	}
	return d.Show(all, func(w io.Writer) {
		desk.Table(w, func(row func(string, ...any)) {
			row("PHONE\tNAME\tOF\tMAY\tLAST SEEN\tSTATE")
			for _, p := range all {
				row("%d\t%s\t%s\t%s\t%s\t%s", p.ID, p.Name, p.Of, may(p), seen(p), state(p))
			}
		})
	})
}

func may(p phones.Phone) string {
	if p.Most == "" {
		return string(access.Owner)
	}
	return string(p.Most)
}

func seen(p phones.Phone) string {
	if p.Seen.IsZero() {
		return "never"
	}
	return p.Seen.Format("2006-01-02 15:04Z")
}

func state(p phones.Phone) string {
	switch {
	case !p.Cloned.IsZero():
		return "its key was copied " + p.Cloned.Format("2006-01-02")
	case !p.Revoked.IsZero():
		return "ended " + p.Revoked.Format("2006-01-02")
	}
	return "let in"
}

type endCmd struct {
	Phone string `arg:"" help:"Phone, by number or name."`
}

func (endCmd) Help() string { return "Example:\n\n  solander phone end \"kitchen phone\"" }

func (c *endCmd) Run(d *desk.Open) error {
	all, err := phones.All(d.Ctx, d.Studio)
	if err != nil {
		return err
	}
	p, err := desk.Pick(all, c.Phone, "phone", "solander phone list", func(p phones.Phone) int64 { return p.ID }, func(p phones.Phone) string { return p.Name })
	if err != nil {
		return err
	}
	return d.Done(phones.End(d.Ctx, d.Studio, p.ID), map[string]int64{"ended": p.ID}, "%s is let in no more", p.Name)
}

type certificateCmd struct {
	desk.FileOut
}

func (certificateCmd) Help() string {
	return "Example:\n\n  solander phone certificate -o solander.crt"
}

func (c *certificateCmd) Run(d *desk.Open) error {
	n, err := openAt(d)
	if err != nil {
		return err
	}
	if len(n.Authority) == 0 {
		return fault.New(fault.Refused, "a certificate of yours is shown, which phones trust already")
	}
	if err := d.Write(c.FileOut, func(w io.Writer) error { _, err := w.Write(n.Authority); return err }); err != nil {
		return err
	}
	desk.TellLine(d.Err, "its fingerprint is %s", n.Print)
	return nil
}
