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
//	edition              works, editions, numbers and proofs; the register and its steps
//	order                buyers, orders, lines, payments; when an order may leave
//	supply               the drawer and the shelf, lab runs
//	tariff               price cards as data: services, limits, zones → a priced, itemised answer
//	tariff/cards         the bundled, dated price cards, each with its source
//	packing              the packing problem, the plan and its reasons; no solving
//	packing/planner      finds the cheapest admissible plan
//	packing/check        verifies and prices any plan again, sharing no code with the planner
//	packing/layout       rectangles side by side in one layer
//	packing/cutting      boards from big sheets: the fewest sheets, as a tree of cuts
//	packing/prices       what copies are worth when they are taken in bundles
//	packing/bins         weights or thicknesses into the fewest parcels
//	intake               rows of a workbook or of an outlet's file → proposed orders, with a dry run
//	intake/csvfile       reads comma-separated text
//	intake/xlsx          reads workbooks: values, days and the colours that are seen
//	export               everything as plain files, and back; exact comma-separated text
//	postage              batches of addresses in a layout of the artist's own, and what comes back
//	almanac              promises as a calendar, buyers as cards
//	bench                studio state and a day → what to do, in working order
//	papers               what stands on each paper
//	papers/pdf           draws the papers
//
//	intake/hook          another program's signed message → an order, by a mapping
//
//	studio               the use cases: one file and one transaction each
//	studio/storetest     the contract that every store must pass
//	store                persistence behind studio's interfaces: SQLite and PostgreSQL
//	demo                 the invented studio
//	web, cli             two faces over studio, for people
//	cli/desk             what every command works with: streams, the open studio, names, answers
//	cli/sales            commands of the order book, money and buyers
//	cli/dispatch         commands from the bench to hand-over: plans, parcels, postage, papers
//	cli/editions         commands of works, editions and the register
//	cli/stock            commands of drawer, shelf, runs and boards
//	cli/movein           commands that bring files in; the watched folder
//	cli/house            commands that keep the studio: begin, serve, demo, copies, feeds, check
//	api                  a face for programs: calls with a token, and web-hooks
//	cmd/solander         signals and streams; internal/wiring puts the parts together
//
// Domain rooms (all above studio) are pure: no database, network, clock, file system or chance. Days,
// instants and names come in as arguments. Below internal/ stand glue and helpers of tests.
package solander
