package privacy

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"

	"solander/cli/desk"
	"solander/copies/sealed"
	"solander/fault"
	"solander/privacy"
)

type keyCmd struct {
	Save keySaveCmd `cmd:"" help:"Write the key into a file that a passphrase opens."`
	Load keyLoadCmd `cmd:"" help:"Put the key of such a file where the studio looks for it."`
}

type keySaveCmd struct {
	File       string `arg:"" predictor:"file" help:"File to write (- is the output stream)."`
	Passphrase string `placeholder:"FILE" predictor:"file" help:"A file with the passphrase (or set SOLANDER_PASSPHRASE); without either one is made, and shown once."`
	Force      bool   `help:"Replace the file when it exists."`
}

func (keySaveCmd) Help() string {
	return "The file is of the open format age; keep it apart from the studio and its copies, and the passphrase apart from it.\n\nExample:\n\n  solander privacy key save studio-key.age"
}

func (c *keySaveCmd) Run(d *desk.Open) error {
	is, err := privacy.Cipher(d.Ctx, d.Studio)
	if err != nil {
		return err
	}
	if !is.Key {
		return fault.New(fault.Missing, "this studio has no key: nothing is kept in cipher").ToMend("solander privacy cipher --secrets --people makes one")
	}
	key, err := os.ReadFile(is.KeyFile)
	if err != nil {
		return desk.FileFault(err, is.KeyFile, "")
	}
	words, err := passphrase(d.Desk, c.Passphrase)
	if err != nil {
		return err
	}
	made := ""
	if words == "" {
		if c.File == "-" {
			return fault.Invalidf("passphrase", "no passphrase is given").ToMend("give --passphrase FILE, or set SOLANDER_PASSPHRASE")
		}
		made = sealed.NewPassphrase()
		words = made
	}
	err = d.ToFile(c.File, c.Force, func(w io.Writer) error {
		to, err := sealed.By(w, words)
		if err != nil {
			return err
		}
		_, err = to.Write(key)
		return errors.Join(err, to.Close())
	})
	if err != nil || c.File == "-" {
		return err
	}
	said := map[string]string{"written": c.File}
	if made != "" {
		said["passphrase"] = made
	}
	return d.Show(said, func(w io.Writer) {
		fmt.Fprintf(w, "written: %s\n", c.File)
		if made != "" {
			fmt.Fprintf(w, "its passphrase, which is shown this once: %s\n", made)
		}
	})
}

type keyLoadCmd struct {
	File       string `arg:"" predictor:"file" help:"The file that key save wrote (- is the input stream)."`
	Passphrase string `placeholder:"FILE" predictor:"file" help:"A file with the passphrase (or set SOLANDER_PASSPHRASE)."`
}

func (keyLoadCmd) Help() string {
	return "Where the studio is kept is said as ever, by --store; it need not be there yet: load the key first, then restore a copy.\n\nExample:\n\n  solander privacy key load studio-key.age"
}

// mostKey bounds the file of a sealed key, in bytes.
const mostKey = 64 << 10

func (c *keyLoadCmd) Run(d *desk.Desk) error {
	words, err := passphrase(d, c.Passphrase)
	if err != nil {
		return err
	}
	if words == "" {
		return fault.Invalidf("passphrase", "no passphrase is given").ToMend("give --passphrase FILE, or set SOLANDER_PASSPHRASE")
	}
	body, err := d.ReadFile(c.File, "file")
	if err != nil {
		return err
	}
	is, all, err := sealed.Is(bytes.NewReader(body))
	if err != nil {
		return err
	}
	if !is {
		return fault.Invalidf("file", "this is no sealed file").ToMend("choose the file that solander privacy key save wrote")
	}
	opened, err := sealed.Open(all, words)
	if err != nil {
		return passphraseFault(err)
	}
	key, err := io.ReadAll(io.LimitReader(opened, mostKey))
	if err != nil {
		return err
	}
	at, err := d.PutKey(key)
	if err != nil {
		return err
	}
	return d.Say(map[string]string{"loaded": at}, "the key lies in %s", at)
}

// passphraseFault names the flag by which the passphrase came.
func passphraseFault(err error) error {
	var f *fault.Error
	if errors.As(err, &f) && f.Field == "key" {
		return f.In("passphrase")
	}
	return err
}

// passphrase is what a file or the environment says; "" = neither.
func passphrase(d *desk.Desk, file string) (string, error) {
	if file == "" {
		return d.Env.Get("SOLANDER_PASSPHRASE"), nil
	}
	body, err := d.ReadFile(file, "passphrase")
	return string(bytes.TrimSpace(body)), err
}
