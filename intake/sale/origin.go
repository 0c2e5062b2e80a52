package sale

import (
	"crypto/sha256"
	"encoding/hex"
	"slices"
	"strconv"
	"strings"

	"solander/intake"
	"solander/intake/grid"
)

// originOf keeps a row word for word, with the hash by which it is known again.
func (r *Rows) originOf(p *grid.Grid, row *intake.Row, fill intake.Fill) intake.Origin {
	var pairs []string
	for i, c := range row.Cells {
		if c.Blank() || c.Merged {
			continue
		}
		heading := "column " + intake.Letters(i)
		if i < len(p.Headings) && p.Headings[i] != "" {
			heading = p.Headings[i]
		}
		pairs = append(pairs, heading+"\x00"+strings.TrimSpace(c.Text))
	}
	slices.Sort(pairs)
	sum := sha256.Sum256([]byte(strings.Join(pairs, "\x01")))
	hash := hex.EncodeToString(sum[:])
	seen := append(r.hashes[hash], intake.Place{Sheet: p.Sheet.Name, Row: row.N})
	r.hashes[hash] = seen
	if len(seen) > 1 {
		hash += "-" + strconv.Itoa(len(seen))
	}
	return intake.Origin{Sheet: p.Sheet.Name, Row: row.N, Fill: fill, Cells: intake.Texts(row), Hash: hash}
}

// factID names a fact by its row, its words and its kind, so that it keeps its id when columns or rows move.
func factID(o intake.Origin, note string, f intake.Fact) string {
	sum := sha256.Sum256([]byte(strings.Join([]string{o.Hash, note, string(f.Kind), strconv.Itoa(f.Start), strconv.Itoa(f.End)}, "\x00")))
	return "f-" + hex.EncodeToString(sum[:12])
}
