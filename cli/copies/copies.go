// Package copies has the commands of the copies that make themselves: where they go, how they stand, one now, a drill, the key; and those by
// which a studio is left for another computer.
package copies

import (
	"cmp"
	"context"
	"fmt"
	"io"
	"path/filepath"
	"strings"
	"time"

	"solander/cli/desk"
	"solander/copies"
	"solander/copies/ages"
	"solander/copies/place"
	"solander/fault"
	"solander/rota"
	"solander/upkeep"
)

// Copies says where copies go, makes one, holds a drill, or lists what is there.
type Copies struct {
	To      string `placeholder:"FOLDER" predictor:"file" help:"Make a copy every day into this folder, sealed to a key."`
	Storage string `placeholder:"ADDRESS" help:"Make them into storage of the kind S3 at this address (https://…), always sealed."`
	Bucket  string `placeholder:"NAME" help:"The bucket there."`
	Region  string `placeholder:"NAME" help:"Its region, when the storage asks for it."`
	Prefix  string `placeholder:"TEXT" help:"What the names there begin with."`
	Open    bool   `name:"unsealed" help:"Do not seal the copies in the folder: whoever finds one can read it."`
	At      string `placeholder:"HH:MM" help:"When, by the clock of the studio."`
	Days    *int   `help:"How many days of which the newest copy is kept." placeholder:"N"`
	Weeks   *int   `help:"How many weeks." placeholder:"N"`
	Months  *int   `help:"How many months. One of each year is always kept." placeholder:"N"`
	Stop    bool   `help:"Make no copies by themselves any more."`
	Now     bool   `help:"Make one now."`
	Drill   bool   `help:"Bring the newest one back in a scratch place, and look whether it is whole and sound."`
	Key     string `placeholder:"FILE" predictor:"file" help:"Save the key that opens the copies, to be kept apart from them."`
}

func (Copies) Help() string {
	return `Without a flag it tells how the copies stand. The access key to a storage is read from ` + copies.AccessVariable + ` and its secret from
` + copies.SecretVariable + `; what is given there once is kept in a file beside the studio that only its owner reads.

Example:

  solander copies --to /media/stick/copies --key ~/studio-key.txt
  solander copies --now
  solander copies --drill`
}

func (c *Copies) Run(d *desk.Open) error {
	k, err := d.Keeper()
	if err != nil {
		return err
	}
	for _, do := range []struct {
		asked bool
		do    func(*desk.Open, *copies.Keeper) error
	}{
		{c.Stop, func(d *desk.Open, k *copies.Keeper) error { return k.Stop(d.Ctx, d.Studio) }},
		{c.To != "" || c.Storage != "", c.choose},
		{c.Key != "", c.key},
		{c.Now, func(d *desk.Open, k *copies.Keeper) error { return now(d, k, copies.CopyJob) }},
		{c.Drill, func(d *desk.Open, k *copies.Keeper) error { return now(d, k, copies.DrillJob) }},
	} {
		if do.asked {
			if err := do.do(d, k); err != nil {
				return err
			}
		}
	}
	return show(d, k)
}

func (c *Copies) choose(d *desk.Open, k *copies.Keeper) error {
	v, err := copies.Look(d.Ctx, d.Studio)
	if err != nil {
		return err
	}
	in := copies.ChooseIn{To: copies.ToFolder, Hour: copies.UsualHour, Minute: 30, Keep: ages.Usual, Open: c.Open}
	if !v.Since.IsZero() {
		in.Hour, in.Minute, in.Keep = v.Hour, v.Minute, v.Keep
	}
	switch {
	case c.To != "" && c.Storage != "":
		return fault.Invalidf("to", "copies go to a folder or to a storage").ToMend("give one of them")
	case c.Storage != "":
		in.To, in.Storage = copies.ToBucket, place.Storage{Address: c.Storage, Bucket: c.Bucket, Region: c.Region, Prefix: c.Prefix}
		in.Access, in.Secret = d.Env.Get(copies.AccessVariable), d.Env.Get(copies.SecretVariable)
	default:
		if in.Folder, err = filepath.Abs(c.To); err != nil {
			return desk.FileFault(err, c.To, "to")
		}
	}
	if c.At != "" {
		at, err := time.Parse("15:04", c.At)
		if err != nil {
			return fault.Invalidf("at", "%.20q is no time of the day", c.At).ToMend("write it like 02:30")
		}
		in.Hour, in.Minute = at.Hour(), at.Minute()
	}
	for _, n := range []struct {
		given *int
		to    *int
	}{{c.Days, &in.Keep.Days}, {c.Weeks, &in.Keep.Weeks}, {c.Months, &in.Keep.Months}} {
		if n.given != nil {
			*n.to = *n.given
		}
	}
	return k.Choose(d.Ctx, d.Studio, in)
}

func (c *Copies) key(d *desk.Open, k *copies.Keeper) error {
	_, text, err := k.KeyFile(d.Ctx, d.Studio)
	if err != nil {
		return err
	}
	return d.ToFile(c.Key, false, func(w io.Writer) error { _, err := io.WriteString(w, text); return err })
}

// now does a job: here, or by the program that is at the work of this studio.
func now(d *desk.Open, k *copies.Keeper, job string) error {
	r := &rota.Runner{Studio: d.Studio, Holder: desk.ThisProgram()}
	for _, j := range k.Jobs() {
		if j.Name == job {
			r.Jobs = append(r.Jobs, j)
		}
	}
	ctx, stop := context.WithTimeout(d.Ctx, longest)
	defer stop()
	tick := time.NewTicker(time.Second)
	defer tick.Stop()
	is, err := r.Now(ctx, job, tick.C)
	if err == nil && is.Failures > 0 {
		err = fault.New(fault.Refused, "%s", is.Said)
	}
	return err
}

// longest is how long a copy or a drill is waited for.
const longest = time.Hour

func show(d *desk.Open, k *copies.Keeper) error {
	v, err := copies.Look(d.Ctx, d.Studio)
	if err != nil {
		return err
	}
	own, others, lost := k.List(d.Ctx, d.Studio)
	said := struct {
		copies.View
		Lying  []copies.Lying `json:"copies"`
		Others int            `json:"of_other_studios"`
		Lost   string         `json:"lost,omitempty"`
	}{View: v, Lying: own, Others: others}
	if lost != nil {
		said.Lost = lost.Error()
	}
	return d.Show(said, func(w io.Writer) { tell(w, v, own, others, said.Lost) })
}

func tell(w io.Writer, v copies.View, own []copies.Lying, others int, lost string) {
	at := func(t time.Time) string { return t.In(v.Zone).Format("2006-01-02 15:04") }
	if v.To == "" {
		fmt.Fprintln(w, "no copies are made by themselves; begin with: solander copies --to FOLDER")
		return
	}
	fmt.Fprintf(w, "copies go to %s, %s\n", cmp.Or(v.Folder, v.Storage.Address+" "+v.Storage.Bucket), map[bool]string{true: "not sealed", false: "sealed to your key"}[v.Open])
	last, drilled := "none yet", "none yet"
	if v.Last != nil {
		last = fmt.Sprintf("%s, %s, read back", at(v.Last.At), copies.Size(v.Last.Size))
	}
	if v.Drilled != nil {
		drilled = fmt.Sprintf("%s, of %s", at(v.Drilled.At), v.Drilled.Name)
	}
	mark := func(old bool, text string) string {
		if old {
			return desk.Late(text)
		}
		return text
	}
	fmt.Fprintf(w, "last good copy: %s\nlast good drill: %s\n", mark(v.CopyOld, last), mark(v.DrillOld, drilled))
	for _, j := range []upkeep.RotaJob{v.Copy, v.Drill} {
		if j.Failures > 0 {
			fmt.Fprintf(w, "%s: %s\n", desk.Late("the last "+j.Name+" failed"), j.Said)
		}
	}
	if lost != "" {
		fmt.Fprintln(w, desk.Late(lost))
	}
	desk.Table(w, func(row func(format string, args ...any)) {
		for _, c := range own {
			row("%s\t%s", c.Name, cmp.Or(strings.Join(c.Why, ", "), "goes with the next copy"))
		}
	})
	if others > 0 {
		fmt.Fprintf(w, "%d of another studio lie there, and are never touched\n", others)
	}
}

// Leave leaves the studio for another computer, or comes back.
type Leave struct {
	File string `arg:"" optional:"" predictor:"file" help:"File to write the whole studio into."`
	Open bool   `name:"unsealed" help:"Do not seal the file: whoever finds it can read it."`
	Back bool   `help:"Work on here after all."`
}

func (Leave) Help() string {
	return `The file is written, brought back in a scratch place and found whole; then this studio can only be read. On the other
computer: solander restore FILE, or its first page.

Example:

  solander leave /media/stick/studio.move`
}

func (c *Leave) Run(d *desk.Open) error {
	if c.Back {
		if c.File != "" {
			return fault.Invalidf("file", "no file is written on coming back").ToMend("leave it out")
		}
		return d.Done(copies.Back(d.Ctx, d.Studio), map[string]bool{"left": false}, "the studio is worked on here again")
	}
	if c.File == "" {
		return fault.Invalidf("file", "the file is missing").ToMend("say where to write it, or come back with --back")
	}
	k, err := d.Keeper()
	if err != nil {
		return err
	}
	file, err := filepath.Abs(c.File)
	if err != nil {
		return desk.FileFault(err, c.File, "file")
	}
	left, err := k.Leave(d.Ctx, d.Studio, copies.LeaveIn{File: file, Open: c.Open})
	if err != nil {
		return err
	}
	return d.Show(left, func(w io.Writer) {
		fmt.Fprintf(w, "written, brought back and found whole: %s (%s)\n", left.File, copies.Size(left.Size))
		if left.Passphrase != "" {
			fmt.Fprintf(w, "its passphrase, which is shown this once: %s\n", left.Passphrase)
		}
		fmt.Fprintln(w, "this studio can only be read here from now on; on the other computer: solander restore FILE")
	})
}
