package table

import (
	"crypto/rand"
	"database/sql"
	"fmt"
	"reflect"
	"slices"
	"strings"
	"sync"

	"solander/fault"
	"solander/store/vault"
	"solander/studio"
)

// Cipher is by what cells are kept in cipher. The zero Cipher is that of a program without a key.
type Cipher struct {
	Key *vault.Key
	// Next is by what they are written while the key is changed; nil = by Key.
	Next *vault.Key
	// Sealed reports whether a column is kept in cipher when that is chosen: of secrets, or of people.
	Sealed func(table, column string) (secret, person bool)
	// Again finds the key that fits a proof, which another program may have made since; nil = there is none.
	Again func(proof string) *vault.Key
	// Own makes the key of a studio that keeps its secrets in cipher without being asked; nil = it does not.
	Own func() (*vault.Key, error)
}

// sealing is what a store keeps in cipher.
type sealing struct {
	secrets, people, itself, told bool
	lost                          bool // the key of secrets that the studio put into cipher by itself is not there
	again                         bool // all cells are being written anew, those that are lost by what nobody knows
}

// Ciphered gives a transaction its cipher.
func (c *Conn) Ciphered(x Cipher) { c.cipher = x }

// Sealing reports what this store keeps in cipher. It asks once a transaction. Faults: Refused when it does, and this program has not its key.
func (c *Conn) Sealing() (secrets, people bool, err error) {
	if c.sealing == nil {
		var s sealing
		var proof string
		var err error
		s.told, err = c.One(`SELECT secrets, people, itself, proof FROM vault WHERE id = 1`, nil, &s.secrets, &s.people, &s.itself, &proof)
		if err != nil {
			return false, false, err
		}
		if proof != "" && !c.fits(proof) {
			if !s.itself {
				return false, false, errOtherKey
			}
			s.secrets, s.lost = false, true // the next secret stands in clear, until the key is there again or she chooses
		}
		c.sealing = &s
	}
	return c.sealing.secrets, c.sealing.people, nil
}

// fits finds out whether this program has the key of a proof.
func (c *Conn) fits(proof string) bool {
	for _, k := range []*vault.Key{c.cipher.Key, c.cipher.Next} {
		if k != nil && k.Fits(proof) {
			return true
		}
	}
	if c.cipher.Again == nil {
		return false
	}
	k := c.cipher.Again(proof)
	if k != nil {
		c.cipher.Key = k
	}
	return k != nil
}

// Itself reports whether secrets are in cipher without her having chosen it, and whether their key is lost: then they read as what nobody knows.
func (c *Conn) Itself() (itself, lost bool, err error) {
	if _, _, err = c.Sealing(); err != nil {
		return false, false, err
	}
	return c.sealing.itself, c.sealing.lost, nil
}

// Resealing says what is kept in cipher from now on.
func (c *Conn) Resealing(secrets, people, itself bool) {
	lost := c.sealing != nil && c.sealing.lost
	c.sealing = &sealing{secrets, people, itself, true, lost, lost}
}

// own begins to keep secrets in cipher where nothing was chosen.
func (c *Conn) own() error {
	k, err := c.cipher.Own()
	if err != nil {
		return err
	}
	if _, err := c.Exec(`INSERT INTO vault (id, secrets, people, turning, itself, proof) VALUES (1, 1, 0, 0, 1, $1)`, k.Proof()); err != nil {
		return err
	}
	c.cipher.Key = k
	c.Resealing(true, false, true)
	return nil
}

var errOtherKey = fault.New(fault.Refused, "this studio is kept in cipher, by a key that this program has not").
	ToMend("close the program and start it again; if that does not help, put the key file beside the studio. Nothing was changed")

// KeyText is a key of a row as a cell in cipher knows it.
func KeyText(key ...any) string { return strings.TrimSuffix(fmt.Sprintln(key...), "\n") }

// Plain are texts that are never in cipher: they say nothing.
func plain(text string) bool {
	switch text {
	case "", "[]", "null", "(erased)", "an erased buyer":
		return true
	}
	return false
}

// unknowable is what a secret reads as whose key is lost: a text by chance, which nobody knows, so that no code and no signature is good by it.
// It is base32, as the secret of a second factor is.
var unknowable = sync.OnceValue(rand.Text)

var errUnknowable = fault.New(fault.Refused, "a secret of this row is in cipher, and its key is not there").
	ToMend("put the key file back beside the studio; or make the secrets anew: solander privacy cipher --secrets. Nothing was changed")

// InCipher reports whether a cell is in cipher.
func InCipher(cell string) bool { return vault.Is(cell) }

// SealCell is what is kept of a text at a place.
func (c *Conn) SealCell(table, column, key, text string) (string, error) {
	if c.cipher.Sealed == nil || plain(text) {
		return text, nil
	}
	secret, person := c.cipher.Sealed(table, column)
	if !secret && !person {
		return text, nil
	}
	secrets, people, err := c.Sealing()
	if err != nil {
		return text, err
	}
	if c.sealing.lost && !c.sealing.again && text == unknowable() {
		return text, errUnknowable // what is in the row may be read again one day
	}
	if secret && !c.sealing.told && c.cipher.Own != nil {
		if err := c.own(); err != nil {
			return text, err
		}
		secrets = true
	}
	if !(secret && secrets || person && people) {
		return text, nil
	}
	k := c.cipher.Key
	if c.cipher.Next != nil {
		k = c.cipher.Next
	}
	return k.Seal(vault.Place{Table: table, Column: column, Row: key}, text), nil
}

// OpenCell is the text of a cell at a place; key "" = of whatever row.
func (c *Conn) OpenCell(table, column, key, cell string) (string, error) {
	if !vault.Is(cell) {
		return cell, nil
	}
	if c.cipher.Key == nil {
		if _, _, err := c.Sealing(); err != nil {
			return "", err
		}
	}
	lost := c.sealing != nil && c.sealing.lost
	if c.cipher.Key == nil {
		if lost {
			return unknowable(), nil
		}
		return "", errOtherKey
	}
	var text string
	var err error
	if key == "" {
		text, err = c.cipher.Key.OpenAny(table, column, cell)
	} else {
		text, err = c.cipher.Key.Open(vault.Place{Table: table, Column: column, Row: key}, cell)
	}
	if err != nil && lost {
		return unknowable(), nil
	}
	if err != nil {
		err = fmt.Errorf("%w: %w", err, studio.ErrDamaged)
	}
	return text, err
}

// Blind is a text as it is compared; see vault.Key.Blind.
func (c *Conn) Blind(text string) (string, error) {
	_, people, err := c.Sealing()
	if err != nil || !people {
		return text, err
	}
	if c.cipher.Next != nil {
		return c.cipher.Next.Blind(text), nil
	}
	return c.cipher.Key.Blind(text), nil
}

// rowKey is the key of a row by the values of its columns: its id, or the first two.
func (o *body) rowKey(fields []field, values []any) string {
	if fields[0].name == "id" || len(fields) < 2 {
		return KeyText(values[0])
	}
	return KeyText(values[0], values[1])
}

// sealed are the places of the columns that may be in cipher.
func (o *body) sealed(c *Conn, fields []field) []int {
	if c.cipher.Sealed == nil || !o.may(c, ofAll, func(secret, person bool) bool { return secret || person }) {
		return nil
	}
	var out []int
	for i, f := range fields {
		if known, ok := o.seals.Load(f.name); ok {
			if known.(bool) {
				out = append(out, i)
			}
			continue
		}
		secret, person := c.cipher.Sealed(o.Name, f.name)
		o.seals.Store(f.name, secret || person)
		if secret || person {
			out = append(out, i)
		}
	}
	return out
}

// asked asks what this store keeps in cipher before a table with secrets is read by a program without a key: while rows come, a connection to a
// server cannot be asked.
func (o *body) asked(c *Conn) error {
	if c.cipher.Sealed == nil || c.cipher.Key != nil || !o.secretive(c) {
		return nil
	}
	_, _, err := c.Sealing()
	return err
}

// secretive reports whether the table has a column of secrets.
func (o *body) secretive(c *Conn) bool {
	return o.may(c, ofSecrets, func(secret, _ bool) bool { return secret })
}

// What is known of all columns of a table together; no column is called so.
const ofSecrets, ofAll = "", "*"

// may reports whether one of the table's columns may be in cipher for a reason; it is remembered as what.
func (o *body) may(c *Conn, what string, so func(secret, person bool) bool) bool {
	if known, ok := o.seals.Load(what); ok {
		return known.(bool)
	}
	is := slices.ContainsFunc(strings.Split(o.Names, ", "), func(column string) bool { return so(c.cipher.Sealed(o.Name, column)) })
	o.seals.Store(what, is)
	return is
}

// seal puts the values of a row into cipher, where that is chosen.
func (o *body) seal(c *Conn, fields []field, values []any) error {
	places := o.sealed(c, fields)
	if len(places) == 0 {
		return nil
	}
	key := o.rowKey(fields, values)
	for _, i := range places {
		text := reflect.ValueOf(values[i])
		if text.Kind() != reflect.String {
			continue
		}
		is, err := c.SealCell(o.Name, fields[i].name, key, text.String())
		if err != nil {
			return err
		}
		values[i] = is
	}
	return nil
}

// opening scans a cell that may be in cipher into its place.
type opening struct {
	conn          *Conn
	table, column string
	key           func() string
	at            any
}

func (o opening) Scan(src any) error {
	text, ok := src.(string)
	if ok && vault.Is(text) {
		var err error
		if text, err = o.conn.OpenCell(o.table, o.column, o.key(), text); err != nil {
			return err
		}
		src = text
	}
	if s, is := o.at.(sql.Scanner); is {
		return s.Scan(src)
	}
	to := reflect.ValueOf(o.at)
	if !ok || to.Kind() != reflect.Pointer || to.Elem().Kind() != reflect.String {
		return fmt.Errorf("%T is no text", src)
	}
	to.Elem().SetString(text)
	return nil
}
