// Package solander holds nothing but the map of the house. Solander keeps the editions of one artist:
// the register of numbers, the order book, the day's bench, packing and postage, the papers.
//
// The rooms, from the ground up. A room imports only rooms above its own line, and house_test.go says
// which; a room that is not on the map, or a mapped room that is gone, fails the tests.
//
//	fault                what went wrong, where, and how to mend it
//	measure              exact lengths, masses and grammages, as people write them
//	money                exact amounts in minor units of a currency
//	calendar             civil days and working days
//
//	sheet                sheets, stacks and rolls of paper: size, weight, thickness
//	address              how countries write addresses: fields, lines, postcodes, states
//	letters              the type of the papers: which letters it holds, what a text lacks
//	picture              a work's picture as it is kept: three sizes, and what is to be seen in words
//	picture/header       what a picture's file says of itself, before any pixel
//	picture/develop      any picture's file → upright, in sRGB, at every size, nothing else of it
//	charging             what is kept back of a sale: fee tables with days and tiers, fees of payments
//	edition              works, editions, numbers and proofs; the register and its steps
//	order                buyers, orders, lines, payments; when an order may leave
//	access               who may come in, and by what: people and their roles, sessions, keys of devices and phones
//	owing                what is owed and for how long; the statement of a buyer
//	yearly               what a year came to by the accounts of the journal, and what stood at its end
//	tax                  dated rates of tax, entered and never guessed; resale certificates; what they say of a sale
//	invoice              receipts, invoices, credit notes: what stands on them, and their numbers without gaps
//	sealog               the register as a log: its leaves, their tree, proofs, signed checkpoints
//	supply               the drawer and the shelf, lab runs
//	certificate          what a certificate says, byte by byte: statement, codes, proof; checked with a clear word
//	disclosure           which facts of a print a buyer is told, by state, and whether they are said
//	tariff               price cards as data: services, limits, zones → a priced, itemised answer
//	tariff/cards         the bundled, dated price cards, each with its source
//	tariff/lint          a card looked over: what it must not hold, what looks like a slip, in what it differs from another
//	tariff/renew         the next price card out of the last; how far a card is from what was paid
//	tariff/zonelist      zones as an operator lists them, for a postcode or of the world, pasted → a zone table, and what is left open
//	packing              the packing problem, the plan and its reasons; no solving
//	packing/rules        house rules as sentences, and which can never be kept together
//	packing/front        ways to send compared by cost, arrival and protection; what a choice asks
//	packing/scale        what weighed parcels say of a wrap: by how much it is off, and how sure that is
//	packing/planner      finds the cheapest admissible plan: the door, and what orders share
//	packing/planner/explain    a parcel written out, and why cheaper ones are barred
//	packing/planner/longorder  the best plan and bound of an order of too many sets of sheets, by column generation
//	packing/planner/heuristic  a good plan of such an order to begin with, without proof
//	packing/planner/least      what no parcel of a kind costs less than
//	packing/planner/partition  the cheapest split of one order into parcels
//	packing/planner/memo       the best parcels of the sets looked at, remembered
//	packing/planner/parcel     the cheapest admissible parcel of one set of sheets
//	packing/planner/means      what there is to pack with and to send by, and what fits
//	packing/planner/tiers      leaves side by side in tiers, as thin as they go
//	packing/check        verifies and prices any plan again, sharing no code with the planner
//	packing/check/exact  what it reckons for itself: products of any size, rolls, days in the post
//	packing/check/rates  what it reads of a price card for itself: zones, cover, rounding
//	packing/layout       rectangles side by side in one layer
//	packing/cutting      boards from big sheets: the fewest sheets for a list
//	packing/cutting/onesheet   the most valuable pieces of one sheet, as a tree of cuts
//	packing/prices       what copies are worth when they are taken in bundles
//	intake               a file as a table, its mapping, and the report of what its rows would make
//	intake/kept          files that wait or were brought in, and each row with its order
//	intake/cell          one cell → an amount, a day, a size, numbers, a yes or no
//	intake/notes         a note → facts, each with its words
//	intake/naming        a text → the prints it names
//	intake/grid          a mapping's columns in a sheet; which rows are sales
//	intake/guess         a table → the mapping it probably needs
//	intake/sale          the rows of a table → sales, each by itself
//	intake/proposal      sales → proposed orders: the trial of a file
//	intake/mail          a pasted mail or address → fields of a sale, each with its words
//	intake/pricelist     an operator's list of prices as a table → prices by step and zone, each doubt at its cell
//	intake/csvfile       reads comma-separated text
//	intake/xlsx          reads workbooks: values, days and the colours that are seen
//	export               everything as plain files, and back; exact comma-separated text
//	earnings             what sales earn: sums of the journal by any grouping, break-even, price steps
//	ledger               double entry: accounts, balanced journal entries, closed periods, the journal as text
//	layers               what stocks cost, first in, first out
//	posted               what the book comes to in the journal: orders, parcels, runs, moves of stock → events
//	postage              batches of addresses in a layout of the artist's own, and what comes back
//	almanac              promises as a calendar, buyers as cards
//	bankfile             what a bank gives out of an account, as a table or as OFX → its lines
//	exchange             rates of exchange: typed, or as a central bank publishes them; an amount in another currency
//	claim                claims on operators: when each may be filed, what it may come to, what is to be done
//	fair                 a day at the table: takings by way of paying, costs, the cash box counted
//	consign              prints at galleries: agreed, sold with a split, back or lost; what is owed; the statement
//	matching             lines of the bank against payments and what is owed: proposed, with reasons
//	leaving              how parcels leave the house: the ways there are, what each takes, the cheapest trips of a day
//	bench                studio state and a day → what to do, in working order
//	papers               what stands on each paper
//	papers/wrap          the wrap sheet: how a parcel is built, step by step, drawn
//	papers/pdf           draws the papers
//	papers/pdf/leaf      writes pages as a PDF file
//	papers/certificate   draws certificates, and the declaration that an edition ended
//
//	feed                 by what other programs may write, how a message is read, what was answered
//	intake/hook          another program's signed message → an order, by a mapping
//
//	dayplan              the parcels of a day: who goes together, what is scarce, what is shared out
//	dayplan/ahead        the parcels of the next days together: what goes when, what it saves to wait, what is kept for later
//	dayplan/horizon      which of the next days each order goes on, in whole numbers: columns, scarce pieces, a bound
//	dayplan/setups       a day planned so that few different wraps are made, for no more than is allowed
//	dayplan/trial        an order as its day would be planned if more were asked of it
//	upkeep               the words of looking after what is kept: scheduled work, copies, leaving, erasure
//	studio               what all use cases stand on: the transaction, its instant, settings, types, and the store's door
//	gallery              use cases: the pictures of works: put, said, taken away, shown
//	stockroom            use cases: the drawer, the shelf, runs from labs
//	planning             use cases: plans of an order and of a day, boards to cut
//	choosing             use cases: another way to send an order than the cheapest, taken and taken back
//	quote                use cases: what sending prints would cost that nobody ordered yet, and what is kept of the price
//	weighing             use cases: parcels weighed, and what they teach of a wrap's own mass, taken over or not
//	suppose              use cases: what another rule, wrap, service or one more piece would do
//	waiting              use cases: the days ahead: what goes when, what it saves that an order waits, and her word that it does
//	register             use cases: works, editions, numbers, signing
//	buyers               use cases: who buys: one person found again, taken as one, told apart
//	book                 use cases: sales, changes, payments, cancelling, returns, finding
//	daybench             use cases: the bench of a day
//	labelling            use cases: labels of parcels: typed, scanned, or by a file in a layout of her own
//	paperwork            use cases: the papers of a day and of an order
//	dispatch             use cases: packing, hand-over, sales over the table, undoing
//	payouts              use cases: what an outlet pays out of many sales, taken apart
//	earned               use cases: what sales earned, an order part by part, price steps tried
//	journal              use cases: accounts, trial balance, the journal written out, periods closed
//	movein               use cases: files of sales, their trial, taken in and taken back
//	feeds                use cases: other programs' ways in
//	pricecards           use cases: price cards: loaded, dropped, made anew, compared with what was paid
//	privacy              use cases: what is kept of one buyer, given out or erased; how long it is kept
//	years                use cases: the year, traced to its entries; opening balances, costs of orders moved in
//	taxing               use cases: rates of tax, resale certificates, the tax of a sale
//	record               use cases: the register's key, what is signed of its log, and what is published of it
//	record/keyfile       the file of the register's key
//	record/keyring       what opens it, in the keyring of the system
//	billing              use cases: receipts, invoices and credit notes, written and kept
//	mailing              a letter as a file that a mail program opens as a draft; nothing is sent
//	mailing/server       the mail server that the artist named: kept in a file, asked to send one letter when she says so
//	dues                 use cases: what is owed by age, statements, reminders
//	house                use cases: set-up, settings, outlets, copies, the check
//	certify              use cases: what is told of an edition, held against the rules of a state
//	people               use cases: who may come in: accounts, roles, sessions, second factors, keys of devices
//	people/password      which passwords are good enough, and how they are kept
//	people/totp          the codes of a second factor (RFC 6238)
//	phones               use cases: phones let in by a one-time code, their keys that turn, ended
//	currencies           use cases: rates of exchange, payments that came in another currency
//	claims               use cases: claims for parcels damaged or lost, from the photo to the payment, the replacement or the refund
//	fairs                use cases: days at a table: begun, counted, what they took, cost and earned
//	consigning           use cases: galleries, the prints that they have, their money and statements
//	banking              use cases: lines of the bank brought in, matched to payments by her word
//	live                 tells pages that wait that something was written, by this program or another one
//	moving               carries a whole studio to another store, proven by digests
//	rota                 scheduled work: jobs with a rule for when they are due, done by one runner over all servers of a studio
//	copies               use cases: copies that make themselves, drills, moving to another machine
//	copies/ages          what copies are called, and which of them are kept by their age
//	copies/sealed        files that only who has the key can read
//	copies/place         where copies lie: a folder, or storage of the kind S3
//	studio/storetest/bed        a small invented studio in a store, to test on
//	studio/storetest/book       the contract: orders, buyers, parcels, stocks
//	studio/storetest/register   the contract: editions and their numbers
//	studio/storetest/people     the contract: who may come in
//	studio/storetest/owed       the contract: papers of money, unsettled orders
//	studio/storetest/shifts     the contract: scheduled work
//	studio/storetest     the contract that every store must pass
//	store/engine         what a database must do, and what is said when it does not
//	store/migrations     the forms that the tables went through, on both engines
//	store/upgrade        an older studio brought up to date: the copy from before, and what is said when it fails
//	store/sqlite         the studio's own file, and what guards it
//	store/postgres       the studio on a server
//	store/vault          cells in cipher, and their key outside the database
//	store/vouch          the key of the rows: marks of digests that nobody else can make, and sums of all of them
//	store/table          a transaction, and one list of columns a table
//	store/words          the words by which orders and buyers are found
//	store/house          rows: settings, outlets, price cards
//	store/leaves         rows: the register as a log, and what was signed of it
//	store/digests        digests of rows on which money or ownership rests
//	store/numbers        rows: works, editions, the register
//	store/journal        the journal: entries and lines, sums, closed periods, layers; enters what the book came to
//	store/orders         rows: orders, buyers, bench marks, sent forms
//	store/parcels        rows: parcels and hand-overs
//	store/stocks         rows: drawer, shelf and runs
//	store/years          rows: the sums and lines of the journal of a year
//	store/taxes          rows: rates of tax, resale certificates
//	store/bills          rows: receipts, invoices, credit notes
//	store/feeds          rows: other programs' ways in
//	store/intakes        rows: files that wait or were brought in
//	store/pictures       rows: pictures of works
//	store/accounts       rows: persons, sessions, devices, passkeys, attempts that failed
//	store/phones         rows: phones that were let in, and the codes that let them in
//	store/rota           rows: scheduled work
//	store/copying        rows: which studio it is, what its copies go by, whether it was left
//	store/privacy        which column is about whom: what is kept of a buyer, and her erasing
//	store/rates          rows: rates of exchange
//	store/claims         rows: claims on operators, with the photos of the damage
//	store/fairs          rows: days at a table, their costs
//	store/payouts        rows: what outlets paid out
//	store/consign        rows: galleries, the prints that they have, their money
//	store/bank           rows: accounts, files and lines of banks
//	store/attest         rows: what was said of editions, their ends
//	store/copies         a copy of all tables, and back
//	store                the door: opens a studio, runs its transactions on either engine
//	demo                 the invented studio
//	demo/painting        paints its pictures
//	web, cli             two faces over studio, for people; web is the door, its rooms follow
//	web/page             what every page shares: its frame, its templates, what was done, what takes longer
//	web/gate             before all pages: who asks, and whether they may, by one table of rights
//	web/accounts         who may come in: signing in and out, one's account, the people of the studio, the proof of who one is
//	web/form             a form of a page: fields asked and read, faults beside them
//	web/ahead            the days ahead: what goes when, what waits, said there and on the bench
//	web/today            the bench and its deeds, scanning, the hand-over
//	web/papers           what is printed: of a day, an order, a parcel, a hand-over; stickers
//	web/sales            orders, one order, the search
//	web/ways             ways to send beside a plan or a quote: three choices, the front drawn; taken, taken back
//	web/years            what a year came to, closing, opening balances
//	web/taxes            rates of tax, resale certificates, returns
//	web/owed             money owed, statements, papers of money
//	web/trips            how parcels leave: the ways, each with its form
//	web/earnings         what was earned, with plots, opened to parts and orders; price steps
//	web/plot             figures laid out as bars and lines
//	web/fees             the fee table of an outlet, tried on a sale
//	web/scale            parcels weighed; what they say of a wrap, its trial, taken over or left
//	web/claims           claims on operators: told, photographed, filed, answered, paid, made good, closed
//	web/currencies       rates of exchange: listed, entered, loaded after a trial; payments in another currency
//	web/fairs            days at a table: the cash box, what they took, cost and earned
//	web/galleries        galleries: what they have, sold, owe; their statements
//	web/payouts          payouts of outlets: taken apart, tried, taken back
//	web/bank             lines of the bank: brought in, matched by her word
//	web/newsale          a sale before it is in the book: typed, pasted, by picture; the till
//	web/phone            phones: the door to the local network, a code as a picture, the list; a phone that comes in
//	web/record           the register as it is vouched for: how far it was signed, by which key
//	web/privacy          what is kept of a buyer, given out or erased; how long buyers are kept
//	web/people           the buyers, and who of them is one person
//	web/catalogue        works, editions and their numbers
//	web/certify          what is told of an edition, and what a state asks for
//	web/stock            the drawer, the shelf, lab runs, boards to cut
//	web/movein           a file of sales: its reading, its trial, taken in and taken back
//	web/movein/rows      how a row of a file looks on a page
//	web/movein/trial     the page of a trial, made of the trial alone
//	web/house            set-up, settings, outlets, price cards, what if
//	web/copies           copies that make themselves, drills, leaving for another computer and coming from one
//	web/prices           price cards made anew, from a list, by form; zones pasted; what was paid against them
//	web/compare          two price cards beside one another
//	web/recipes          wraps and house rules: their editors, and both as a file
//	web/programs         feeds, mappings, files for other programs
//	web/layouts          the editor of layouts of postage
//	web, cli             two faces over studio, for people
//	cli/desk             what every command works with: streams, the open studio, names, answers
//	cli/ahead            the command of the days ahead
//	cli/sales            commands of the order book, money and buyers
//	cli/cards            price cards: listed, looked over, compared, loaded, made anew
//	cli/dispatch         commands from the bench to hand-over: plans, parcels, postage, papers
//	cli/owed             money owed, statements, papers of money
//	cli/trips            how parcels leave: the ways listed, added, changed, taken out
//	cli/earnings         fee tables, and what sales earned
//	cli/scale            the command for parcels weighed, and what they teach
//	cli/record           commands of the register as it is vouched for: its key, checkpoints, whether all holds
//	cli/editions         commands of works, editions and the register
//	cli/certify          commands of what is told of an edition
//	cli/people           the commands of who may come in
//	cli/stock            commands of drawer, shelf, runs and boards
//	cli/movein           commands that bring files in; the watched folder
//	cli/begin            commands to begin: set up, serve, the invented studio, in her browser
//	cli/phone            phones let in, listed, ended; the certificate that they may trust
//	cli/copies           commands of copies, drills, leaving and coming back
//	cli/claims           commands of claims on operators
//	cli/fairs            commands of days at a table
//	cli/galleries        commands of galleries
//	cli/bank             commands of the bank's lines
//	cli/privacy          the command of how long buyers are kept
//	cli/house            commands that keep the studio: copies, feeds, check
//	api                  a face for programs: calls with a token, and web-hooks
//	api/problem          what went wrong, as a program is told it
//	cmd/solander         signals and streams; internal/wiring puts the parts together
//
// Domain rooms (all above studio) are pure: no database, network, clock, file system or chance. Days,
// instants and names come in as arguments. Below internal/ stand glue and helpers of tests.
package solander
