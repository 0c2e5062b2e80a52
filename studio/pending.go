package studio

import (
	"context"
	"io"

	"solander/bench"
	"solander/calendar"
	"solander/edition"
	"solander/fault"
	"solander/money"
	"solander/order"
	"solander/packing"
	"solander/supply"
	"solander/tariff"
)

func notBuilt() error { return fault.New(fault.Internal, "not built yet") }

// SetUpIn is a first studio.
type SetUpIn struct {
	Settings Settings
	Outlets  []order.Outlet
	Work     edition.Work    // zero Title: none
	Edition  edition.Edition // zero Width: none; its Work is set by SetUp
	Shelf    []ShelfItem     // with their Stock
	Sheets   int             // of the edition, in the drawer
}

// CardInfo is one price card in a list.
type CardInfo struct {
	ID         string       `json:"id"`
	Series     string       `json:"series"`
	Operator   string       `json:"operator"`
	PriceClass string       `json:"price_class"`
	From       calendar.Day `json:"from"`
	To         calendar.Day `json:"to"`
	Source     string       `json:"source"`
	Status     string       `json:"status"`
	Own        bool         `json:"own"`   // loaded by the studio, not bundled
	Ended      bool         `json:"ended"` // its last day is past today
}

// WorkView is a work with its editions.
type WorkView struct {
	edition.Work
	Editions []EditionRow `json:"editions"`
}

// SpoilIn says that a sheet was destroyed.
type SpoilIn struct {
	Edition   int64
	Number    edition.Number
	Reason    string
	SheetLost bool // a sheet leaves the drawer; always so for a signed one
}

// Sale is a new order as it comes in.
type Sale struct {
	Outlet      int64
	Ref         string
	Buyer       order.Buyer  // ID != 0: a known one, whose other fields are not read
	Placed      calendar.Day // zero: today
	Promised    calendar.Day // zero: the outlet's promise
	ArriveBy    calendar.Day
	ShipTo      order.Address
	Lines       []SaleLine
	SameNumber  bool // the same number in every edition of the lines
	Postage     money.Amount
	Tax         money.Amount
	Note        string
	GiftMessage string
	Paid        money.Amount // a first payment; zero: none
	PaidNote    string
}

// SaleLine is one print of a sale.
type SaleLine struct {
	Edition int64
	Number  string        // "": the lowest one; "17", "17/250", "AP 2"
	Price   *money.Amount // nil: the price now
}

// OrderPage is one page of a list of orders.
type OrderPage struct {
	Rows []OrderRow          `json:"rows"`
	Next int64               `json:"next"` // OrderQuery.Before of the next page; 0 = no more
	Open map[order.Stage]int `json:"open"` // open orders by stage
}

// AmendIn changes an order; nil fields stay.
type AmendIn struct {
	Order       int64
	Promised    *calendar.Day
	ArriveBy    *calendar.Day
	ShipTo      *order.Address
	Note        *string
	GiftMessage *string
	Postage     *money.Amount
	Tax         *money.Amount
	Fee         *money.Amount
}

// PaymentIn is money in, or with order.Refund money back.
type PaymentIn struct {
	Order  int64
	Kind   order.PaymentKind
	Amount money.Amount
	Day    calendar.Day // zero: today
	Note   string
}

// CancelIn ends an order before hand-over.
type CancelIn struct {
	Order  int64
	Reason string
	Refund money.Amount // zero: nothing is paid back now
}

// TakeBackIn takes sent prints back.
type TakeBackIn struct {
	Order  int64
	Lines  []int64 // empty: all
	Spoilt bool    // they came back damaged
	Reason string
	Refund money.Amount
}

// PlanView is the planner's answer for an order.
type PlanView struct {
	Problem packing.Problem
	Plan    packing.Plan
	Order   OrderView
}

// PackIn packs an order as planned now.
type PackIn struct {
	Order int64
	Total *int64 // the plan's total she saw, in minor units; Refused when it is another one now
}

// LabelIn notes the service used and the postage paid.
type LabelIn struct {
	Parcel   int64
	Service  string // "" = as planned
	Paid     money.Amount
	Tracking string       // "" = none
	Day      calendar.Day // zero: today
}

// HandOverIn gives parcels to the operator.
type HandOverIn struct {
	Day     calendar.Day // zero: today
	Parcels []int64      // empty: all that are labelled
	Note    string
}

// DrawerRow is one edition in the drawer.
type DrawerRow struct {
	EditionRow
	Claimed int `json:"claimed"` // open lines that have a sheet
	Waiting int `json:"waiting"` // open lines that wait for one
}

// RunView is a lab run with what is shown of it.
type RunView struct {
	supply.Run
	Ed   edition.Edition `json:"edition_detail"`
	Late int             `json:"late"` // working days past the expected day while something is outstanding
}

// Settings returns the studio's settings; zero before set-up.
func (s *Studio) Settings(ctx context.Context) (Settings, error) { return Settings{}, notBuilt() }

// SetUp makes the first studio.
func (s *Studio) SetUp(ctx context.Context, in SetUpIn) error { return notBuilt() }

// Defaults is what set-up offers.
func (s *Studio) Defaults() SetUpIn { return SetUpIn{} }

// SaveSettings saves the settings.
func (s *Studio) SaveSettings(ctx context.Context, in Settings) error { return notBuilt() }

// Outlets lists the outlets by name.
func (s *Studio) Outlets(ctx context.Context) ([]order.Outlet, error) { return nil, notBuilt() }

// SaveOutlet adds or changes an outlet.
func (s *Studio) SaveOutlet(ctx context.Context, u order.Outlet) (order.Outlet, error) {
	return u, notBuilt()
}

// Cards lists bundled and own price cards.
func (s *Studio) Cards(ctx context.Context) ([]CardInfo, error) { return nil, notBuilt() }

// AddCard loads a price card.
func (s *Studio) AddCard(ctx context.Context, c tariff.Card) error { return notBuilt() }

// DropCard drops an own price card.
func (s *Studio) DropCard(ctx context.Context, id string) error { return notBuilt() }

// Today is the civil day in the studio's time zone.
func (s *Studio) Today(ctx context.Context) (calendar.Day, error) { return calendar.Day{}, notBuilt() }

// Works lists works with their editions.
func (s *Studio) Works(ctx context.Context) ([]WorkView, error) { return nil, notBuilt() }

// SaveWork adds or changes a work.
func (s *Studio) SaveWork(ctx context.Context, w edition.Work) (edition.Work, error) {
	return w, notBuilt()
}

// Declare declares an edition.
func (s *Studio) Declare(ctx context.Context, e edition.Edition) (edition.Edition, error) {
	return e, notBuilt()
}

// Reprice changes prices and print cost.
func (s *Studio) Reprice(ctx context.Context, ed int64, price money.Amount, steps []edition.PriceStep, printCost money.Amount) error {
	return notBuilt()
}

// CloseEdition ends an edition for good.
func (s *Studio) CloseEdition(ctx context.Context, ed int64) error { return notBuilt() }

// Edition reads an edition with its numbers.
func (s *Studio) Edition(ctx context.Context, ed int64) (EditionView, error) {
	return EditionView{}, notBuilt()
}

// Number reads a number with its history.
func (s *Studio) Number(ctx context.Context, ed int64, n edition.Number) (NumberView, error) {
	return NumberView{}, notBuilt()
}

// Spoil records a destroyed sheet.
func (s *Studio) Spoil(ctx context.Context, in SpoilIn) error { return notBuilt() }

// Restrike lets a new sheet take a spoilt number, once.
func (s *Studio) Restrike(ctx context.Context, ed int64, n edition.Number, reason string) error {
	return notBuilt()
}

// Keep puts a number into the artist's archive.
func (s *Studio) Keep(ctx context.Context, ed int64, n edition.Number, note string) error {
	return notBuilt()
}

// Withdraw takes a number out of the edition for good.
func (s *Studio) Withdraw(ctx context.Context, ed int64, n edition.Number, reason string) error {
	return notBuilt()
}

// SignAhead signs numbers that no order holds.
func (s *Studio) SignAhead(ctx context.Context, ed int64, ns []edition.Number) error {
	return notBuilt()
}

// Release takes a kept number back from the archive, or frees a spoilt one from its order.
func (s *Studio) Release(ctx context.Context, ed int64, n edition.Number, note string) error {
	return notBuilt()
}

// Find searches.
func (s *Studio) Find(ctx context.Context, text string) (Found, error) { return Found{}, notBuilt() }

// TakeOrder takes a sale into the book.
func (s *Studio) TakeOrder(ctx context.Context, in Sale) (OrderView, error) {
	return OrderView{}, notBuilt()
}

// Order reads an order.
func (s *Studio) Order(ctx context.Context, id int64) (OrderView, error) {
	return OrderView{}, notBuilt()
}

// OrderByMark reads an order by its mark.
func (s *Studio) OrderByMark(ctx context.Context, mark string) (OrderView, error) {
	return OrderView{}, notBuilt()
}

// Orders lists orders; a stage other than "" restricts to it.
func (s *Studio) Orders(ctx context.Context, q OrderQuery, stage order.Stage) (OrderPage, error) {
	return OrderPage{}, notBuilt()
}

// Amend changes an order.
func (s *Studio) Amend(ctx context.Context, in AmendIn) (OrderView, error) {
	return OrderView{}, notBuilt()
}

// Renumber gives a line another number.
func (s *Studio) Renumber(ctx context.Context, line int64, wanted string) error { return notBuilt() }

// DropLine takes a line out of its order.
func (s *Studio) DropLine(ctx context.Context, line int64, reason string) error { return notBuilt() }

// Pay records a payment.
func (s *Studio) Pay(ctx context.Context, in PaymentIn) error { return notBuilt() }

// Override lets an order leave although a rule holds it back.
func (s *Studio) Override(ctx context.Context, id int64, reason string) error { return notBuilt() }

// LiftOverride takes an override back; that it was there stays in the journal.
func (s *Studio) LiftOverride(ctx context.Context, id int64) error { return notBuilt() }

// Cancel ends an order before hand-over.
func (s *Studio) Cancel(ctx context.Context, in CancelIn) error { return notBuilt() }

// TakeBack takes sent prints back.
func (s *Studio) TakeBack(ctx context.Context, in TakeBackIn) error { return notBuilt() }

// Bench is the list of a day; the zero day is today.
func (s *Studio) Bench(ctx context.Context, day calendar.Day) (bench.List, error) {
	return bench.List{}, notBuilt()
}

// Sign marks lines signed.
func (s *Studio) Sign(ctx context.Context, lines []int64) error { return notBuilt() }

// Plan plans an order's parcels.
func (s *Studio) Plan(ctx context.Context, orderID int64, day calendar.Day) (PlanView, error) {
	return PlanView{}, notBuilt()
}

// WhyNot prices a forced choice or names the rule it breaks.
func (s *Studio) WhyNot(ctx context.Context, orderID int64, item, service string) (packing.Verdict, error) {
	return packing.Verdict{}, notBuilt()
}

// PlanProblem plans a problem from outside and checks the answer.
func (s *Studio) PlanProblem(ctx context.Context, p packing.Problem) (packing.Plan, error) {
	return packing.Plan{}, notBuilt()
}

// Pack packs an order as planned.
func (s *Studio) Pack(ctx context.Context, in PackIn) ([]Parcel, error) { return nil, notBuilt() }

// Label notes service, postage and tracking number of a parcel.
func (s *Studio) Label(ctx context.Context, in LabelIn) error { return notBuilt() }

// HandOver gives parcels to the operator.
func (s *Studio) HandOver(ctx context.Context, in HandOverIn) (HandOver, error) {
	return HandOver{}, notBuilt()
}

// HandOvers lists the latest hand-overs.
func (s *Studio) HandOvers(ctx context.Context) ([]HandOver, error) { return nil, notBuilt() }

// HandOverDetail reads a hand-over with its parcels and their orders.
func (s *Studio) HandOverDetail(ctx context.Context, id int64) (HandOver, []Parcel, []OrderView, error) {
	return HandOver{}, nil, nil, notBuilt()
}

// Undo takes a mark back.
func (s *Studio) Undo(ctx context.Context, mark int64) error { return notBuilt() }

// RecentMarks lists the latest marks.
func (s *Studio) RecentMarks(ctx context.Context) ([]Mark, error) { return nil, notBuilt() }

// Drawer lists the editions with their sheets.
func (s *Studio) Drawer(ctx context.Context) ([]DrawerRow, error) { return nil, notBuilt() }

// CountSheets sets the drawer to what was counted.
func (s *Studio) CountSheets(ctx context.Context, ed int64, counted int, reason string) error {
	return notBuilt()
}

// OrderRun orders sheets from a lab.
func (s *Studio) OrderRun(ctx context.Context, r supply.Run) (supply.Run, error) {
	return r, notBuilt()
}

// Runs lists lab runs.
func (s *Studio) Runs(ctx context.Context, openOnly bool) ([]RunView, error) {
	return nil, notBuilt()
}

// Receive takes a part of a run in.
func (s *Studio) Receive(ctx context.Context, x supply.Receipt) error { return notBuilt() }

// CloseRun says that nothing more will come.
func (s *Studio) CloseRun(ctx context.Context, id int64) error { return notBuilt() }

// Shelf lists the packaging.
func (s *Studio) Shelf(ctx context.Context) ([]ShelfItem, error) { return nil, notBuilt() }

// SaveShelfItem adds or changes a kind of packaging.
func (s *Studio) SaveShelfItem(ctx context.Context, it ShelfItem) (ShelfItem, error) {
	return it, notBuilt()
}

// CountShelf sets the stock of an item to what was counted.
func (s *Studio) CountShelf(ctx context.Context, item int64, counted int, reason string) error {
	return notBuilt()
}

// Restock adds pieces of an item.
func (s *Studio) Restock(ctx context.Context, item int64, pieces int, unitCost *money.Amount) error {
	return notBuilt()
}

// Moves lists the moves of a stock.
func (s *Studio) Moves(ctx context.Context, kind supply.MoveKind, of int64) ([]supply.Move, error) {
	return nil, notBuilt()
}

// Backup writes a consistent copy.
func (s *Studio) Backup(ctx context.Context, w io.Writer) error { return notBuilt() }

// Restore fills an empty store from a copy.
func (s *Studio) Restore(ctx context.Context, r io.Reader) error { return notBuilt() }

// Check verifies database, register and stock sums.
func (s *Studio) Check(ctx context.Context) ([]Finding, error) { return nil, notBuilt() }
