package words

import (
	"slices"
	"strconv"
	"strings"

	"solander/store/engine"
	"solander/store/table"
)

// findInCipher looks through all rows in memory, because no index of their words is kept.
func (x *Index) findInCipher(terms []engine.Term, rows string, err error) (Found, error) {
	if err != nil {
		return Found{}, err
	}
	of, read := "orders", x.readOrders
	if rows == "buyers r" {
		of, read = "buyers", x.readBuyers
	}
	ids, err := table.Values[int64](x.conn, `SELECT id FROM `+of+` ORDER BY id`)
	if err != nil {
		return Found{}, err
	}
	var hits []string
	for part := range slices.Chunk(ids, table.Batch) {
		found, err := read(part)
		if err != nil {
			return Found{}, err
		}
		for _, id := range part {
			if matches(wordsOf(strings.Join(found[id], " ")), terms) {
				hits = append(hits, strconv.FormatInt(id, 10))
			}
		}
	}
	if len(hits) == 0 {
		return Found{Nothing: true, From: rows, ID: "r.id"}, nil
	}
	return Found{From: rows, ID: "r.id", Where: []string{"r.id IN (" + strings.Join(hits, ", ") + ")"}}, nil
}

// matches reports whether words hold every term.
func matches(words []string, terms []engine.Term) bool {
	for _, t := range terms {
		if !slices.ContainsFunc(words, func(w string) bool { return w == t.Word || !t.Whole && strings.HasPrefix(w, t.Word) }) {
			return false
		}
	}
	return true
}
