package store

import (
	"fmt"
	"slices"
	"strings"
)

// copyFormat and copyVersion stand at the head of a copy. docs/formats/backup.md describes the form.
const (
	copyFormat  = "solander-copy"
	copyVersion = 1
)

// table is a table as it stands in a copy. Every column holds an integer, a text or nothing.
type table struct{ name, columns, key string }

// tables are all that a copy holds, so ordered that each refers only to those before it. The words of
// search are not among them: they are made anew.
var tables = []table{
	{"counters", "name, value", "name"},
	{"settings", "id, body", "id"},
	{"outlets", outletColumns, "id"},
	{"cards", "id, card", "id"},
	{"works", workColumns, "id"},
	{"editions", editionColumns, "id"},
	{"buyers", buyerColumns, "id"},
	{"told_apart", "a, b", "a, b"},
	{"orders", orderColumns, "id"},
	{"hand_overs", "id, day, note", "id"},
	{"parcels", parcelColumns, "id"},
	{"lines", lineColumns, "id"},
	{"payments", paymentColumns, "id"},
	{"impressions", "edition, kind, number, state, line, signed, struck, turn, available, day, signed_on, sent_mark", "edition, kind, number"},
	{"register", entryColumns, "seq"},
	{"tallies", "edition, free, promised, signed, sent, returned, spoilt, kept, withdrawn, held", "edition"},
	{"runs", runColumns, "id"},
	{"receipts", receiptColumns, "id"},
	{"shelf", shelfColumns, "id"},
	{"moves", moveColumns, "id"},
	{"stocks", "kind, item, qty", "kind, item"},
	{"marks", markColumns, "id"},
	{"sent_forms", sentFormColumns, "id"},
	{"hook_mappings", hookMappingColumns, "id"},
	{"feeds", feedColumns, "id"},
	{"feed_secrets", secretColumns, "id"},
	{"feed_answers", answerColumns, "feed, key"},
	{"feed_messages", messageColumns, "feed, print"},
	{"feed_time", timeColumns, "id"},
	{"arrivals", arrivalColumns, "id"},
	{"arrival_parts", "arrival, part, body", "arrival, part"},
	{"mappings", "name, body", "name"},
	{"intakes", intakeColumns, "id"},
	{"origins", originColumns, "order_id, place"},
}

func (t table) cols() []string { return strings.Split(t.columns, ", ") }

// insert makes the statement that adds n rows.
func (t table) insert(n int) string {
	width := len(t.cols())
	var rows []string
	for i := range n {
		var row []string
		for j := range width {
			row = append(row, fmt.Sprintf("$%d", i*width+j+1))
		}
		rows = append(rows, "("+strings.Join(row, ", ")+")")
	}
	return "INSERT INTO " + t.name + " (" + t.columns + ") VALUES " + strings.Join(rows, ", ")
}

func tableNamed(name string) (table, bool) {
	i := slices.IndexFunc(tables, func(t table) bool { return t.name == name })
	if i < 0 {
		return table{}, false
	}
	return tables[i], true
}

// The lines of a copy that are no rows.
type (
	copyHead struct {
		Format  string `json:"format"`
		Version int    `json:"version"`
		Schema  int64  `json:"schema"`
		Made    string `json:"made"`
	}
	copyTable struct {
		Table   string   `json:"table"`
		Columns []string `json:"columns"`
	}
	copyEnd struct {
		Rows   map[string]int64 `json:"rows"`
		SHA256 string           `json:"sha256"`
	}
)
