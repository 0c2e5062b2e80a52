package store

import (
	"time"

	"solander/ledger"
	"solander/store/accounts"
	"solander/store/attest"
	"solander/store/bank"
	"solander/store/bills"
	"solander/store/claims"
	"solander/store/consign"
	"solander/store/copying"
	"solander/store/digests"
	"solander/store/fairs"
	"solander/store/feeds"
	"solander/store/house"
	"solander/store/intakes"
	"solander/store/journal"
	"solander/store/leaves"
	"solander/store/numbers"
	"solander/store/orders"
	"solander/store/parcels"
	"solander/store/payouts"
	"solander/store/phones"
	"solander/store/pictures"
	"solander/store/privacy"
	"solander/store/rates"
	"solander/store/rota"
	"solander/store/stocks"
	"solander/store/table"
	"solander/store/taxes"
	"solander/store/words"
	"solander/store/years"
	"solander/studio"
	"solander/upkeep"
)

// The rooms of the tables, each of which keeps one of studio's small stores.
type (
	settingsRows  = house.SettingsRows
	catalogueRows = numbers.CatalogueRows
	registerRows  = numbers.RegisterRows
	orderRows     = orders.OrderRows
	peopleRows    = orders.PeopleRows
	markRows      = orders.MarkRows
	supplyRows    = stocks.SupplyRows
	parcelRows    = parcels.ParcelRows
	feedRows      = feeds.FeedRows
	intakeRows    = intakes.IntakeRows
	pictureRows   = pictures.PictureRows
	accountRows   = accounts.AccountRows
	phoneRows     = phones.PhoneRows
	bankRows      = bank.BankRows
	consignRows   = consign.ConsignRows
	claimRows     = claims.ClaimRows
	payoutRows    = payouts.PayoutRows
	exchangeRows  = rates.ExchangeRows
	fairRows      = fairs.FairRows
	attestRows    = attest.AttestRows
	rotaRows      = rota.RotaRows
	copyRows      = copying.CopyRows
	privacyRows   = privacy.PrivacyRows
	journalRows   = journal.JournalRows
	billRows      = bills.BillRows
	taxRows       = taxes.TaxRows
	yearRows      = years.YearRows
	leafRows      = leaves.LeafRows
	digestRows    = digests.DigestRows
)

// tx is one transaction: studio.Tx. All that is in it works on one connection, and on one index of words.
type tx struct {
	conn  *table.Conn
	index *words.Index

	*settingsRows
	*catalogueRows
	*registerRows
	*orderRows
	*peopleRows
	*markRows
	*supplyRows
	*parcelRows
	*feedRows
	*intakeRows
	*pictureRows
	*accountRows
	*phoneRows
	*bankRows
	*consignRows
	*claimRows
	*payoutRows
	*exchangeRows
	*fairRows
	*attestRows
	*rotaRows
	*copyRows
	*privacyRows
	*journalRows
	*billRows
	*taxRows
	*yearRows
	*leafRows
	*digestRows

	hasty    bool
	unposted bool
}

var _ studio.Tx = (*tx)(nil)

// between is what is kept between transactions that read, while nothing is written.
type between struct {
	orders orders.Kept
	buyers orders.KeptBuyers
	sales  numbers.KeptSales
}

func newTx(c *table.Conn, k *between, opt Options, by digests.By) *tx {
	index, settings, log := words.New(c), house.New(c), leaves.New(c, opt.Chance)
	book := orders.New(c, index, settings, &k.orders)
	stock, galleries, lines := stocks.New(c), consign.New(c), bank.New(c)
	tables, claimed := fairs.New(c, book, lines.Carried), claims.New(c)
	return &tx{
		conn: c, index: index,
		settingsRows:  settings,
		catalogueRows: numbers.Catalogue(c, index, log),
		registerRows:  numbers.Register(c, &k.sales, log),
		orderRows:     book,
		peopleRows:    orders.People(c, index, book, &k.buyers),
		markRows:      orders.Bench(c),
		supplyRows:    stock,
		parcelRows:    parcels.New(c, index),
		feedRows:      feeds.New(c),
		intakeRows:    intakes.New(c),
		pictureRows:   pictures.New(c),
		accountRows:   accounts.New(c),
		phoneRows:     phones.New(c),
		bankRows:      lines,
		consignRows:   galleries,
		claimRows:     claimed,
		payoutRows:    payouts.New(c),
		exchangeRows:  rates.New(c),
		fairRows:      tables,
		attestRows:    attest.New(c),
		rotaRows:      rota.New(c),
		copyRows:      copying.New(c),
		privacyRows:   privacy.New(c, index, book.Forget),
		journalRows: journal.New(c, settings, book, stock,
			journal.Source{Kind: consign.Subject, Events: galleries.ConsignmentEvents, All: `SELECT id FROM consignments ORDER BY id`, Costs: true},
			journal.Source{Kind: ledger.BankLine, Events: lines.BankEvents, All: `SELECT id FROM bank_lines WHERE state = 'matched' ORDER BY id`},
			journal.Source{Kind: consign.MoneySubject, Events: galleries.GalleryMoneyEvents, All: `SELECT id FROM gallery_moneys ORDER BY id`},
			journal.Source{Kind: ledger.FairDay, Events: tables.Events, All: `SELECT id FROM fair_days ORDER BY id`, OfOrders: fairs.OfOrders, Of: fairs.Days.Name},
			journal.Source{Kind: ledger.Claim, Events: claimed.ClaimEvents, All: `SELECT id FROM claims ORDER BY id`}),
		billRows:   bills.New(c),
		taxRows:    taxes.New(c),
		leafRows:   log,
		digestRows: digests.New(c, opt.Hasty, by, log.Head),
		hasty:      opt.Hasty,
		yearRows:   years.New(c),
	}
}

// Now is the instant of the transaction, UTC, in whole microseconds.
func (t *tx) Now() time.Time { return t.conn.Now() }

// Writes is how many transactions wrote so far; see studio.Tx.
func (t *tx) Writes() (n int64, err error) {
	_, err = t.conn.One(`SELECT writes FROM high_water`, nil, &n)
	return n, err
}

// run does the work of a write, and what is kept at its end. When a statement failed and the work went on, it is a
// failure all the same: nothing of it may be kept. The words come last: SQLite writes an index of words out whenever a statement of
// several rows follows.
func (t *tx) run(f func(*tx) error) error {
	failed := func() error { err, _ := t.conn.Failed(); return err }
	for _, do := range []func() error{t.stays, func() error { return f(t) }, t.posted, t.conn.KeepHeaps, t.conn.KeepCounters, t.KeepCounts, t.index.Keep, t.conn.Settle, t.digested, t.conn.Finish, failed} {
		if err := do(); err != nil {
			return err
		}
	}
	return nil
}

// posted enters in the journal what happened.
func (t *tx) posted() error {
	if t.unposted {
		return nil
	}
	return t.journalRows.Keep()
}

// digested makes the digests of the rows that were touched. A store that is filled in one go leaves that to its end.
func (t *tx) digested() error {
	switch {
	case t.hasty:
		return t.Leave()
	case t.conn.Changes() == 0 && !t.Taking():
		return nil
	}
	return t.KeepDigests()
}

// stays refuses to write in a studio that was left for another machine, but what is about that.
func (t *tx) stays() error {
	if upkeep.AboutLeaving(t.conn.Context()) {
		return nil
	}
	l, err := t.LeftFor()
	if err != nil || l.At.IsZero() {
		return err
	}
	return l.Refused()
}
