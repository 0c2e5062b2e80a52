package record

import (
	"fmt"
	"io"

	"solander/cli/desk"
	"solander/fault"
	"solander/record"
)

type keyCmd struct {
	Show       keyShowCmd       `cmd:"" help:"The public key, and where the other half lies."`
	Export     keyExportCmd     `cmd:"" help:"Write the key into a file to be kept elsewhere."`
	Load       keyLoadCmd       `cmd:"" help:"Put an exported key where the studio looks for it."`
	Passphrase keyPassphraseCmd `cmd:"" help:"Lock the key by a passphrase, or unlock it for good."`
	Keyring    keyKeyringCmd    `cmd:"" help:"Let this computer's keyring open the key, in place of a passphrase or a file."`
	Replace    keyReplaceCmd    `cmd:"" help:"Make another key, to which this one hands over."`
	Lost       keyLostCmd       `cmd:"" help:"Say that the key is lost: a new log begins, with the root of the old one."`
}

type keyShowCmd struct{}

func (keyShowCmd) Help() string {
	return "The public key may be given to anybody: by it checkpoints and certificates are looked at.\n\nExample:\n\n  solander register key show"
}

// keyShown is how the register is vouched for, as it is shown.
type keyShown struct {
	Origin   string `json:"origin"`
	Leaves   int64  `json:"leaves"`
	Root     string `json:"root"`
	Key      string `json:"key"`
	File     string `json:"file"`
	There    bool   `json:"there"`
	Locked   bool   `json:"locked"`
	ByUser   bool   `json:"by_user"`
	ByRing   bool   `json:"by_keyring"`
	Signed   int64  `json:"signed"`
	Unsigned int64  `json:"unsigned"`
	Logs     int    `json:"logs"`
	TakenUp  int64  `json:"taken_up"`
}

func (keyShowCmd) Run(d *desk.Open) error {
	s, err := record.Stands(d.Ctx, d.Studio)
	if err != nil {
		return err
	}
	out := keyShown{
		Origin: s.Log.Origin, Leaves: s.Log.Size, Root: fmt.Sprintf("%x", s.Log.Root[:]), Key: s.Verifier, File: s.KeyFile, There: s.KeyThere,
		Locked: s.Locked, ByUser: s.ByUser, ByRing: s.ByRing, Unsigned: s.Unsigned, Logs: s.Logs, TakenUp: s.TakenUp,
	}
	if s.Latest != nil {
		out.Signed = s.Latest.Size
	}
	return d.Show(out, func(w io.Writer) {
		fmt.Fprintf(w, "%s: %d leaves, root %s\n", out.Origin, out.Leaves, out.Root)
		if out.Key == "" {
			fmt.Fprintln(w, "no key was made yet: solander register checkpoint makes one")
			return
		}
		fmt.Fprintf(w, "public key: %s\n", out.Key)
		how := "it is not locked: whoever has this file and the studio can sign"
		switch {
		case !out.There:
			how = "it is not there"
		case out.Locked:
			how = "locked by a passphrase, by the file of another user, or by a keyring that is not open"
		case out.ByUser:
			how = "opened by a file in your own settings"
		case out.ByRing:
			how = "opened by this computer's keyring"
		}
		fmt.Fprintf(w, "the other half: %s (%s)\n", out.File, how)
		fmt.Fprintf(w, "signed: %d leaves; since then %d\n", out.Signed, out.Unsigned)
	})
}

type keyExportCmd struct {
	desk.Unlocking
	File  string `arg:"" predictor:"file" help:"File to write (- is the output stream)."`
	Seal  string `placeholder:"FILE" predictor:"file" help:"A file with the passphrase that is to open it; without one it is written as it is."`
	Force bool   `help:"Replace the file when it exists."`
}

func (keyExportCmd) Help() string {
	return "Keep it apart from the studio and its copies: it is in none of them. The file is of the open format age when it is sealed.\n\nExample:\n\n  solander register key export register-key.age --seal passphrase.txt"
}

func (c *keyExportCmd) Run(d *desk.Open) error {
	opens, err := c.Words(d.Desk)
	if err != nil {
		return err
	}
	seals, err := d.PassphraseIn(c.Seal, "seal")
	if err != nil {
		return err
	}
	body, err := record.Export(d.Ctx, d.Studio, opens, seals)
	if err != nil {
		return err
	}
	err = d.ToFile(c.File, c.Force, func(w io.Writer) error { _, err := w.Write(body); return err })
	if err != nil || c.File == "-" {
		return err
	}
	return d.Say(map[string]string{"written": c.File}, "written: %s", c.File)
}

type keyLoadCmd struct {
	desk.Unlocking
	File string `arg:"" predictor:"file" help:"The file that key export wrote (- is the input stream)."`
}

func (keyLoadCmd) Help() string {
	return "It is put there as it is: one that is sealed stays so.\n\nExample:\n\n  solander register key load register-key.age --passphrase passphrase.txt"
}

func (c *keyLoadCmd) Run(d *desk.Open) error {
	opens, err := c.Words(d.Desk)
	if err != nil {
		return err
	}
	body, err := d.ReadFile(c.File, "file")
	if err != nil {
		return err
	}
	at, err := record.Load(d.Ctx, d.Studio, body, opens)
	if err != nil {
		return err
	}
	return d.Say(map[string]string{"loaded": at}, "the key lies in %s", at)
}

type keyPassphraseCmd struct {
	desk.Unlocking
	New  string `placeholder:"FILE" predictor:"file" xor:"new" help:"A file with the new passphrase."`
	Open bool   `xor:"new" help:"Leave the key without one: a file in your own settings opens it."`
}

func (keyPassphraseCmd) Help() string {
	return "Locked, the key signs only for whoever gives the passphrase: nobody who has the files alone can. Keep the words: without them the key is lost.\n\nExample:\n\n  solander register key passphrase --new passphrase.txt"
}

func (c *keyPassphraseCmd) Run(d *desk.Open) error {
	from, err := c.Words(d.Desk)
	if err != nil {
		return err
	}
	to, err := d.PassphraseIn(c.New, "new")
	if err != nil {
		return err
	}
	if to == "" && !c.Open {
		return fault.Invalidf("new", "no passphrase is given").ToMend("give --new FILE; to leave the key without one: --open")
	}
	if err := record.Reseal(d.Ctx, d.Studio, from, to); err != nil {
		return err
	}
	said := "the key is locked"
	if to == "" {
		said = "the key is without a passphrase"
	}
	return d.Say(map[string]bool{"locked": to != ""}, "%s", said)
}

type keyKeyringCmd struct {
	desk.Unlocking
}

func (keyKeyringCmd) Help() string {
	return "The key then signs while you are signed in at this computer and its keyring is open; nobody who has the files alone can sign with it. A server, and a service that runs at night without anybody, has no keyring. To take it back: solander register key passphrase. Export the key first: without the keyring it is lost.\n\nExample:\n\n  solander register key export register-key.age --seal passphrase.txt\n  solander register key keyring"
}

func (c *keyKeyringCmd) Run(d *desk.Open) error {
	from, err := c.Words(d.Desk)
	if err != nil {
		return err
	}
	err = record.ToKeyring(d.Ctx, d.Studio, from)
	return d.Done(err, map[string]bool{"by_keyring": true}, "this computer's keyring opens the key")
}

type keyReplaceCmd struct {
	desk.Unlocking
}

func (keyReplaceCmd) Help() string {
	return "The register tells it, signed by both; what the key before signed still holds.\n\nExample:\n\n  solander register key replace"
}

func (c *keyReplaceCmd) Run(d *desk.Open) error {
	opens, err := c.Words(d.Desk)
	if err != nil {
		return err
	}
	s, err := record.Replace(d.Ctx, d.Studio, opens)
	if err != nil {
		return err
	}
	return show(d, s)
}

type keyLostCmd struct {
	desk.Unlocking
	Reason string `required:"" placeholder:"TEXT" help:"Why."`
}

func (keyLostCmd) Help() string {
	return "A key file that lies there and is of no use is put aside, not deleted. Tell those who keep your public key: what is signed from now on is signed by another one.\n\nExample:\n\n  solander register key lost --reason \"the computer was stolen\""
}

func (c *keyLostCmd) Run(d *desk.Open) error {
	opens, err := c.Words(d.Desk)
	if err != nil {
		return err
	}
	s, err := record.Lost(d.Ctx, d.Studio, c.Reason, opens)
	if err != nil {
		return err
	}
	return show(d, s)
}
