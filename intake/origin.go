package intake

import (
	"crypto/sha256"
	"encoding/hex"
	"slices"
	"strconv"
	"strings"
)

// originOf keeps a row word for word, with the hash by which it is known again.
func (r *Rows) originOf(p *plan, row *Row, fill Fill) Origin {
	var pairs []string
	for i, c := range row.Cells {
		if c.blank() || c.Merged {
			continue
		}
		heading := "column " + Letters(i)
		if i < len(p.headings) && p.headings[i] != "" {
			heading = p.headings[i]
		}
		pairs = append(pairs, heading+"\x00"+strings.TrimSpace(c.Text))
	}
	slices.Sort(pairs)
	sum := sha256.Sum256([]byte(strings.Join(pairs, "\x01")))
	hash := hex.EncodeToString(sum[:])
	seen := append(r.hashes[hash], Place{Sheet: p.sheet.Name, Row: row.N})
	r.hashes[hash] = seen
	if len(seen) > 1 {
		hash += "-" + strconv.Itoa(len(seen))
	}
	return Origin{Sheet: p.sheet.Name, Row: row.N, Fill: fill, Cells: texts(row), Hash: hash}
}

// factID names a fact by its row, its words and its kind, so that it keeps its id when columns or rows move.
func factID(o Origin, note string, f Fact) string {
	sum := sha256.Sum256([]byte(strings.Join([]string{o.Hash, note, string(f.Kind), strconv.Itoa(f.Start), strconv.Itoa(f.End)}, "\x00")))
	return "f-" + hex.EncodeToString(sum[:12])
}
