// Package people has the commands of who may come in. Whoever may read the studio's file needs none of them to look into it: they are for
// who may come in by the pages, and for an owner who is locked out.
package people

import (
	"fmt"
	"io"

	"solander/access"
	"solander/cli/desk"
	"solander/people"
)

// People are the commands of accounts.
type People struct {
	List    listCmd    `cmd:"" default:"1" help:"List who may come in, and with which devices."`
	Add     addCmd     `cmd:"" help:"Let somebody sign in; the first password is shown this once."`
	Role    roleCmd    `cmd:"" help:"Say what somebody may do."`
	End     endCmd     `cmd:"" help:"End an account; the name stays in the journal."`
	SignOut signOutCmd `cmd:"" name:"sign-out" help:"Sign somebody out everywhere, and let their devices in no more."`
	Demand  demandCmd  `cmd:"" help:"Say of whom a second factor is demanded who signs in from another machine."`
	Readmit readmitCmd `cmd:"" help:"Let somebody in again who is locked out, by a first password."`
}

// Help says what accounts are for.
func (People) Help() string {
	return `Alone at this machine you need no account. With one everybody signs in, here too, and what they do stands under their name.
Roles: owner (everything), helper (bench, signing, packing, hand-over, counting, scanning, the till), reader (looks, changes nothing).
docs/rights.md lists every address with who may ask for it.

Example:

  solander people add "Mara Ellis" --role owner
  solander people add Nell --role helper
  solander people readmit "Mara Ellis"`
}

type listCmd struct{}

// Help gives an example.
func (listCmd) Help() string { return "Example:\n\n  solander people list" }

// Run lists them.
func (listCmd) Run(d *desk.Open) error {
	all, err := people.All(d.Ctx, d.Studio)
	if err != nil {
		return err
	}
	devices, err := people.Devices(d.Ctx, d.Studio)
	if err != nil {
		return err
	}
	seconds, err := people.Seconds(d.Ctx, d.Studio)
	if err != nil {
		return err
	}
	set, err := d.Studio.Settings(d.Ctx)
	if err != nil {
		return err
	}
	of, listed := set.SecondFactor.Said(), []person{}
	for _, p := range all {
		listed = append(listed, person{p, seconds[p.ID]})
	}
	return d.Show(map[string]any{"people": listed, "devices": devices, "second_factor_of": of}, func(w io.Writer) {
		desk.Table(w, func(row func(string, ...any)) {
			row("PERSON\tNAME\tROLE\tSECOND FACTOR\tSTATE")
			for _, p := range listed {
				row("%d\t%s\t%s\t%s\t%s", p.ID, p.Name, p.Role, p.Second, state(p.Person))
			}
		})
		fmt.Fprintf(w, "A second factor is demanded of %s who signs in from another machine.\n", of)
		if len(devices) == 0 {
			return
		}
		fmt.Fprintln(w)
		desk.Table(w, func(row func(string, ...any)) {
			row("DEVICE\tNAME\tUNDER\tSTATE")
			for _, k := range devices {
				row("%d\t%s\t%s\t%s", k.ID, k.Name, k.Of, deviceState(k))
			}
		})
	})
}

// person is one with what there is beside the password.
type person struct {
	access.Person
	Second people.Second `json:"second_factor"`
}

func state(p access.Person) string {
	switch {
	case !p.Active():
		return "ended " + p.Ended.Format("2006-01-02")
	case !p.Until.IsZero():
		return "first password, good until " + p.Until.Format("2006-01-02 15:04Z")
	}
	return "may come in"
}

func deviceState(k people.Device) string {
	switch {
	case !k.Revoked.IsZero():
		return "revoked " + k.Revoked.Format("2006-01-02")
	case k.Seen.IsZero():
		return "never seen"
	}
	return "last seen " + k.Seen.Format("2006-01-02")
}

type addCmd struct {
	Name string `arg:"" help:"As it shall stand in the register and the journal, for good."`
	Role string `required:"" placeholder:"ROLE" help:"owner, helper or reader."`
}

// Help gives an example.
func (addCmd) Help() string {
	return "Example:\n\n  solander people add Nell --role helper"
}

// Run adds somebody.
func (c *addCmd) Run(d *desk.Open) error {
	made, err := people.Add(d.Ctx, d.Studio, c.Name, access.Role(c.Role))
	if err != nil {
		return err
	}
	return first(d, made, "may come in as "+made.Role.Word())
}

func first(d *desk.Open, made people.NewPerson, what string) error {
	return d.Show(made, func(w io.Writer) {
		fmt.Fprintf(w, "%s %s; the first password, which is not shown again and is good for three days:\n%s\n", made.Name, what, made.First)
	})
}

type roleCmd struct {
	Name string `arg:"" predictor:"person" help:"Who, by name or number."`
	Role string `arg:"" help:"owner, helper or reader."`
}

// Help gives an example.
func (roleCmd) Help() string { return "Example:\n\n  solander people role Nell reader" }

// Run changes a role.
func (c *roleCmd) Run(d *desk.Open) error {
	p, err := named(d, c.Name)
	if err != nil {
		return err
	}
	p, err = people.SetRole(d.Ctx, d.Studio, p.ID, access.Role(c.Role))
	return d.Done(err, p, "%s may now come in as %s", p.Name, p.Role.Word())
}

type endCmd struct {
	Name string `arg:"" predictor:"person" help:"Who, by name or number."`
}

// Help gives an example.
func (endCmd) Help() string { return "Example:\n\n  solander people end Nell" }

// Run ends an account.
func (c *endCmd) Run(d *desk.Open) error {
	p, err := named(d, c.Name)
	if err != nil {
		return err
	}
	p, err = people.End(d.Ctx, d.Studio, p.ID)
	return d.Done(err, p, "%s may come in no more", p.Name)
}

type signOutCmd struct {
	Name string `arg:"" predictor:"person" help:"Who, by name or number."`
}

// Help gives an example.
func (signOutCmd) Help() string { return "Example:\n\n  solander people sign-out Nell" }

// Run signs out everywhere.
func (c *signOutCmd) Run(d *desk.Open) error {
	p, err := named(d, c.Name)
	if err != nil {
		return err
	}
	p, err = people.SignOutEverywhere(d.Ctx, d.Studio, p.ID)
	return d.Done(err, p, "%s is signed out everywhere", p.Name)
}

type demandCmd struct {
	Of string `arg:"" placeholder:"WHOM" help:"everybody, owners or nobody."`
}

// Help says what becomes of who has none.
func (demandCmd) Help() string {
	return `Who signs in from another machine than the studio's own then needs codes from a phone, or a passkey. Who has none is led to set one up
before anything else. On this machine a password is enough; a phone that was let in comes by its key. Nobody is locked out by it:
solander people readmit lets in again.

Example:

  solander people demand everybody`
}

// Run demands it.
func (c *demandCmd) Run(d *desk.Open) error {
	of := access.Demand(c.Of)
	err := people.Demand(d.Ctx, d.Studio, of)
	return d.Done(err, map[string]any{"second_factor_of": of}, "a second factor is demanded of %s who signs in from another machine", of)
}

type readmitCmd struct {
	Name string `arg:"" predictor:"person" help:"Who, by name or number."`
}

// Help says what is lost.
func (readmitCmd) Help() string {
	return `For who lost password, second factor or phone. What let in before lets in no more; that this was done stands in the journal.

Example:

  solander people readmit "Mara Ellis"`
}

// Run lets in again.
func (c *readmitCmd) Run(d *desk.Open) error {
	p, err := named(d, c.Name)
	if err != nil {
		return err
	}
	made, err := people.Readmit(d.Ctx, d.Studio, p.ID)
	if err != nil {
		return err
	}
	return first(d, made, "is let in again")
}

// named finds a person by number or by words of the name that fit no other.
func named(d *desk.Open, name string) (access.Person, error) {
	all, err := people.All(d.Ctx, d.Studio)
	if err != nil {
		return access.Person{}, err
	}
	return desk.Pick(all, name, "person", "solander people list", func(p access.Person) int64 { return p.ID }, func(p access.Person) string { return p.Name })
}
