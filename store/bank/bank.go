// Package bank keeps accounts, files and lines of banks.
package bank

import (
	"database/sql"
	"slices"
	"strconv"

	"solander/bankfile"
	"solander/calendar"
	"solander/charging"
	"solander/claim"
	domain "solander/consign"
	"solander/fair"
	"solander/fault"
	"solander/ledger"
	"solander/money"
	"solander/order"
	"solander/posted"
	"solander/store/claims"
	"solander/store/consign"
	"solander/store/engine"
	"solander/store/fairs"
	"solander/store/orders"
	"solander/store/payouts"
	"solander/store/table"
)

// Accounts are the studio's accounts.
var Accounts = table.Make("bank_accounts", "account", func(a *bankfile.Account) table.Columns {
	return table.Columns{"id", &a.ID, "name", &a.Name, "number", &a.Number, "currency", &a.Currency, "mapping", table.JSON(&a.Mapping)}
})

// Files are what was brought in.
var Files = table.Make("bank_files", "file of the bank", func(f *bankfile.Brought) table.Columns {
	return table.Columns{
		"id", &f.ID, "account", &f.Account, "name", &f.Name, "hash", &f.Hash, "kind", &f.Kind, "lines", &f.Lines, "known", &f.Known,
		"day", &f.Day, "at", &f.At, "who", &f.Who,
	}
})

// Lines are the lines of the files.
var Lines = table.Make("bank_lines", "line of the bank", columns)

func columns(l *bankfile.Kept) table.Columns {
	return table.Columns{
		"id", &l.ID, "account", &l.Account, "file", &l.File, "known_by", &l.Key, "ref", &l.Ref, "day", &l.Day, "amount", &l.Amount,
		"name", &l.Name, "note", &l.Note, "state", &l.State, "payment", table.Ref(&l.Payment), "why", &l.Why, "said_at", &l.At, "who", &l.Who,
		"payout", table.Ref(&l.Payout), "gallery_money", table.Ref(&l.Money), "claim", table.Ref(&l.Claim), "fair_carry", table.Ref(&l.Carry),
	}
}

// BankRows are the lines of banks within one transaction.
type BankRows struct{ conn *table.Conn }

// New are the lines of banks of a transaction.
func New(c *table.Conn) *BankRows { return &BankRows{c} }

// BankAccounts returns all, by name.
func (t *BankRows) BankAccounts() ([]bankfile.Account, error) {
	return Accounts.List(t.conn, "ORDER BY name, id")
}

// BankAccount returns one. Faults: Missing.
func (t *BankRows) BankAccount(id int64) (bankfile.Account, error) {
	out, err := Accounts.List(t.conn, "WHERE id = $1", id)
	return table.Only(out, err, "account %d", id)
}

// SaveBankAccount adds an account or changes one. Faults: Missing; Taken.
func (t *BankRows) SaveBankAccount(a bankfile.Account) (int64, error) {
	taken := fault.New(fault.Taken, "an account is called %q already", a.Name).In("name").ToMend("choose another name")
	if err := t.conn.Free("bank_accounts", "name", a.Name, a.ID, taken); err != nil {
		return 0, err
	}
	id, err := Accounts.Save(t.conn, a)
	return id, engine.When(err, engine.Unique, taken)
}

// BankFiles returns the files of an account, newest first.
func (t *BankRows) BankFiles(account int64) ([]bankfile.Brought, error) {
	return Files.List(t.conn, "WHERE account = $1 ORDER BY id DESC", account)
}

// BankFile returns one. Faults: Missing.
func (t *BankRows) BankFile(id int64) (bankfile.Brought, error) {
	out, err := Files.List(t.conn, "WHERE id = $1", id)
	return table.Only(out, err, "file %d of the bank", id)
}

// AddBankFile adds a file with its lines. Faults: Taken; Missing.
func (t *BankRows) AddBankFile(f bankfile.Brought, lines []bankfile.Kept) (int64, error) {
	before, err := Files.List(t.conn, "WHERE account = $1 AND hash = $2", f.Account, f.Hash)
	if err != nil {
		return 0, err
	}
	if len(before) > 0 {
		return 0, again(before[0])
	}
	if f.ID, err = Files.Add(t.conn, f); err != nil {
		return 0, engine.When(engine.When(err, engine.Foreign, engine.Missing("account %d", f.Account)), engine.Unique, again(f))
	}
	for i := range lines {
		lines[i].File = f.ID
		if lines[i].ID, err = t.conn.Next("bank_lines"); err != nil {
			return 0, err
		}
	}
	_, err = Lines.InsertAll(t.conn, lines, "")
	return f.ID, engine.When(err, engine.Unique, fault.New(fault.Taken, "one of its lines came meanwhile").In("file").ToMend("bring it in again"))
}

func again(f bankfile.Brought) *fault.Error {
	return fault.New(fault.Taken, "this very file was brought in on %s", f.Day.Long()).In("file").ToMend("choose another one")
}

// DropBankFile forgets a file and its lines. Faults: Missing.
func (t *BankRows) DropBankFile(id int64) error {
	if _, err := t.conn.Exec(`DELETE FROM bank_lines WHERE file = $1`, id); err != nil {
		return err
	}
	return t.conn.Change("file of the bank", id, `DELETE FROM bank_files WHERE id = $1`, id)
}

// KnownBankKeys returns which of these keys lines of an account have.
func (t *BankRows) KnownBankKeys(account int64, keys []string) (map[string]bool, error) {
	out := map[string]bool{}
	for part := range slices.Chunk(keys, table.Batch) {
		in, args := table.InList(part)
		found, err := table.Values[string](t.conn, `SELECT known_by FROM bank_lines WHERE known_by IN `+in+` AND account = `+"$"+strconv.Itoa(len(args)+1), append(args, account)...)
		if err != nil {
			return nil, err
		}
		for _, k := range found {
			out[k] = true
		}
	}
	return out, nil
}

// stands is the condition that what a line was matched to still is: a payment, money or cash that was not reversed, a payout that was not taken back. A claim
// whose payment is taken back lets go of its line by itself.
const stands = `(EXISTS (SELECT 1 FROM payments p WHERE p.id = b.payment AND p.reversed = 0)
	OR EXISTS (SELECT 1 FROM payouts y WHERE y.id = b.payout AND y.taken_back = 0)
	OR EXISTS (SELECT 1 FROM gallery_moneys m WHERE m.id = b.gallery_money AND m.reversed = 0)
	OR EXISTS (SELECT 1 FROM fair_carries v WHERE v.id = b.fair_carry AND v.reversed = 0) OR b.claim IS NOT NULL)`

// conditions on the state of a line.
var conditions = map[bankfile.State]string{
	"":               `1 = 1`,
	bankfile.Open:    `(b.state = 'open' OR b.state = 'matched' AND NOT ` + stands + `)`,
	bankfile.Matched: `b.state = 'matched' AND ` + stands,
	bankfile.Aside:   `b.state = 'aside'`,
}

// What a line was matched to is read along only while it stands; without it the line is open again.
func (t *BankRows) lines(rest string, args ...any) ([]posted.Banked, error) {
	out, err := banked.Read(t.conn, `SELECT `+Lines.Under("b")+`, COALESCE(p.order_id, 0), COALESCE(o.mark, ''), COALESCE(u.name, g.name, d.name, ''), COALESCE(g.id, 0), COALESCE(d.id, 0),
			COALESCE(o.outlet, y.outlet, g.outlet, d.outlet, 0), COALESCE(m.kind, ''), COALESCE(c.order_id, 0),
			COALESCE(CASE WHEN p.kind = 'refund' THEN -f.worth ELSE f.worth END, 0), COALESCE(f.worth_currency, ''), COALESCE(p.id, y.id, m.id, c.id, v.id, 0)
		FROM bank_lines b LEFT JOIN payments p ON p.id = b.payment AND p.reversed = 0 LEFT JOIN orders o ON o.id = p.order_id
		LEFT JOIN foreign_payments f ON f.payment = p.id
		LEFT JOIN payouts y ON y.id = b.payout AND y.taken_back = 0 LEFT JOIN outlets u ON u.id = y.outlet
		LEFT JOIN gallery_moneys m ON m.id = b.gallery_money AND m.reversed = 0 LEFT JOIN galleries g ON g.id = m.gallery
		LEFT JOIN claims c ON c.id = b.claim LEFT JOIN fair_carries v ON v.id = b.fair_carry AND v.reversed = 0 LEFT JOIN fair_days d ON d.id = v.fair_day `+rest, args)
	if err != nil {
		return nil, err
	}
	lines := make([]posted.Banked, len(out))
	for i, l := range out {
		if l.State == bankfile.Matched && l.is == 0 {
			l.State, l.Payment, l.Payout, l.Money, l.Carry = bankfile.Open, 0, 0, 0, 0
		}
		lines[i] = l.Banked
	}
	return lines, nil
}

// asIs is a line with what it is, and which of those stands; 0 = none.
type asIs struct {
	posted.Banked
	is int64
}

// banked are lines with what is read along.
var banked = table.Make("bank_lines", "line of the bank", func(b *asIs) table.Columns {
	return append(columns(&b.Kept), "order_id", &b.Order, "mark", &b.Mark, "from", &b.From, "house", &b.House, "fair", &b.Fair, "outlet", &b.Outlet, "kind", &b.Kind,
		"whole", &b.Whole, "worth", &b.Worth, "is", &b.is)
})

func kept(all []posted.Banked, err error) ([]bankfile.Kept, error) {
	var out []bankfile.Kept
	for _, b := range all {
		out = append(out, b.Kept)
	}
	return out, err
}

// BankLines returns lines, newest first.
func (t *BankRows) BankLines(q bankfile.Query) ([]bankfile.Kept, error) {
	if q.Limit == 0 {
		q.Limit = 100
	}
	return kept(t.lines(`WHERE b.account = $1 AND (b.file = $2 OR $2 = 0) AND `+conditions[q.State]+` ORDER BY b.day DESC, b.id DESC LIMIT $3 OFFSET $4`, q.Account, q.File, q.Limit, q.Skip))
}

// BankLine returns one. Faults: Missing.
func (t *BankRows) BankLine(id int64) (bankfile.Kept, error) {
	out, err := kept(t.lines(`WHERE b.id = $1`, id))
	return table.Only(out, err, "line %d of the bank", id)
}

// BankSums returns how many lines of each account are in each state.
func (t *BankRows) BankSums() ([]bankfile.Sums, error) {
	var out []bankfile.Sums
	for _, state := range bankfile.States() {
		found, err := sums.Read(t.conn, `SELECT b.account, COUNT(*), CAST(SUM(b.amount) AS BIGINT), b.amount_currency FROM bank_lines b WHERE `+conditions[state]+
			` GROUP BY b.account, b.amount_currency ORDER BY b.account`, nil)
		if err != nil {
			return nil, err
		}
		for i := range found {
			found[i].State = state
		}
		out = append(out, found...)
	}
	return out, nil
}

var sums = table.Make("bank_sums", "sums", func(s *bankfile.Sums) table.Columns {
	return table.Columns{"account", &s.Account, "lines", &s.Lines, "amount", &s.Amount}
})

// SayBankLine keeps what was said of a line. Faults: Missing; Taken.
func (t *BankRows) SayBankLine(l bankfile.Kept) error {
	// What no longer stands lets its line go.
	if _, err := t.conn.Exec(`UPDATE bank_lines SET state = 'open', payment = NULL, payout = NULL, gallery_money = NULL, fair_carry = NULL WHERE id <> $1 AND id IN (
		SELECT b.id FROM bank_lines b WHERE b.state = 'matched' AND (b.payment = $2 OR b.payout = $3 OR b.gallery_money = $4 OR b.fair_carry = $5) AND NOT `+stands+`)`,
		l.ID, l.Payment, l.Payout, l.Money, l.Carry); err != nil {
		return err
	}
	t.conn.Touch(ledger.BankLine, l.ID)
	if err := t.conn.TouchAll(ledger.FairDay, `SELECT c.fair_day FROM fair_carries c WHERE c.id = $2 OR c.id IN (SELECT fair_carry FROM bank_lines WHERE id = $1)`, l.ID, l.Carry); err != nil {
		return err
	}
	err := t.conn.Change("line of the bank", l.ID, `UPDATE bank_lines SET state = $2, payment = $3, why = $4, said_at = $5, who = $6, payout = $7, gallery_money = $8, claim = $9, fair_carry = $10
		WHERE id = $1`, l.ID, l.State, table.Optional(l.Payment), l.Why, l.At, l.Who, table.Optional(l.Payout), table.Optional(l.Money), table.Optional(l.Claim), table.Optional(l.Carry))
	return engine.When(err, engine.Unique, fault.New(fault.Taken, "another line of the bank is that already").In("line").ToMend("look at what is matched"))
}

// BankEvents returns what lines of the bank ought to have in the journal.
func (t *BankRows) BankEvents(ids []int64) (map[int64][]ledger.Event, error) {
	in, args := table.InList(ids)
	all, err := t.lines(`WHERE b.id IN `+in, args...)
	if err != nil || len(all) == 0 {
		return nil, err
	}
	opened, err := t.openings()
	out := make(map[int64][]ledger.Event, len(all))
	for _, b := range all {
		b.Opened = opened.of(b.Account)
		out[b.ID] = posted.Bank(b)
	}
	return out, err
}

// Unbanked returns payments that stand, that no line is matched to, and that came with no payout, by id; a refund may have gone after one.
func (t *BankRows) Unbanked(from, to calendar.Day) ([]order.Payment, error) {
	return orders.Payments.Read(t.conn, `SELECT `+orders.Payments.Under("p")+` FROM payments p WHERE p.reversed = 0 AND p.day >= $1 AND p.day <= $2
		AND NOT EXISTS (SELECT 1 FROM bank_lines b WHERE b.payment = p.id)
		AND (p.kind = 'refund' OR NOT EXISTS (SELECT 1 FROM payout_parts x WHERE x.order_id = p.order_id AND x.taken_back = 0)) ORDER BY p.id`, []any{from, to})
}

// UnbankedPayouts returns payouts that stand and that no line is matched to, by id.
func (t *BankRows) UnbankedPayouts(from, to calendar.Day) ([]charging.Payout, error) {
	return payouts.Payouts.List(t.conn, `WHERE taken_back = 0 AND day >= $1 AND day <= $2 AND NOT EXISTS (SELECT 1 FROM bank_lines b WHERE b.payout = payouts.id) ORDER BY id`, from, to)
}

// UnbankedMoneys returns money of galleries that stands and that no line is matched to, by id.
func (t *BankRows) UnbankedMoneys(from, to calendar.Day) ([]domain.Money, error) {
	return consign.Moneys.List(t.conn, `WHERE reversed = 0 AND day >= $1 AND day <= $2 AND NOT EXISTS (SELECT 1 FROM bank_lines b WHERE b.gallery_money = gallery_moneys.id) ORDER BY id`, from, to)
}

// UnbankedClaims returns claims that were paid and that no line is matched to, by id.
func (t *BankRows) UnbankedClaims(from, to calendar.Day) ([]claim.Claim, error) {
	return claims.Claims.List(t.conn, `WHERE paid > 0 AND paid_on >= $1 AND paid_on <= $2 AND NOT EXISTS (SELECT 1 FROM bank_lines b WHERE b.claim = claims.id) ORDER BY id`, from, to)
}

// UnbankedCarries returns cash that was carried to the bank, and that no line is matched to, by id.
func (t *BankRows) UnbankedCarries(from, to calendar.Day) ([]fair.Carry, error) {
	return fairs.Carries.List(t.conn, `WHERE reversed = 0 AND day >= $1 AND day <= $2 AND NOT EXISTS (SELECT 1 FROM bank_lines b WHERE b.fair_carry = fair_carries.id) ORDER BY id`, from, to)
}

// BankedAbroad returns what the bank made of payments that came in another currency, by payment, where a line in the book's currency is matched to one.
func (t *BankRows) BankedAbroad() (map[int64]money.Amount, error) {
	out := map[int64]money.Amount{}
	return out, t.conn.Each(`SELECT f.payment, b.amount, b.amount_currency FROM bank_lines b JOIN foreign_payments f ON f.payment = b.payment
		WHERE b.state = 'matched' AND b.amount_currency = f.worth_currency`, nil, func(rows *sql.Rows) error {
		var id int64
		var a money.Amount
		err := rows.Scan(&id, &a.Minor, &a.Currency)
		out[id] = a
		return err
	})
}

// BankedOrders returns which of these orders have a payment that a line is matched to.
func (t *BankRows) BankedOrders(ids []int64) (out []int64, err error) {
	for part := range slices.Chunk(ids, table.Batch) {
		in, args := table.InList(part)
		found, err := table.Values[int64](t.conn, `SELECT DISTINCT p.order_id FROM bank_lines b JOIN payments p ON p.id = b.payment AND p.reversed = 0 WHERE b.state = 'matched' AND p.order_id IN `+in+` ORDER BY p.order_id`, args...)
		if err != nil {
			return nil, err
		}
		out = append(out, found...)
	}
	return out, nil
}

// Payment returns one. Faults: Missing.
func (t *BankRows) Payment(id int64) (order.Payment, error) {
	out, err := orders.Payments.List(t.conn, "WHERE id = $1", id)
	return table.Only(out, err, "payment %d", id)
}
