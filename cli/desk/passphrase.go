package desk

import (
	"bytes"

	"solander/fault"
)

// Unlocking is the passphrase of the register's key, for a command that signs.
type Unlocking struct {
	Passphrase string `placeholder:"FILE" predictor:"file" help:"A file with the passphrase of the register's key (or set SOLANDER_REGISTER_PASSPHRASE)."`
}

// Words are the passphrase; "" = no file was named. Faults: as PassphraseIn.
func (u Unlocking) Words(d *Desk) (string, error) { return d.PassphraseIn(u.Passphrase, "passphrase") }

// PassphraseIn is the passphrase in a file; "" = no file was named. Faults: Invalid when it is empty, and those of ReadFile.
func (d *Desk) PassphraseIn(file, field string) (string, error) {
	if file == "" {
		return "", nil
	}
	body, err := d.ReadFile(file, field)
	if err != nil {
		return "", err
	}
	text := string(bytes.TrimSpace(body))
	if text == "" {
		return "", fault.Invalidf(field, "the passphrase is empty").ToMend("give one")
	}
	return text, nil
}
