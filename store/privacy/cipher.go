package privacy

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"solander/store/table"
	"solander/upkeep"
)

// Reseal puts into cipher what is chosen, and into clear what is not, cell by cell. What is made of the cells is left to the caller. proof
// is of the key by which it is written; "" = nothing is in cipher any more. itself: nobody asked for it.
func (t *PrivacyRows) Reseal(secrets, people, itself bool, proof string) error {
	if _, _, err := t.conn.Itself(); err != nil { // what was in cipher until now is known before it is told otherwise
		return err
	}
	if _, err := t.conn.Exec(`DELETE FROM vault`); err != nil {
		return err
	}
	put := func(turning bool) error {
		_, err := t.conn.Exec(`INSERT INTO vault (id, secrets, people, turning, itself, proof) VALUES (1, $1, $2, $3, $4, $5)
			ON CONFLICT (id) DO UPDATE SET turning = excluded.turning`, secrets, people, turning, itself, proof)
		return err
	}
	if err := put(true); err != nil {
		return err
	}
	t.conn.Resealing(secrets, people, itself)
	for i := range parts {
		if err := t.resealPart(&parts[i]); err != nil {
			return err
		}
	}
	return put(false)
}

// BareSecrets reports whether a secret stands in clear in a store of which nobody said what is to be in cipher. Where that was said, and taken out behind
// the program's back, it is not said anew: the check is to find that it is gone.
func (t *PrivacyRows) BareSecrets() (bare bool, err error) {
	told, err := t.conn.One(`SELECT 1 FROM vault WHERE id = 1 UNION ALL SELECT 1 FROM row_digests WHERE part = 'vault' AND digest <> '' LIMIT 1`, nil, new(int64))
	if err != nil || told {
		return false, err
	}
	for _, p := range parts {
		for _, c := range p.columns {
			if !c.seal || c.class != upkeep.KeptSecret {
				continue
			}
			bare, err = t.conn.One(`SELECT 1 FROM `+p.table+` WHERE `+c.name+` <> '' LIMIT 1`, nil, new(int64))
			if err != nil || bare {
				return bare, err
			}
		}
	}
	return false, nil
}

// resealPart writes the cells of a table anew; those that are lost become what nobody knows.
func (t *PrivacyRows) resealPart(p *part) error {
	var which []int
	for i, c := range p.columns {
		if c.seal {
			which = append(which, i)
		}
	}
	if len(which) == 0 {
		return nil
	}
	var rows []row // each opens what it reads
	err := t.each(p, "", nil, func(r row) error {
		rows = append(rows, r)
		return nil
	})
	if err != nil {
		return err
	}
	for _, r := range rows {
		if err := t.resealRow(p, r, which); err != nil {
			return err
		}
	}
	return nil
}

func (t *PrivacyRows) resealRow(p *part, r row, which []int) error {
	var set []string
	var args []any
	key := table.KeyText(r.key()...)
	for _, i := range which {
		text, ok := r.values[i].(string)
		if !ok || text == "" {
			continue
		}
		is, err := t.conn.SealCell(p.table, p.columns[i].name, key, text)
		if err != nil {
			return err
		}
		args = append(args, is)
		set = append(set, fmt.Sprintf("%s = $%d", p.columns[i].name, len(args)))
	}
	if len(set) == 0 {
		return nil
	}
	var where []string
	for i, k := range p.keys() {
		args = append(args, r.key()[i])
		where = append(where, fmt.Sprintf("%s = $%d", k, len(args)))
	}
	n, err := t.conn.Exec("UPDATE "+p.table+" SET "+strings.Join(set, ", ")+" WHERE "+strings.Join(where, " AND "), args...)
	return table.Must(n == 1, err, "%s %s", p.what, key)
}

var errLost = errors.New("it is in cipher, and its key is not there: put the key file back, or make it anew")

var errBare = errors.New("a secret stands in clear, and those of this studio are in cipher: it was changed by other means than this program, or written while " +
	"the key file was away; make it anew, or put it into cipher: solander privacy cipher --secrets")

// mostUnread bounds the cells that are told one by one.
const mostUnread = 20

// Unread tells the cells in cipher that cannot be read: they were changed, or stand where they were not written; and the secrets that stand in clear
// beside others in cipher.
func (t *PrivacyRows) Unread() (found []string, err error) {
	var lost bool
	secrets, people, err := t.conn.Sealing()
	if err != nil {
		return nil, err
	}
	if _, lost, err = t.conn.Itself(); err != nil || !secrets && !people && !lost {
		return nil, err // nothing is in cipher
	}
	for i := range parts {
		p := &parts[i]
		if !slices.ContainsFunc(p.columns, func(c column) bool { return c.seal }) {
			continue
		}
		err := t.eachRaw(p, "", nil, func(r row) error {
			for i, c := range p.columns {
				cell, ok := r.values[i].(string)
				if !ok || !c.seal || len(found) >= mostUnread {
					continue
				}
				_, err := t.conn.OpenCell(p.table, c.name, table.KeyText(r.key()...), cell)
				switch {
				case err == nil && lost && table.InCipher(cell):
					err = errLost
				case err == nil && secrets && c.class == upkeep.KeptSecret && cell != "" && !table.InCipher(cell):
					err = errBare
				}
				if err != nil {
					found = append(found, fmt.Sprintf("%s.%s of row %s: %v", p.table, c.name, table.KeyText(r.key()...), err))
				}
			}
			return nil
		})
		if err != nil {
			return found, err
		}
	}
	return found, nil
}
