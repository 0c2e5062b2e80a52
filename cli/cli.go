// Package cli is the door of the command line: it says which commands there are, reads which is meant, and answers faults and exit
// codes. The commands stand in the rooms behind it, one a use case, by the work they are for; all work with package desk. A command is
// a function of its arguments and streams; it reads no global state, so a test can run it whole. It holds no rule of the trade: it
// reads the input, calls package studio, and shows the answer for people or, with --json, for programs.
//
// A failed command says what is wrong and how to mend it on the error stream, returns the exit code of
// exit.go, and leaves no file behind.
//
// It is a door: it names the commands and answers faults. They stand in rooms by their work, none of which knows another but
// begin, whose serve watches a folder; all work at cli/desk. By noun, as the help groups them, papers and plans would have
// needed each other.
package cli

import (
	"context"
	"errors"
	"io"
	"unicode/utf8"

	"solander/cli/ahead"

	"github.com/alecthomas/kong"

	"solander/cli/bank"
	"solander/cli/begin"
	"solander/cli/cards"
	"solander/cli/certify"
	"solander/cli/claims"
	"solander/cli/copies"
	"solander/cli/desk"
	"solander/cli/dispatch"
	"solander/cli/earnings"
	"solander/cli/editions"
	"solander/cli/fairs"
	"solander/cli/galleries"
	"solander/cli/house"
	"solander/cli/movein"
	"solander/cli/owed"
	"solander/cli/people"
	"solander/cli/phone"
	"solander/cli/privacy"
	"solander/cli/sales"
	"solander/cli/scale"
	"solander/cli/stock"
	"solander/cli/trips"
	"solander/fault"
)

// app is the whole command line.
type app struct {
	JSON  bool   `help:"Answer in JSON; a fault is JSON too, on the error stream."`
	Store string `placeholder:"PLACE" help:"Where the studio is kept: a file or folder, or postgres://… without a password (or set SOLANDER_STORE; else the user's data folder). A password belongs into the file that PGPASSFILE names."`
	As    string `placeholder:"NAME" help:"Who does this; it stands in the register and the journal."`

	Demo    begin.Demo    `cmd:"" group:"begin" help:"Open an invented studio to look around in."`
	Serve   begin.Serve   `cmd:"" group:"begin" help:"Open the studio in a browser on this machine."`
	Answers begin.Answers `cmd:"" group:"begin" help:"Say whether the pages answer: for whoever watches over them."`
	SetUp   begin.SetUp   `cmd:"" name:"set-up" group:"begin" help:"Set up a first studio: asked, by flags, or from a file."`

	Bench    dispatch.Bench    `cmd:"" group:"work" help:"What to do today, in working order."`
	Ahead    ahead.Ahead       `cmd:"" group:"work" help:"The days ahead: what goes when, what may wait and what that saves; say that an order waits."`
	Sale     sales.Sale        `cmd:"" group:"work" help:"Take a sale into the order book."`
	Pay      sales.Pay         `cmd:"" group:"work" help:"Record money in, or a refund."`
	Sign     sales.Sign        `cmd:"" group:"work" help:"Mark the prints of an order signed and numbered."`
	Pack     dispatch.Pack     `cmd:"" group:"work" help:"Pack an order as planned."`
	Label    dispatch.Label    `cmd:"" group:"work" help:"Note a parcel's service, postage paid and tracking number."`
	Weigh    scale.Weigh       `cmd:"" group:"work" help:"Note what a parcel weighs, or let a wrap learn from those weighed."`
	HandOver dispatch.HandOver `cmd:"" name:"hand-over" group:"work" help:"Give labelled parcels to the operator, or list past hand-overs."`
	HandIn   sales.HandIn      `cmd:"" name:"hand-in" group:"work" help:"Hand an order over to its buyer in person, without a parcel."`
	Undo     sales.Undo        `cmd:"" group:"work" help:"Take back what was noted wrongly, or list what was noted lately."`

	Intake   movein.Intake   `cmd:"" group:"book" help:"Bring in your own workbook or an outlet's file: a trial first."`
	Mappings movein.Mappings `cmd:"" group:"book" help:"Saved readings: what stands where in your files."`
	Orders   sales.Orders    `cmd:"" group:"book" help:"List orders."`
	Order    sales.Order     `cmd:"" group:"book" help:"Show one order whole."`
	Amend    sales.Amend     `cmd:"" group:"book" help:"Change an order's days, address, charges or notes."`
	Buyer    sales.Buyer     `cmd:"" group:"book" help:"Show a buyer with every order, or correct who it is; give out or erase what is kept."`
	Buyers   sales.Buyers    `cmd:"" group:"book" help:"List buyers; who may be the same person; take as one, part, tell apart."`
	Renumber sales.Renumber  `cmd:"" group:"book" help:"Give a line another number of its edition."`
	Price    sales.Price     `cmd:"" group:"book" help:"Change what a print of an open order costs its buyer."`
	Drop     sales.Drop      `cmd:"" group:"book" help:"Take a line out of its order."`
	Override sales.Override  `cmd:"" group:"book" help:"Let an order leave although a rule holds it back."`
	Cancel   sales.Cancel    `cmd:"" group:"book" help:"End an order before hand-over."`
	TakeBack sales.TakeBack  `cmd:"" name:"take-back" group:"book" help:"Take sent prints back."`
	Leaving  trips.Leaving   `cmd:"" group:"book" help:"How parcels leave: list the ways with the trips of a day; add, change, take out."`
	Outlets  sales.Outlets   `cmd:"" group:"book" help:"List outlets, or add and change one."`
	Owed     owed.Owed       `cmd:"" group:"book" help:"Money owed by age, statements; receipts, invoices, credit notes."`
	Fees     earnings.Fees   `cmd:"" group:"book" help:"The fee table of an outlet: show it, change it, say what it keeps of a sale."`
	Find     sales.Find      `cmd:"" group:"book" help:"Search buyers, orders, works and numbers."`

	Claim   claims.Claims       `cmd:"" group:"book" help:"Claims on operators for parcels damaged or lost: photos, days, payment, replacement, refund."`
	Gallery galleries.Galleries `cmd:"" group:"book" help:"Galleries: prints on consignment, what was sold there, what is owed, statements."`
	Fair    fairs.Fairs         `cmd:"" group:"book" help:"Days at a table: the cash box, what the till took, what the day cost and earned."`
	Bank    bank.Bank           `cmd:"" group:"book" help:"Lines of your bank: bring in its files, match them to payments by your word."`

	Works       editions.Works      `cmd:"" group:"edition" help:"List works and editions, or add a work."`
	Work        editions.Work       `cmd:"" group:"edition" help:"The picture of a work: put, show, say what is to be seen, take away."`
	Declare     editions.Declare    `cmd:"" group:"edition" help:"Declare an edition: its limit can never be raised."`
	Reprice     editions.Reprice    `cmd:"" group:"edition" help:"Change an edition's price, price steps or print cost."`
	End         editions.End        `cmd:"" group:"edition" help:"End an edition: no further sale."`
	Certificate certify.Certificate `cmd:"" group:"edition" help:"What is told of an edition in writing, and what the law of a state asks for."`

	Register editions.Register `cmd:"" group:"edition" help:"What happened to the numbers of an edition; spoil, strike again, keep, withdraw."`

	Drawer stock.Drawer `cmd:"" group:"stock" help:"Sheets on hand, or count them."`
	Runs   stock.Runs   `cmd:"" group:"stock" help:"Lab runs: list, order, receive, close."`
	Shelf  stock.Shelf  `cmd:"" group:"stock" help:"Packaging on hand: list, count, restock, add."`

	Boards stock.Boards `cmd:"" group:"stock" help:"A cutting list: boards from big sheets, drawn to scale."`

	Earnings earnings.Earnings `cmd:"" group:"money" help:"Money that adds up: what was earned, the journal, its balances and accounts."`

	Plan    dispatch.Plan    `cmd:"" group:"papers" help:"Plan packing and postage, for an order or a problem file."`
	Ways    dispatch.Ways    `cmd:"" group:"papers" help:"Other ways to send an order: sooner, better protected; or choose one."`
	Quote   dispatch.Quote   `cmd:"" group:"papers" help:"What sending prints would cost that nobody ordered yet, and what you would keep."`
	WhatIf  dispatch.WhatIf  `cmd:"" name:"what-if" group:"papers" help:"Plan a time again with something changed: a new envelope, a house rule, a price card."`
	Papers  dispatch.Papers  `cmd:"" group:"papers" help:"Print a paper as PDF."`
	Postage dispatch.Postage `cmd:"" group:"papers" help:"Address batches for whoever sells the postage, and labels that come back."`
	Tariff  cards.Tariff     `cmd:"" group:"papers" help:"Price cards: list, add, drop, look over, compare, make the next one, what was paid."`

	Phone phone.Phone `cmd:"" group:"keep" help:"Phones: let one in by a code, list, end; the certificate that they may trust."`

	Feed house.Feed `cmd:"" group:"keep" help:"Ways in for other programs: make, list, revoke; secrets and mappings of web-hooks."`

	People people.People `cmd:"" group:"keep" help:"Who may come in: list, add, roles, end; let in again who is locked out."`

	Backup     house.Backup    `cmd:"" group:"keep" help:"Write a consistent copy of the studio, also while it is in use."`
	Copies     copies.Copies   `cmd:"" group:"keep" help:"Copies that make themselves: where they go, how they stand; one now; a drill."`
	Leave      copies.Leave    `cmd:"" group:"keep" help:"Leave the studio for another computer, in one file; or come back."`
	Promises   house.Promises  `cmd:"" group:"keep" help:"The promised days as a calendar."`
	Cards      house.Cards     `cmd:"" group:"keep" help:"Buyers as cards for an address book."`
	Export     house.Export    `cmd:"" group:"keep" help:"Write everything as CSV and JSON files for other programs."`
	Restore    house.Restore   `cmd:"" group:"keep" help:"Fill an empty place from a copy or an export."`
	Move       house.Move      `cmd:"" group:"keep" help:"Carry the studio to another place: from its file to a server, or back."`
	Check      house.Check     `cmd:"" group:"keep" help:"Verify database, register and stock sums."`
	Privacy    privacy.Privacy `cmd:"" group:"keep" help:"How long buyers are kept, who is due, what was erased."`
	Rota       house.Rota      `cmd:"" group:"keep" help:"Scheduled work: when each job is due, and what came of it last."`
	Completion Completion      `cmd:"" group:"keep" help:"Let the shell complete commands, flags and names."`

	Version house.Version `cmd:"" group:"keep" help:"Which build this is."`
}

var groups = []kong.Group{
	{Key: "begin", Title: "To begin:"},
	{Key: "work", Title: "From sale to hand-over:"},
	{Key: "book", Title: "Order book:"},
	{Key: "edition", Title: "Editions and register:"},
	{Key: "stock", Title: "Drawer, lab and shelf:"},
	{Key: "money", Title: "Money:"},
	{Key: "papers", Title: "Plans, papers, price cards:"},
	{Key: "keep", Title: "Keeping:"},
}

const about = "Solander keeps the editions, orders, stock, packing and papers of one artist who sells prints from home."

// left is how kong leaves after --help: by a panic that Run catches.
type left int

// doubleClicked is what runs without a command, as when the file of the program is double-clicked.
var doubleClicked = []string{"serve", "--browser"}

// Run runs one command and returns its exit code. args are without the program's name.
func Run(ctx context.Context, args []string, stdin io.Reader, stdout, stderr io.Writer, env desk.Env) int {
	asJSON := wantsJSON(args)
	d := &desk.Desk{Ctx: ctx, In: stdin, Out: stdout, Err: stderr, Env: env}
	if completing(d) {
		return exitDone
	}
	names, err := run(d, args)
	if closed := d.Close(); err == nil {
		err = closed
	}
	switch {
	case err == nil:
		return exitDone
	case errors.Is(err, desk.ErrFindings):
		return exitFindings
	}
	tell(stderr, err, asJSON, names, d.Coloured(stderr))
	if len(args) == 0 && unseen(d) {
		_ = tellOnPage(d, err) // there is no other way left to tell her
	}
	return exitOf(err)
}

func wantsJSON(args []string) bool {
	for _, a := range args {
		switch a {
		case "--json", "--json=true":
			return true
		case "--":
			return false
		}
	}
	return false
}

// run runs one command, and returns by which names its faults are told.
func run(d *desk.Desk, args []string) (names flagNames, err error) {
	for i, a := range args {
		if !utf8.ValidString(a) {
			return names, fault.New(fault.Invalid, "argument %d is not UTF-8 text", i+1).ToMend("type it again")
		}
	}
	var a app
	parser, err := grammar(&a, d.Out, d.Err)
	if err != nil {
		return names, err
	}
	defer func() {
		if r := recover(); r != nil {
			if _, ok := r.(left); !ok {
				panic(r)
			}
			err = nil
		}
	}()
	if len(args) == 0 {
		args = doubleClicked
		desk.TellLine(d.Err, "solander --help lists the commands")
	}
	parsed, err := parser.Parse(args)
	if err != nil {
		var p *kong.ParseError
		if errors.As(err, &p) && p.Context != nil {
			names = namesOf(p.Context)
		}
		return names, usage(err)
	}
	d.JSON, d.Place = a.JSON, a.Store
	if a.As != "" {
		d.Ctx = desk.WithWho(d.Ctx, a.As)
	}
	if err := parsed.BindToProvider(d.Opened); err != nil {
		return names, err
	}
	return namesOf(parsed), parsed.Run(d)
}

func grammar(a *app, out, errs io.Writer) (*kong.Kong, error) {
	return kong.New(a,
		kong.Name("solander"), kong.Description(about+"\n\n"+exitHelp()),
		kong.Writers(out, errs), kong.Exit(func(code int) { panic(left(code)) }),
		kong.ExplicitGroups(groups),
		kong.ConfigureHelp(kong.HelpOptions{Compact: true, NoExpandSubcommands: true, WrapUpperBound: 100, NoAppDescFormat: true}),
		kong.UsageOnError())
}
