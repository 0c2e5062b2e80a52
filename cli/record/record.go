// Package record has the commands by which the register is vouched for: its key, what is signed of it, and whether all of it holds.
package record

import (
	"fmt"
	"io"

	"solander/cli/desk"
	"solander/record"
	"solander/sealog"
)

// Commands are those of the register as a log.
type Commands struct {
	Verify     verifyCmd     `cmd:"" help:"Look whether every entry stands as it was entered, and all that was signed still holds."`
	Checkpoint checkpointCmd `cmd:"" help:"Sign how far the register has come; print it, or mail it to somebody who keeps it."`
	Publish    publishCmd    `cmd:"" help:"Write the public record: editions, limits, how many are out, and the log; no buyer."`
	Restored   restoredCmd   `cmd:"" help:"Say that an older copy of the studio was put in place on purpose."`
	Vouch      vouchCmd      `cmd:"" help:"Take the rows beside the register on as they stand, when their key is lost."`
	Key        keyCmd        `cmd:"" help:"The key that signs the register: shown, exported, locked, replaced."`
}

// signedShown is a checkpoint as it is shown.
type signedShown struct {
	Leaves     int64  `json:"leaves"`
	At         string `json:"at"`
	Checkpoint string `json:"checkpoint"`
}

func show(d *desk.Open, s sealog.Signed) error {
	return d.Show(signedShown{s.Size, s.At.Format("2006-01-02T15:04:05Z"), s.Body}, func(w io.Writer) { fmt.Fprint(w, s.Body) })
}

type checkpointCmd struct {
	desk.Unlocking
}

func (checkpointCmd) Help() string {
	return "Whoever keeps a checkpoint can be shown later that nothing before it was changed: solander register verify --against FILE. The newest one is also kept beside the studio; an older copy of the studio in its place is known by it.\n\nExample:\n\n  solander register checkpoint > checkpoint.txt"
}

func (c *checkpointCmd) Run(d *desk.Open) error {
	words, err := c.Words(d.Desk)
	if err != nil {
		return err
	}
	s, err := record.Sign(d.Ctx, d.Studio, words)
	if err != nil {
		return err
	}
	return show(d, s)
}

type verifyCmd struct {
	Against string   `placeholder:"FILE" predictor:"file" help:"A checkpoint that was kept elsewhere (- is the input stream)."`
	Witness []string `placeholder:"KEY" help:"The public key of somebody who co-signed it."`
}

func (verifyCmd) Help() string {
	return "Exit code 1 when something does not hold.\n\nExample:\n\n  solander register verify\n  solander register verify --against checkpoint.txt"
}

// provenShown is what came of a look as it is shown.
type provenShown struct {
	Leaves   int64    `json:"leaves"`
	Logs     int      `json:"logs"`
	Findings []string `json:"findings"`
	Against  int64    `json:"against,omitempty"`
	CoSigned []string `json:"co_signed,omitempty"`
	Unseen   string   `json:"unseen,omitempty"` // what could not be shown
}

func (c *verifyCmd) Run(d *desk.Open) error {
	var given []byte
	var err error
	if c.Against != "" {
		if given, err = d.ReadFile(c.Against, "against"); err != nil {
			return err
		}
		if given == nil {
			given = []byte{}
		}
	}
	p, err := record.Verify(d.Ctx, d.Studio, given, c.Witness)
	if err != nil {
		return err
	}
	out := provenShown{Leaves: p.Leaves, Logs: p.Logs, Findings: p.Found, Unseen: p.Unseen}
	if p.Against != nil {
		out.Against = p.Against.Size
	}
	for _, x := range p.Witnesses {
		out.CoSigned = append(out.CoSigned, x.Name+", "+x.At.Format("2006-01-02 15:04"))
	}
	err = d.Show(out, func(w io.Writer) {
		for _, f := range p.Found {
			fmt.Fprintln(w, f)
		}
		if len(p.Found) == 0 {
			fmt.Fprintf(w, "all %d leaves of the register hold\n", p.Leaves)
		}
		if p.Unseen != "" {
			fmt.Fprintf(w, "not shown: %s\n", p.Unseen)
		}
		if p.Against != nil {
			fmt.Fprintf(w, "the checkpoint of %d leaves is still held whole\n", p.Against.Size)
		}
		for _, x := range out.CoSigned {
			fmt.Fprintf(w, "co-signed by %s\n", x)
		}
	})
	if err == nil && len(p.Found) > 0 {
		err = desk.ErrFindings
	}
	return err
}

type restoredCmd struct {
	desk.Unlocking
	Reason string `required:"" placeholder:"TEXT" help:"Why."`
}

func (restoredCmd) Help() string {
	return "Numbers that were given after that copy was made may be given again: look at what was sold since. The register tells from now on that it happened.\n\nExample:\n\n  solander register restored --reason \"the disk failed\""
}

func (c *restoredCmd) Run(d *desk.Open) error {
	words, err := c.Words(d.Desk)
	if err != nil {
		return err
	}
	s, err := record.Restored(d.Ctx, d.Studio, c.Reason, words)
	if err != nil {
		return err
	}
	return show(d, s)
}

type vouchCmd struct {
	Reason string `required:"" placeholder:"TEXT" help:"Why."`
}

func (vouchCmd) Help() string {
	return "A key beside the studio vouches for its rows, so that a check finds one that somebody changed together with its digest. When it is lost, or rows were written without it, they are taken on as they stand: what was changed before is not told any more. Look at what the check finds first, and hold it against an older copy. The log and the bench's journal say that it happened.\n\nExample:\n\n  solander register vouch --reason \"the computer was replaced\""
}

func (c *vouchCmd) Run(d *desk.Open) error {
	if err := record.Vouch(d.Ctx, d.Studio, c.Reason); err != nil {
		return err
	}
	v, err := d.Studio.Store.Vouched(d.Ctx)
	if err != nil {
		return err
	}
	return d.Say(map[string]string{"key": v.Key, "file": v.File}, "the rows are vouched for from now on by the key %s, which lies in %s", v.Key, v.File)
}
