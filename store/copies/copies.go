// Package copies writes a copy of all tables and fills an empty store from one. docs/formats/backup.md describes the form,
// which is the same for all engines. The words of search are in no copy: they are made anew.
package copies

import (
	"fmt"
	"slices"
	"strings"

	"solander/store/accounts"
	"solander/store/attest"
	"solander/store/bank"
	"solander/store/bills"
	"solander/store/claims"
	"solander/store/consign"
	"solander/store/digests"
	"solander/store/fairs"
	"solander/store/feeds"
	"solander/store/house"
	"solander/store/intakes"
	"solander/store/journal"
	"solander/store/leaves"
	"solander/store/migrations"
	"solander/store/numbers"
	"solander/store/orders"
	"solander/store/parcels"
	"solander/store/payouts"
	"solander/store/pictures"
	"solander/store/privacy"
	"solander/store/rates"
	"solander/store/stocks"
	"solander/store/taxes"
)

// Format and Version stand at the head of a copy.
const (
	Format  = "solander-copy"
	Version = 1
)

// Table is a table as it stands in a copy. Every column holds an integer, a text or nothing.
type Table struct {
	Name, Columns string
	Key           string // by which its rows are ordered
}

// Tables are all that a copy holds, so ordered that each refers only to those before it.
var Tables = []Table{
	{"counters", "name, value", "name"},
	{"identity", "id, mark", "id"},
	{"settings", "id, body", "id"},
	{"outlets", house.Outlets.Names, "id"},
	{"cards", house.Cards.Names, "id"},
	{"works", numbers.Works.Names, "id"},
	{"pictures", pictures.Pictures.Names, "work"},
	{"picture_bodies", pictures.Bodies, "work, size"},
	{"editions", numbers.Editions.Names, "id"},
	{"sayings", attest.Sayings.Names, "id"},
	{"closings", attest.Closings.Names, "id"},
	{"buyers", orders.Buyers.Names, "id"},
	{"told_apart", "a, b", "a, b"},
	{"orders", orders.Orders.Names, "id"},
	{"hand_overs", parcels.HandOvers.Names, "id"},
	{"parcels", parcels.Parcels.Names, "id"},
	{"lines", orders.Lines.Names, "id"},
	{"payments", orders.Payments.Names, "id"},
	{"bills", bills.Bills.Names, "id"},
	{"tax_rates", taxes.Rates.Names, "id"},
	{"resales", taxes.Resales.Names, "id"},
	{"impressions", "edition, kind, number, state, line, signed, struck, turn, available, day, signed_on, sent_mark", "edition, kind, number"},
	{"register", numbers.Entries.Names, "seq"},
	{"certificates", attest.Certificates.Names, "id"},
	{"certificate_ends", attest.Ends.Names, "id"},
	{"transfers", attest.Transfers.Names, "id"},
	{"transfer_names", "transfer, words", "transfer"},
	{"logs", leaves.Logs.Names, "id"},
	{"leaves", leaves.Leaves.Names, "id"},
	{"checkpoints", leaves.Checkpoints.Names, "id"},
	{"tallies", "edition, free, promised, signed, sent, returned, spoilt, kept, withdrawn, held, consigned, sold", "edition"},
	{"runs", stocks.Runs.Names, "id"},
	{"receipts", stocks.Receipts.Names, "id"},
	{"shelf", stocks.Shelf.Names, "id"},
	{"moves", stocks.Moves.Names, "id"},
	{"stocks", "kind, item, qty", "kind, item"},
	{"entry_lines", journal.Lines.Names, "entry, place"}, // before their entries, which are refused without them
	{"entries", journal.Entries.Names, "id"},
	{"entry_sums", journal.Totals.Names, "month, account, currency, outlet, edition"},
	{"earned_sums", journal.EarnedSums.Names, "day, order_id, line, edition, outlet, currency"},
	{"order_sums", journal.OrderSums.Names, "order_id"},
	{"lot_sums", journal.LotSums.Names, "lot, period, id, text, currency"},
	{"closed_periods", journal.Closings.Names, "id"},
	{"account_names", "account, name", "account"},
	{"layers", journal.Layers.Names, "id"},
	{"layer_uses", journal.Uses.Names, "move, place"},
	{"marks", orders.Marks.Names, "id"},
	{"sent_forms", orders.SentForms.Names, "id"},
	{"hook_mappings", feeds.Mappings.Names, "id"},
	{"feeds", feeds.Feeds.Names, "id"},
	{"feed_secrets", feeds.Secrets.Names, "id"},
	{"feed_answers", feeds.Answers.Names, "feed, key"},
	{"feed_messages", feeds.Messages.Names, "feed, print"},
	{"feed_time", feeds.Time.Names, "id"},
	{"arrivals", intakes.Arrivals.Names, "id"},
	{"arrival_parts", "arrival, part, body", "arrival, part"},
	{"mappings", "name, body", "name"},
	{"intakes", intakes.Intakes.Names, "id"},
	{"origins", intakes.Origins.Names, "order_id, place"},
	{"persons", accounts.Persons.Names, "id"},
	{"device_keys", accounts.Keys.Names, "id"},
	{"passkeys", accounts.Passkeys.Names, "id"},
	{"recovery_codes", accounts.Recovery.Names, "person, hash"},
	{"erasures", privacy.Erasures.Names, "id"},
	{"vault", "id, secrets, people, turning, proof, itself", "id"},
	{"exchange_rates", rates.Table.Names, "id"},
	{"agreements", rates.Agreements.Names, "id"},
	{"foreign_payments", rates.Foreign.Names, "id"},
	{"galleries", consign.Galleries.Names, "id"},
	{"consignments", consign.Consignments.Names, "id"},
	{"gallery_moneys", consign.Moneys.Names, "id"},
	{"claims", claims.Claims.Names, "id"},
	{"claim_photos", claims.Photos.Names, "id"},
	{"claim_photo_bodies", claims.Bodies, "id"},
	{"fair_days", fairs.Days.Names, "id"},
	{"fair_costs", fairs.Costs.Names, "id"},
	{"fair_carries", fairs.Carries.Names, "id"},
	{"payouts", payouts.Payouts.Names, "id"},
	{"payout_parts", payouts.Parts.Names, "payout, order_id"},
	{"bank_accounts", bank.Accounts.Names, "id"},
	{"bank_files", bank.Files.Names, "id"},
	{"bank_lines", bank.Lines.Names, "id"},
	{"blanked", "part, row_id, erasure", "part, row_id"},
	{"row_forms", digests.Forms.Names, "part"},
	{rowDigests, "part, k1, k2, k3, digest, sealed", "part, k1, k2, k3"},
}

// Apart are the tables of one database and its machine, which are in no copy: its scheduled work, where its copies go, and whether it
// was left for another machine.
var Apart = []string{"touched", "rota_lease", "rota_jobs", "copying", "left_for", "row_sums"}

// ApartColumns are columns of the same sort in tables that are in a copy.
var ApartColumns = map[string][]string{rowDigests: {"mark"}}

// rowDigests is the table of which a copy holds the digests of its own rows alone.
const rowDigests = "row_digests"

// Split returns the names of the columns.
func (t Table) Split() []string { return strings.Split(t.Columns, ", ") }

// Select makes the query that reads the table in its order.
func (t Table) Select() string {
	of := ""
	if t.Name == rowDigests {
		of = " WHERE part NOT IN (" + migrations.HereTables() + ")"
	}
	return "SELECT " + t.Columns + " FROM " + t.Name + of + " ORDER BY " + t.Key
}

// Insert makes the statement that adds n rows.
func (t Table) Insert(n int) string {
	width := len(t.Split())
	var rows []string
	for i := range n {
		var row []string
		for j := range width {
			row = append(row, fmt.Sprintf("$%d", i*width+j+1))
		}
		rows = append(rows, "("+strings.Join(row, ", ")+")")
	}
	return "INSERT INTO " + t.Name + " (" + t.Columns + ") VALUES " + strings.Join(rows, ", ")
}

func named(name string) (Table, bool) {
	i := slices.IndexFunc(Tables, func(t Table) bool { return t.Name == name })
	if i < 0 {
		return Table{}, false
	}
	return Tables[i], true
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
