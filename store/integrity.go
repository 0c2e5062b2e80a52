package store

import (
	"context"
	"database/sql"
	"slices"
	"strings"

	"solander/store/engine"
	"solander/store/journal"
)

// sum is a question whose answer is empty while what the store computes along is right. Each row of
// the answer is where it is wrong.
type sum struct{ what, query string }

var sums = []sum{
	{"its numbers are not as many as were declared", `
		SELECT 'edition ' || e.id FROM editions e WHERE e.declared_limit + e.ap + e.pp + e.hc + e.bat <>
			(SELECT count(*) FROM impressions i WHERE i.edition = e.id)`},
	{"the counts of its numbers are wrong", `
		SELECT 'edition ' || e.id FROM editions e LEFT JOIN tallies t ON t.edition = e.id
		LEFT JOIN (SELECT edition, sum(CASE state WHEN 'free' THEN 1 ELSE 0 END) AS free, sum(CASE state WHEN 'promised' THEN 1 ELSE 0 END) AS promised,
			sum(CASE state WHEN 'signed' THEN 1 ELSE 0 END) AS signed, sum(CASE state WHEN 'sent' THEN 1 ELSE 0 END) AS sent,
			sum(CASE state WHEN 'returned' THEN 1 ELSE 0 END) AS returned, sum(CASE state WHEN 'spoilt' THEN 1 ELSE 0 END) AS spoilt,
			sum(CASE state WHEN 'kept' THEN 1 ELSE 0 END) AS kept, sum(CASE state WHEN 'withdrawn' THEN 1 ELSE 0 END) AS withdrawn,
			sum(CASE state WHEN 'consigned' THEN 1 ELSE 0 END) AS consigned, sum(CASE state WHEN 'sold-there' THEN 1 ELSE 0 END) AS sold,
			sum(CASE WHEN (line IS NOT NULL OR state = 'sold-there') AND kind = 'N' THEN 1 ELSE 0 END) AS held
			FROM impressions GROUP BY edition) c ON c.edition = e.id
		WHERE t.edition IS NULL OR t.free <> coalesce(c.free, 0) OR t.promised <> coalesce(c.promised, 0) OR t.signed <> coalesce(c.signed, 0)
			OR t.sent <> coalesce(c.sent, 0) OR t.returned <> coalesce(c.returned, 0) OR t.spoilt <> coalesce(c.spoilt, 0)
			OR t.kept <> coalesce(c.kept, 0) OR t.withdrawn <> coalesce(c.withdrawn, 0) OR t.consigned <> coalesce(c.consigned, 0) OR t.sold <> coalesce(c.sold, 0) OR t.held <> coalesce(c.held, 0)`},
	{"the stock is not the sum of its moves", `
		SELECT kind || ' ' || item FROM (
			SELECT kind, item, sum(delta) AS moved, sum(qty) AS kept FROM (
				SELECT kind, item, delta, 0 AS qty FROM moves UNION ALL SELECT kind, item, 0, qty FROM stocks) a
			GROUP BY kind, item) b WHERE moved <> kept`},
	{"its counter is behind its rows, so that the next one would take an id that is taken", behind()},
	{"it names another order than its line is of, or one that is not there", `
		SELECT 'entry ' || r.seq || ' of the register' FROM register r LEFT JOIN lines l ON l.id = r.line LEFT JOIN orders o ON o.id = l.order_id
		WHERE r.line <> 0 AND (o.mark IS NULL OR o.mark <> r.order_mark)
			OR r.line = 0 AND r.order_mark <> '' AND NOT EXISTS (SELECT 1 FROM orders n WHERE n.mark = r.order_mark)`},
	{"it is from an earlier instant than the one before it", `
		SELECT 'entry ' || b.seq || ' of the register' FROM register a JOIN register b ON b.seq = a.seq + 1 WHERE b.at < a.at`},
	{"a buyer cannot be compared with others", `
		SELECT 'buyer ' || b.id FROM buyers b LEFT JOIN person_words w ON w.id = b.id WHERE w.id IS NULL`},
	{"it is an order of a buyer who was taken as another", `
		SELECT o.mark FROM orders o JOIN buyers b ON b.id = o.buyer WHERE b.same_as IS NOT NULL`},
	{"it was taken as a buyer who was taken as another", `
		SELECT 'buyer ' || b.id FROM buyers b JOIN buyers k ON k.id = b.same_as WHERE k.same_as IS NOT NULL`},
	{"the secret of its web-hook is gone", `
		SELECT 'feed ' || feed FROM feed_secrets WHERE secret = ''`},
	{"a second factor was taken out, and by what it let in last is still there", `
		SELECT 'person ' || id FROM persons WHERE totp = '' AND totp_step <> 0`},
	{"an order has no words to be found by", `
		SELECT o.mark FROM orders o LEFT JOIN order_words w ON w.ROWID_OF = o.id WHERE w.ROWID_OF IS NULL`},
}

// counted are the tables whose ids are counted.
var counted = []string{
	"agreements", "arrivals", "bank_accounts", "bank_files", "bank_lines", "bills", "buyers", "certificate_ends", "certificates", "checkpoints", "claim_photos", "claims", "closed_periods",
	"closings",
	"consignments", "device_keys", "editions", "entries", "erasures", "exchange_rates", "fair_carries", "fair_costs", "fair_days", "feed_secrets", "feeds", "foreign_payments", "galleries", "gallery_moneys", "hand_overs",
	"hook_mappings", "intakes", "layers", "lines", "logs", "marks", "moves", "orders", "outlets", "parcels", "passkeys",
	"payments", "payouts", "persons", "receipts", "resales", "runs", "sayings", "sent_forms", "shelf", "tax_rates", "transfers", "works",
}

// behind asks for the tables whose counter stands lower than their highest id.
func behind() string {
	var each []string
	for _, table := range counted {
		each = append(each, strings.ReplaceAll(`SELECT 'TABLE' FROM (SELECT coalesce(max(id), 0) AS last FROM TABLE) AS t
			WHERE last > coalesce((SELECT value FROM counters WHERE name = 'TABLE'), 0)`, "TABLE", table))
	}
	return strings.Join(each, " UNION ALL ")
}

// sums are the looks at what the store computes along: standings, counts, stocks, words; each on a state of its own.
func (s *store) sums() []engine.Look {
	look := func(what string, ask func(*tx) ([]string, error)) engine.Look {
		return engine.Look{What: what, Ask: func(ctx context.Context) (found []string, err error) {
			err = s.read(ctx, func(t *tx) (err error) {
				found, err = ask(t)
				return err
			})
			return found, err
		}}
	}
	looks := []engine.Look{
		look("the cells in cipher", func(t *tx) ([]string, error) { return t.Unread() }),
		look("the log of the register", func(t *tx) ([]string, error) { return t.VerifyLog() }),
		look("the digests of its rows", func(t *tx) ([]string, error) { return t.VerifyRows() }),
		look("the buyers beside what is compared of them", func(t *tx) ([]string, error) { return t.Misput() }),
		look("the numbers beside their entries", func(t *tx) ([]string, error) { return t.Misstands() }),
	}
	all := slices.Clone(sums)
	for _, x := range journal.Sums {
		all = append(all, sum{x[0], x[1]})
	}
	for _, sum := range all {
		looks = append(looks, look(sum.what+"? This", func(t *tx) (found []string, err error) {
			err = t.conn.Each(strings.ReplaceAll(sum.query, "ROWID_OF", t.conn.Dialect.RowID), nil, func(rows *sql.Rows) error {
				var where string
				err := rows.Scan(&where)
				found = append(found, where+": "+sum.what)
				return err
			})
			return found, err
		}))
	}
	return append(looks, look("the journal beside the book", func(t *tx) ([]string, error) { return t.Disagree() }))
}
