package studio

import (
	"context"
	"errors"
	"io"
	"time"

	"solander/access"
	"solander/bankfile"
	"solander/calendar"
	"solander/certificate"
	"solander/charging"
	"solander/claim"
	"solander/consign"
	"solander/disclosure"
	"solander/earnings"
	"solander/edition"
	"solander/exchange"
	"solander/fair"
	"solander/feed"
	"solander/intake/kept"
	"solander/invoice"
	"solander/ledger"
	"solander/measure"
	"solander/order"
	"solander/owing"
	"solander/picture"
	"solander/sealog"
	"solander/supply"
	"solander/tax"
	"solander/upkeep"
	"solander/yearly"
)

// ErrDamaged is among the causes of a fault when what was kept cannot be read any more.
var ErrDamaged = errors.New("what was kept is damaged")

// Store keeps one studio. Package store implements it on SQLite and on PostgreSQL; package storetest
// holds what every implementation must do.
type Store interface {
	// Write runs f in one transaction and commits it when f returns nil; otherwise nothing of it is
	// kept. When the engine asks for it (a serialisation failure, a busy database, a lost race for a
	// turn of the register) f is run again from the start, so it must have no effect of its own.
	// Faults: f's own; Busy when it could not be written for too long; Unsure when the engine went away
	// while it committed, and nobody knows whether it stands.
	Write(ctx context.Context, f func(Tx) error) error
	// Read runs f on one consistent state of the store. Writing inside it is a fault.
	// Faults: f's own; Busy when the engine cannot be reached or asked for too long.
	Read(ctx context.Context, f func(Tx) error) error
	// Dump writes a consistent copy of every table while the store is in use. The form is the same
	// for all engines and described in docs/formats/backup.md.
	Dump(ctx context.Context, w io.Writer) error
	// Load fills an empty store from what Dump wrote, in one transaction. Faults: Refused when the
	// store is not empty, Invalid when the copy is damaged or of another version.
	Load(ctx context.Context, r io.Reader) error
	// Heed calls heard after each write, by whatever program it was made, until ctx ends or the engine goes away; heard may be called in
	// vain. tells is false, at once, where the engine tells nobody: then Writes is to be asked now and again.
	Heed(ctx context.Context, heard func()) (tells bool, err error)
	// Integrity asks the engine itself whether the database is sound; one sentence a finding.
	Integrity(ctx context.Context) ([]string, error)
	// Wipe writes the store's files anew, so that nothing of what was erased is left in them. Whoever reads or writes may have to wait.
	// Faults: Busy when others kept it from being done; then it is to be done again.
	Wipe(ctx context.Context) error
	// Cipher says what is kept in cipher.
	Cipher(ctx context.Context) (upkeep.Cipher, error)
	// SetCipher keeps in cipher what is chosen from now on, all of what is there as well, and then wipes. With newKey it takes a new key; the
	// old one opens nothing any more but older copies. It makes the key's file when there is none. Faults: Refused; those of Write and Wipe.
	SetCipher(ctx context.Context, secrets, people, newKey bool) error
	// RegisterKey says where the register's key lies, and what opens it here.
	RegisterKey() sealog.KeyPlace
	// Vouched says how the rows beside the register are vouched for. VouchRows takes them on as they stand, by the key of the rows or by a new one when it is
	// lost, and does more in the same transaction. Faults: Refused where the key has no place; those of Write.
	Vouched(ctx context.Context) (sealog.Vouched, error)
	VouchRows(ctx context.Context, more func(Tx) error) error
	// CheckpointFile is where the newest checkpoint is kept outside the store; "" = nowhere.
	CheckpointFile() string
	// Place says in words where the store is, without any password.
	Place() string
	Close() error
}

// Tx is one transaction, made of small stores. What is asked for by id and does not exist is a
// fault.Missing, never a zero value.
type Tx interface {
	// Now is the one instant of this transaction.
	Now() time.Time
	// Writes counts the transactions that wrote into this store so far, whatever program made them. It is the same only while
	// nothing is written; in a copy that was restored it begins anew.
	Writes() (int64, error)

	SettingsStore
	CatalogueStore
	RegisterStore
	sealog.Store
	OrderStore
	PeopleStore
	SupplyStore
	ParcelStore
	MarkStore
	feed.Store
	kept.Store
	picture.Store
	access.Store
	access.PhoneStore
	bankfile.BankStore
	ConsignStore
	claim.Store
	charging.PayoutStore
	ExchangeStore
	fair.Store
	disclosure.Store
	certificate.Store
	upkeep.RotaStore
	upkeep.CopyStore
	upkeep.PrivacyStore
	ledger.Store
	earnings.Store
	invoice.Store
	owing.Store
	tax.Store
	yearly.Store
}

// ConsignStore keeps galleries and what they have.
type ConsignStore = consign.Store

// ExchangeStore keeps rates of exchange.
type ExchangeStore = exchange.Store

// SettingsStore keeps what the studio chose. See Settings.
type SettingsStore interface {
	// Settings returns the studio's settings; the zero Settings before set-up.
	Settings() (Settings, error)
	SaveSettings(Settings) error
	Outlets() ([]order.Outlet, error)       // by name
	Outlet(id int64) (order.Outlet, error)  //
	SaveOutlet(order.Outlet) (int64, error) // ID 0 adds one; Taken when the name is in use
	Cards() ([]StoredCard, error)           // the studio's own price cards
	SaveCard(StoredCard) error              // by ID; replaces
	DropCard(id string) error
}

// CatalogueStore keeps works and editions. Limit and proofs of an edition cannot be changed by any
// path: the database refuses it too.
type CatalogueStore interface {
	Works() ([]edition.Work, error) // by title
	Work(id int64) (edition.Work, error)
	SaveWork(edition.Work) (int64, error)
	Editions() ([]edition.Edition, error) // by title, size, grade
	Edition(id int64) (edition.Edition, error)
	// Declare adds an edition and one register row per number and proof, all free.
	Declare(edition.Edition) (int64, error)
	// Reprice changes price, price steps and print cost; CloseEdition ends it.
	Reprice(edition.Edition) error
	CloseEdition(id int64) error
	Closings(edition int64) ([]edition.Closing, error) // oldest first
	// AddClosing keeps that an edition was closed or cancelled. Faults: Missing; Taken when it was already.
	AddClosing(edition.Closing) (int64, error)
}

// NumberRow is one number of an edition as it stands, with the order that holds it.
type NumberRow struct {
	Number    edition.Number
	Standing  edition.Standing
	OrderMark string // of the holder, or of the order it was last sent with; "" = none
	Order     int64
	Buyer     string
	Day       calendar.Day // of its latest entry
}

// NumberKey is a number of an edition.
type NumberKey struct {
	Edition int64
	Number  edition.Number
}

// RegisterStore keeps the register: entries are only ever added.
type RegisterStore interface {
	// Append adds an entry and moves the number's standing along; Seq, At are given by the store.
	// Faults: Taken when the turn, or the number, was taken by another writer.
	Append(edition.Entry) (edition.Entry, error)
	Standing(ed int64, n edition.Number) (edition.Standing, error)
	// Foresee reads at once what Append, Standing and History will ask of numbers and of the lines that take them: whoever
	// enters steps of many calls it first. It changes no answer; what is not there is told by whoever asks.
	Foresee(numbers []NumberKey, lines []int64) error
	// Lowest returns the lowest number of a kind that a line may have: free, or signed and unheld.
	// It takes the edition's lock, so that two takers never choose the same one in vain.
	// Faults: Refused when none is left.
	Lowest(ed int64, kind edition.Kind) (edition.Number, error)
	// LowestCommon returns the lowest numbered impression available in every one of the editions.
	LowestCommon(eds []int64) (edition.Number, error)
	Numbers(ed int64) ([]NumberRow, error) // numbered first, then proofs; ascending
	// NumbersIn returns the numbers that are asked for, ascending.
	NumbersIn(q NumberQuery) ([]NumberRow, error)
	// NumberStarts divides the numbers that are asked for into parts of so many, and returns with which each part begins.
	NumberStarts(q NumberQuery, every int) ([]int, error)
	// NumberLots counts the numbers of an edition by kind and lot; kinds that it has not are left out.
	NumberLots(ed int64) (map[edition.Kind]map[edition.Lot]int, error)
	History(ed int64, n edition.Number) ([]edition.Entry, error)
	// Counts returns how many numbers of each edition are in each state (unheld signed ones under
	// "signed" too), for all editions at once.
	Counts() (map[int64]map[edition.State]int, error)
	// Sold returns how many numbered impressions (or, of an open edition, lines) were ever promised
	// and not released: what price steps go by.
	Sold(ed int64) (int, error)
	// SoldDays returns what was sold of an edition, proofs left out, by the day on which it was placed and the price, ascending:
	// lines that were dropped, and orders that were cancelled, called off or came back whole, are no sales.
	SoldDays(ed int64) ([]SoldDay, error)
	SoldByDay() (map[int64]map[calendar.Day]int, error) // the same of all editions of which something was sold, at whatever price
	// Unsold returns how many numbered impressions Lowest can still give; of an open edition, none.
	Unsold(ed int64) (int, error)
	// Entries returns up to limit entries after seq, in order.
	Entries(after int64, limit int) ([]edition.Entry, error)
}

// OrderQuery says which orders are wanted; zero fields do not restrict.
type OrderQuery struct {
	State  order.State
	Outlet int64
	Buyer  int64
	Text   string // in mark, reference, buyer, e-mail, city, title or number
	Before int64  // orders with a smaller id than this, for paging; newest first
	Limit  int    // 0 = 50
}

// OrderStore keeps buyers, orders, lines and payments.
type OrderStore interface {
	Buyer(id int64) (order.Buyer, error)
	BuyersByID(ids []int64) (map[int64]order.Buyer, error) // those that are there
	Buyers(text string, limit int) ([]order.Buyer, error)
	SaveBuyer(order.Buyer) (int64, error)
	// AddOrder adds an order with its lines and gives it id, mark and line ids.
	// Faults: Taken when the outlet has an order of that reference already.
	AddOrder(order.Order) (order.Order, error)
	AddOrders([]order.Order) ([]order.Order, error) // the same of many, quicker
	// CallOff ends orders as if they had never been: cancelled on a day, no reference, no override, no choice, no wait, their lines dropped and neither
	// signed nor sent, their payments reversed. What the register says of their numbers is not touched. Faults: Missing.
	CallOff(ids []int64, on calendar.Day) error
	// Order reads an order whole: lines with what the register says of them, payments, override.
	Order(id int64) (order.Order, error)
	OrdersByID(ids []int64) ([]order.Order, error) // each asked for once; in that order; Missing when one is not there
	OrderByMark(mark string) (order.Order, error)
	OrderByLine(line int64) (order.Order, error)
	// OrderByRef returns the order that an outlet knows by this reference, exactly as written; by index.
	OrderByRef(outlet int64, ref string) (order.Order, error)
	// OpenOrders returns all open orders whole, by promise.
	OpenOrders() ([]order.Order, error)
	Orders(q OrderQuery) ([]order.Order, error)
	// SaveOrder saves everything of the order itself, not its lines or payments.
	SaveOrder(order.Order) error
	// SaveLine saves what is the line's own: number, price, dropped, and of an open edition signed,
	// signed day and sent. Which parcel it is in is told by AddParcel, SaveParcel and DropParcel.
	SaveLine(order.Line) error
	AddLine(order.Line) (int64, error)
	AddPayment(order.Payment) (int64, error)
	AddPayments([]order.Payment) error // the same of many, quicker
	ReversePayment(id int64) error
}

// SupplyStore keeps the drawer, the shelf and the lab runs.
type SupplyStore interface {
	Runs(openOnly bool) ([]supply.Run, error) // with receipts; newest first
	Run(id int64) (supply.Run, error)
	AddRun(supply.Run) (int64, error)
	CloseRun(id int64) error
	ReopenRun(id int64) error // when the receipt that completed it is taken back
	// AddReceipt adds a part of a run. A receipt taken back is a second one with negative counts; the
	// sums of a run never are.
	AddReceipt(supply.Receipt) (int64, error)

	OnHand() (map[int64]int, error) // sheets in the drawer by edition
	// AddMove adds a move and keeps the sum. Faults: Refused when the stock would fall below nothing.
	AddMove(supply.Move) error
	Moves(kind supply.MoveKind, of int64, limit int) ([]supply.Move, error) // newest first

	Shelf() ([]ShelfItem, error) // by kind and name, with stock
	ShelfItem(id int64) (ShelfItem, error)
	SaveShelfItem(ShelfItem) (int64, error) // never its stock: see AddMove; Taken when its key is in use
}

// ParcelStore keeps parcels and hand-overs.
type ParcelStore interface {
	AddParcel(Parcel) (int64, error)
	Parcel(id int64) (Parcel, error)
	// Parcels returns the parcels that hold lines of an order, by id.
	Parcels(orderID int64) ([]Parcel, error)
	// OpenParcels returns all parcels that are not handed over.
	OpenParcels() ([]Parcel, error)
	// ParcelsTracked returns the parcels with this tracking number, exactly as kept; by index.
	ParcelsTracked(tracking string) ([]Parcel, error)
	// Weighings returns the latest parcels of a wrap that were weighed, newest first, at most so many: those packed since the wrap weighed
	// so much by itself, which is since the last that was packed when it weighed otherwise.
	Weighings(wrap string, own measure.Mass, limit int) ([]Weighing, error)
	SaveParcel(Parcel) error
	DropParcel(id int64) error // only one that was never handed over
	AddHandOver(HandOver) (int64, error)
	HandOvers(limit int) ([]HandOver, error) // newest first
	HandOver(id int64) (HandOver, []Parcel, error)
	// Went returns what the parcels went by that were handed over on a day or later and for which something was paid.
	Went(since calendar.Day) ([]Went, error)
	DropHandOver(id int64) error
}

// MarkStore keeps the journal of bench marks, so that a wrong one can be undone.
type MarkStore interface {
	AddMark(Mark) (int64, error)
	Mark(id int64) (Mark, error)
	Marks(orderID int64) ([]Mark, error) // newest first
	RecentMarks(limit int) ([]Mark, error)
	MarksAfter(id int64, limit int) ([]Mark, error) // oldest first
	UndoMark(id int64) error                        // notes it as undone

	// SentForm returns the form that was done under a key. Faults: Missing.
	SentForm(key string) (SentForm, error)
	// AddSentForm keeps a form and forgets all but the latest. Faults: Taken when its key is kept already.
	AddSentForm(f SentForm, latest int) error
}
