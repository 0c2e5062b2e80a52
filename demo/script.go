package demo

import "solander/order"

// scene is one order of the last weeks: placed so many days ago, brought by the use cases to a stage
// and left there. Prints are places in the catalogue.
type scene struct {
	ago     int
	outlet  int
	to      *place // nil: somewhere at home
	prints  []int
	number  string // of its first print; "" = the lowest
	same    bool   // the same number in all its editions
	paid    int    // percent of what is due
	until   order.Stage
	gift    string
	note    string
	twist   twist
	arrives int    // must be there in so many days; 0 = not said
	in      string // the currency that came; "" = the studio's
}

// twist is something out of the ordinary.
type twist int

const (
	noTwist    twist = iota
	overridden       // may leave although nothing is paid
	restruck         // its sheet was spoilt, the number is struck again
	collected        // she paid the balance later
	homeless         // sold at a stall, to be sent: nobody wrote the address down
)

// waitsForLab has a run that came in part; waitsForOrder has no run yet. Both drawers are empty.
const (
	waitsForLab   = 16
	waitsForOrder = 20
)

// script is the last two weeks. Those until order.Done are handed over by now; some others are late by
// the promise of their outlet.
var script = []scene{
	{ago: 13, outlet: ownSite, prints: []int{1}, paid: 100, until: order.Done},
	{ago: 13, outlet: market, prints: []int{5}, paid: 100, until: order.Done},
	{ago: 13, outlet: ownSite, to: &abroad[1], prints: []int{12}, paid: 100, until: order.Done},
	{ago: 12, outlet: market, prints: []int{8}, paid: 100, until: order.Done},
	{ago: 12, outlet: ownSite, prints: []int{24}, paid: 100, until: order.Done, gift: "For your first own kitchen. M."},
	{ago: 12, outlet: market, prints: []int{2}, paid: 100, until: order.Done},
	{ago: 11, outlet: market, prints: []int{26}, paid: 100, until: order.Done},
	{ago: 11, outlet: ownSite, prints: []int{29, 28}, paid: 100, until: order.Done},
	{ago: 10, outlet: market, prints: []int{19}, paid: 100, until: order.Done},
	{ago: 10, outlet: ownSite, prints: []int{14}, paid: 100, until: order.Done},

	{ago: 3, outlet: ownSite, prints: []int{27}, paid: 0, until: order.AwaitsMoney},
	{ago: 8, outlet: fairs, prints: []int{9}, paid: 40, until: order.AwaitsMoney, note: "balance by the end of the month, she said"},
	{ago: 26, outlet: fairs, prints: []int{12}, paid: 30, until: order.AwaitsMoney},
	{ago: 2, outlet: tollgate, prints: []int{3, 14}, paid: 0, until: order.AwaitsMoney},
	{ago: 6, outlet: fairs, prints: []int{waitsForLab}, paid: 35, until: order.AwaitsMoney, note: "deposit in cash", twist: homeless},

	{ago: 9, outlet: ownSite, prints: []int{waitsForLab}, paid: 100, until: order.AwaitsSheet},
	{ago: 8, outlet: ownSite, to: &abroad[0], prints: []int{waitsForLab}, paid: 100, in: "CAD", until: order.AwaitsSheet},
	{ago: 6, outlet: tollgate, prints: []int{waitsForLab, 6}, paid: 100, until: order.AwaitsSheet},
	{ago: 11, outlet: market, prints: []int{waitsForOrder}, paid: 100, until: order.AwaitsSheet},
	{ago: 2, outlet: ownSite, prints: []int{waitsForOrder}, paid: 100, until: order.AwaitsSheet},

	{ago: 7, outlet: market, prints: []int{13}, paid: 100, until: order.AwaitsSigning},
	{ago: 4, outlet: ownSite, prints: []int{6, 7, 12}, same: true, paid: 100, until: order.AwaitsSigning, note: "wants one number on all three"},
	{ago: 3, outlet: ownSite, prints: []int{oversized}, paid: 100, until: order.AwaitsSigning},
	{ago: 2, outlet: tollgate, prints: []int{17}, number: "AP 2", paid: 100, until: order.AwaitsSigning},
	{ago: 5, outlet: ownSite, prints: []int{25}, paid: 100, until: order.AwaitsSigning, twist: restruck},
	{ago: 1, outlet: market, prints: []int{openEdition}, paid: 100, until: order.AwaitsSigning},

	{ago: 6, outlet: ownSite, to: &abroad[2], prints: []int{1}, paid: 100, until: order.AwaitsPacking, gift: "Für Omas neue Wohnung. Zum Einzug alles Gute!"},
	{ago: 5, outlet: ownSite, to: &abroad[5], prints: []int{0}, paid: 100, in: "JPY", until: order.AwaitsPacking},
	{ago: 4, outlet: market, prints: []int{11}, paid: 100, until: order.AwaitsPacking, gift: "Happy birthday, Corbin. You know why this one."},
	{ago: 5, outlet: ownSite, prints: []int{23}, paid: 100, until: order.AwaitsPacking},
	{ago: 4, outlet: fairs, prints: []int{0, 4, 21}, paid: 50, until: order.AwaitsPacking, twist: collected},
	{ago: 9, outlet: tollgate, prints: []int{22}, paid: 0, until: order.AwaitsPacking, twist: overridden},
	{ago: 1, outlet: ownSite, prints: []int{18}, paid: 100, until: order.AwaitsPacking, arrives: 9},

	{ago: 5, outlet: ownSite, to: &abroad[4], prints: []int{24}, paid: 100, until: order.AwaitsLabel},
	{ago: 4, outlet: market, prints: []int{26, 28}, paid: 100, until: order.AwaitsLabel},
	{ago: 3, outlet: ownSite, prints: []int{9}, paid: 100, until: order.AwaitsLabel},

	{ago: 5, outlet: market, prints: []int{8}, paid: 100, until: order.AwaitsHandOver},
	{ago: 4, outlet: ownSite, to: &abroad[8], prints: []int{2}, paid: 100, until: order.AwaitsHandOver},
	{ago: 4, outlet: ownSite, to: &abroad[3], prints: []int{27}, paid: 100, until: order.AwaitsHandOver},
}
