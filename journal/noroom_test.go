//go:build unix

package journal_test

import (
	"bytes"
	"database/sql"
	"math/rand/v2"
	"os"
	"os/exec"
	"os/signal"
	"slices"
	"strings"
	"syscall"
	"testing"

	_ "github.com/jackc/pgx/v5/stdlib" // to let its server run out of room

	"solander/bankfile"
	"solander/banking"
	"solander/billing"
	"solander/book"
	"solander/calendar"
	"solander/claims"
	"solander/consign"
	"solander/consigning"
	"solander/currencies"
	"solander/fairs"
	"solander/fault"
	"solander/house"
	"solander/intake/csvfile"
	"solander/internal/bed"
	"solander/invoice"
	"solander/journal"
	"solander/money"
	"solander/order"
	"solander/payouts"
	"solander/years"
)

// TestNoRoomWhileMoneyIsNoted lets the disk run out of room in the midst of every kind of deed of money, in each part of its writing. Each time it is said
// that there is no room, and the studio is what it was before, to the byte of its copy; when there is room, the deed is done, and papers of money are
// numbered as if nothing had been.
func TestNoRoomWhileMoneyIsNoted(t *testing.T) {
	if testing.Short() {
		t.Skip("long: make test runs it")
	}
	for name, open := range engines {
		if *engine != "" && *engine != name {
			continue
		}
		t.Run(name, func(t *testing.T) {
			if name == "sqlite" && os.Getenv(alone) == "" {
				inAProcessOfItsOwn(t)
				return
			}
			b := open(t)
			b.Studio.Files = csvfile.Read
			u := &undoing{Bed: b, t: t, did: map[string]int{}}
			u.chance = rand.New(rand.NewPCG(61, 0))
			u.prepare()
			full := map[string]func(*testing.T, *bed.Bed, string, func() error){"sqlite": fullFile, "postgres": fullServer}[name]
			deeds := u.moneyDeeds()
			for _, d := range deeds {
				full(t, b, d.table, func() error {
					err := d.do()
					if err != nil && !(fault.Is(err, fault.Refused) && strings.Contains(err.Error(), "no room")) {
						t.Fatalf("%s: %s", d.name, bed.Deep(err))
					}
					return err
				})
				b.Sound()
			}
			rebalanced(t, b.Studio, len(deeds))
			for kind, want := range map[invoice.Kind][]string{invoice.Invoice: {"I-1", "I-2"}, invoice.Receipt: {"R-1", "R-2"}, invoice.Credit: {"C-1", "C-2"}} {
				page, err := billing.List(b.Ctx, b.Studio, invoice.Query{Kind: kind})
				b.Must(err)
				var got []string
				for _, x := range page.Bills {
					got = append(got, x.Label())
				}
				if slices.Sort(got); !slices.Equal(got, want) {
					t.Errorf("the papers are %v, want %v", got, want)
				}
			}
		})
	}
}

// alone says in the environment that this process writes nothing else, which a limit on its files would keep from it.
const alone = "SOLANDER_NO_ROOM_ALONE"

func inAProcessOfItsOwn(t *testing.T) {
	t.Helper()
	cmd := exec.Command(os.Args[0], "-test.run", "^TestNoRoomWhileMoneyIsNoted$", "-histories-on", "sqlite", "-test.v")
	cmd.Env = append(os.Environ(), alone+"=1")
	out, err := cmd.CombinedOutput()
	if err != nil || !strings.Contains(string(out), "--- PASS: TestNoRoomWhileMoneyIsNoted/sqlite") {
		t.Errorf("%v: %s", err, out)
	}
}

// moneyDeed is a deed in one transaction, with a table that it writes.
type moneyDeed struct {
	name, table string
	do          func() error
}

// moneyDeeds are deeds of each kind, in the order in which they can be done.
func (u *undoing) moneyDeeds() []moneyDeed {
	ctx, s := u.Ctx, u.Studio
	due, whole, far := u.Order(u.due[0]), u.Order(u.paid[0]), u.abroad[0]
	only := func(_ any, err error) error { return err }
	bill := func(kind invoice.Kind, id int64) func() error {
		return func() error { return only(billing.Write(ctx, s, billing.WriteIn{Kind: kind, Order: id})) }
	}
	credit := func(i int) func() error {
		return func() error {
			page, err := billing.List(ctx, s, invoice.Query{Kind: invoice.Invoice})
			if err != nil {
				return err
			}
			return only(billing.Correct(ctx, s, billing.CorrectIn{Bill: page.Bills[i].ID, Amount: bed.USD(1_00), Reason: "a crease"}))
		}
	}
	line := func(name string) int64 {
		for _, l := range got[[]bankfile.Kept](u)(banking.Lines(ctx, s, bankfile.Query{Account: u.account, State: bankfile.Open, Limit: 100})) {
			if l.Name == name {
				return l.ID
			}
		}
		u.t.Fatalf("there is no line %q", name)
		return 0
	}
	payout := got[payouts.View](u)(payouts.Take(ctx, s, payouts.Payout{Outlet: u.Market.ID, Net: bed.USD(u.Order(u.market[1]).Due.Minor / 2), Orders: []int64{u.market[1]}}))
	there := got[[]consign.Print](u)(consigning.Send(ctx, s, consigning.SendIn{Gallery: u.gallery, Prints: []consigning.SendPrint{{Edition: u.Heron.ID}}}))
	got[consign.Print](u)(consigning.End(ctx, s, consigning.EndIn{Print: there[0].ID, State: consign.Sold}))
	rest := u.Order(u.due[1])
	file := []byte("Date,Amount,Name\n2026-03-04," + payout.Net.Plain() + ",paid out\n2026-03-04," + rest.Owed.Plain() + ",owed\n")
	bring := func() error {
		return only(banking.Bring(ctx, s, banking.BringIn{Account: u.account, Name: "a.csv", Body: file}))
	}
	return []moneyDeed{
		{"a payment", "payments", func() error { return book.Pay(ctx, s, book.PaymentIn{Order: due.ID, Amount: bed.USD(1_00)}) }},
		{"a payment in another currency", "foreign_payments", func() error {
			return only(book.TakeAbroad(ctx, s, book.PaymentIn{Order: far, Amount: money.Of(1_00, "EUR"), Worth: bed.Ptr(bed.USD(1_30))}))
		}},
		{"a refund", "payments", func() error {
			return book.Pay(ctx, s, book.PaymentIn{Order: whole.ID, Kind: order.Refund, Amount: bed.USD(1_00)})
		}},
		{"an order agreed", "agreements", func() error {
			return only(currencies.Agree(ctx, s, currencies.AgreeIn{Order: u.due[2], Currency: "EUR"}))
		}},
		{"an invoice", "bills", bill(invoice.Invoice, whole.ID)},
		{"another invoice", "bills", bill(invoice.Invoice, due.ID)},
		{"a receipt", "bills", bill(invoice.Receipt, u.paid[1])},
		{"another receipt", "bills", bill(invoice.Receipt, u.paid[2])},
		{"a credit note", "bills", credit(0)},
		{"another credit note", "bills", credit(1)},
		{"a payout", "payout_parts", func() error {
			return only(payouts.Take(ctx, s, payouts.Payout{Outlet: u.Market.ID, Net: bed.USD(u.Order(u.market[0]).Due.Minor / 2), Orders: []int64{u.market[0]}}))
		}},
		{"a file of the bank", "bank_lines", bring},
		{"a line of the bank", "entry_lines", func() error {
			return banking.Match(ctx, s, []banking.MatchIn{{Line: line("paid out"), Payout: payout.ID}})
		}},
		{"a line of the bank that pays an order", "payments", func() error { return banking.Match(ctx, s, []banking.MatchIn{{Line: line("owed"), Order: rest.ID}}) }},
		{"money of a gallery", "gallery_moneys", func() error {
			return only(consigning.NoteMoney(ctx, s, consigning.MoneyIn{Gallery: u.gallery, Kind: consign.Paid, Amount: bed.USD(5_00)}))
		}},
		{"a claim that gives prints up", "claims", func() error {
			return only(claims.Refund(ctx, s, claims.RefundIn{Claim: u.claimed[0], Amount: bed.USD(2_00), Reason: "crushed"}))
		}},
		{"the same taken back", "payments", func() error { return only(claims.TakeBack(ctx, s, u.claimed[0])) }},
		{"a count of the cash box", "entries", func() error {
			return only(fairs.Count(ctx, s, fairs.CountIn{Day: u.table, Counted: bed.USD(120_00), Why: "wrong change"}))
		}},
		{"an opening balance", "entries", func() error {
			return years.Open(ctx, s, years.OpeningIn{Account: "cash", Amount: bed.USD(9_00), Day: calendar.Date(2026, 3, 1)})
		}},
		{"a period closed", "closed_periods", func() error { return only(journal.Close(ctx, s, calendar.Date(2026, 3, 2))) }},
	}
}

// copyOf is a copy of the studio.
func copyOf(b *bed.Bed) []byte {
	b.Helper()
	var out bytes.Buffer
	b.Must(house.Backup(b.Ctx, b.Studio, &out))
	return out.Bytes()
}

// fullFile does a deed with room for more and more of what it writes, until all of it has.
func fullFile(t *testing.T, b *bed.Bed, table string, do func() error) {
	t.Helper()
	db, err := sql.Open("sqlite", b.Path)
	b.Must(err)
	defer db.Close()
	_, err = db.Exec(`PRAGMA wal_checkpoint(TRUNCATE)`) // so that what is written begins at nothing
	b.Must(err)
	b.Must(db.Close())
	signal.Ignore(syscall.SIGXFSZ) // else the process would be ended for it
	defer signal.Reset(syscall.SIGXFSZ)
	var was syscall.Rlimit
	b.Must(syscall.Getrlimit(syscall.RLIMIT_FSIZE, &was))
	before := copyOf(b)
	const step = 3 * 4096
	for room := uint64(100); ; room += step {
		b.Must(syscall.Setrlimit(syscall.RLIMIT_FSIZE, &syscall.Rlimit{Cur: room, Max: was.Max}))
		err := do()
		b.Must(syscall.Setrlimit(syscall.RLIMIT_FSIZE, &was))
		if err == nil {
			if room == 100 {
				t.Errorf("%s were written without room", table)
			}
			return
		}
		if !bytes.Equal(copyOf(b), before) {
			t.Fatalf("with room for %d bytes something of %s is left", room, table)
		}
		if room > 100*step {
			t.Fatalf("there is never room for %s", table)
		}
	}
}

// fullServer does a deed with no room when it is committed, as a server says it, and then with room.
// Source of the code: postgresql.org/docs/current/errcodes-appendix.html, 53100 disk_full (from memory).
func fullServer(t *testing.T, b *bed.Bed, table string, do func() error) {
	t.Helper()
	db, err := sql.Open("pgx", b.Path)
	b.Must(err)
	defer db.Close()
	before := copyOf(b)
	for _, q := range []string{
		`CREATE FUNCTION no_room() RETURNS trigger LANGUAGE plpgsql AS $$ BEGIN RAISE EXCEPTION 'No space left on device' USING ERRCODE = '53100'; END $$`,
		`CREATE CONSTRAINT TRIGGER no_room AFTER INSERT OR UPDATE ON ` + table + ` DEFERRABLE INITIALLY DEFERRED FOR EACH ROW EXECUTE FUNCTION no_room()`,
	} {
		_, err := db.Exec(q)
		b.Must(err)
	}
	failed := do()
	_, err = db.Exec(`DROP FUNCTION no_room CASCADE`)
	b.Must(err)
	if failed == nil {
		t.Fatalf("%s were written without room", table)
	}
	if !bytes.Equal(copyOf(b), before) {
		t.Fatalf("something of %s is left", table)
	}
	b.Must(do())
}
