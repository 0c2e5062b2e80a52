package demo

import (
	"solander/calendar"
	"solander/charging"
	"solander/edition"
	"solander/measure"
	"solander/money"
	"solander/order"
)

const currency = "USD"

func dollars(minor int64) money.Amount { return money.Of(minor, currency) }

// print is a kind of sheet that the studio sells: a size on a paper in a grade.
type print struct {
	w, h      int64 // inches
	paper     string
	gsm       int64
	mil       int64 // caliper in thousandths of an inch
	grade     string
	technique string
	roll      measure.Length
	cost      int64 // of the lab, minor units
}

// The studio's sheets. Standard is a light matt paper, fine a heavy cotton one.
var (
	card9   = print{9, 12, "Matt wove 230", 230, 11, "standard", "pigment print", 2 * measure.Inch, 420}
	card11  = print{11, 14, "Matt wove 230", 230, 11, "standard", "pigment print", 2 * measure.Inch, 560}
	fine12  = print{12, 16, "Cotton rag 310", 310, 20, "fine", "pigment print", 3 * measure.Inch, 1450}
	fine16  = print{16, 20, "Cotton rag 310", 310, 20, "fine", "pigment print", 3 * measure.Inch, 2100}
	large24 = print{24, 36, "Cotton rag 310", 310, 20, "fine", "pigment print", 3 * measure.Inch, 5200}
	etching = print{9, 12, "Mould-made etching 300", 300, 24, "fine", "etching", 0, 1800}
)

// declared is an edition of the catalogue: what is declared, when, and how well it sells.
type declared struct {
	work   int // index into works
	print  print
	limit  int
	proofs edition.Proofs
	price  int64 // minor units
	steps  []int64
	weight int // how often it is bought
	age    int // days before today that it was declared
}

type titled struct {
	title string
	years int // before the year of today
	note  string
}

var works = []titled{
	{"Heron at dusk", 3, "Oil on panel, the weir below the mill"},
	{"Salt meadow, first frost", 4, ""},
	{"The lamp room", 3, "Gouache"},
	{"Two quinces on blue paper", 2, ""},
	{"Slack water", 5, "Oil on linen"},
	{"Orchard ladder", 3, ""},
	{"Ferry bell, fog", 2, ""},
	{"Kiln yard after rain", 2, ""},
	{"Moth and lantern glass", 1, "Copper plate, two states"},
	{"Thaw on Cobbler's Hill", 2, ""},
	{"Rook weather", 4, ""},
	{"Long table, late light", 1, ""},
	{"The beekeeper's gate", 1, ""},
	{"Quarry pool in March", 0, "Sold from the sketchbook first"},
}

// nearlySoldOut and openEdition are places in the catalogue that the demo is meant to show.
const (
	nearlySoldOut = 1
	openEdition   = 5
	oversized     = 10
)

var catalogue = []declared{
	{0, card11, 500, edition.Proofs{AP: 5}, 4800, nil, 40, 730},
	{0, fine12, 60, edition.Proofs{AP: 6, PP: 2, BAT: 1}, 12000, []int64{14000, 16500, 19500}, 60, 730},
	{1, card9, 500, edition.Proofs{AP: 5}, 3600, nil, 30, 728},
	{1, fine16, 90, edition.Proofs{AP: 9, PP: 2}, 18000, []int64{20000, 23000}, 18, 728},
	{2, card11, 300, edition.Proofs{AP: 5}, 4500, nil, 25, 720},
	{3, card9, 0, edition.Proofs{}, 2800, nil, 45, 716},
	{2, fine12, 120, edition.Proofs{AP: 8, HC: 2}, 11000, []int64{13000}, 22, 710},
	{3, fine12, 100, edition.Proofs{AP: 6}, 11500, nil, 14, 702},
	{4, card11, 400, edition.Proofs{AP: 5}, 4500, nil, 26, 690},
	{4, fine16, 75, edition.Proofs{AP: 7, PP: 2, HC: 2, BAT: 1}, 19000, []int64{22000, 26000}, 20, 690},
	{4, large24, 25, edition.Proofs{AP: 3, BAT: 1}, 42000, []int64{48000}, 9, 690},
	{5, card9, 350, edition.Proofs{AP: 5}, 3400, nil, 24, 640},
	{5, fine12, 110, edition.Proofs{AP: 6}, 11000, nil, 15, 640},
	{6, card11, 300, edition.Proofs{AP: 5}, 4600, nil, 22, 600},
	{6, fine16, 80, edition.Proofs{AP: 8}, 17500, []int64{19500}, 13, 600},
	{7, card9, 300, edition.Proofs{AP: 5}, 3400, nil, 18, 555},
	{7, fine12, 100, edition.Proofs{AP: 6}, 10500, nil, 10, 555},
	{8, etching, 40, edition.Proofs{AP: 4, PP: 1, BAT: 1}, 16000, []int64{19000}, 12, 520},
	{8, card9, 250, edition.Proofs{AP: 5}, 3200, nil, 15, 500},
	{9, card11, 300, edition.Proofs{AP: 5}, 4400, nil, 19, 455},
	{9, fine12, 100, edition.Proofs{AP: 6}, 11000, nil, 12, 455},
	{10, card9, 300, edition.Proofs{AP: 5}, 3400, nil, 20, 400},
	{10, fine16, 60, edition.Proofs{AP: 6, HC: 1}, 18500, []int64{21000}, 13, 400},
	{10, large24, 20, edition.Proofs{AP: 2}, 45000, nil, 6, 390},
	{11, card11, 250, edition.Proofs{AP: 5}, 4600, nil, 22, 330},
	{11, fine16, 70, edition.Proofs{AP: 7}, 18500, nil, 14, 330},
	{12, card9, 250, edition.Proofs{AP: 5}, 3400, nil, 20, 240},
	{12, fine12, 90, edition.Proofs{AP: 6}, 11500, []int64{13500}, 16, 240},
	{13, card11, 250, edition.Proofs{AP: 5}, 4600, nil, 22, 120},
	{13, fine12, 80, edition.Proofs{AP: 6, PP: 1}, 12000, nil, 18, 120},
}

// stepsEvery is after how many sold numbers each price step follows the last.
const stepsEvery = 15

// edition makes the declaration of a catalogue entry.
func (c declared) edition(work int64, title string, today calendar.Day) edition.Edition {
	in := measure.Inch
	e := edition.Edition{
		Work: work, Title: title, Width: measure.Length(c.print.w) * in, Height: measure.Length(c.print.h) * in,
		Paper: c.print.paper, Grammage: measure.Grammage(c.print.gsm) * measure.GSM, Caliper: measure.Length(c.print.mil) * measure.Mil,
		Grade: c.print.grade, Technique: c.print.technique, Limit: c.limit, Proofs: c.proofs, TightestRoll: c.print.roll,
		Price: dollars(c.price), PrintCost: dollars(c.print.cost), Declared: today.Add(-c.age),
	}
	for i, p := range c.steps {
		e.Steps = append(e.Steps, edition.PriceStep{FromSold: (i + 1) * stepsEvery, Price: dollars(p)})
	}
	return e
}

// The four outlets, in the order of outlets.
const (
	ownSite = iota
	market
	fairs
	tollgate
)

func outlets() []order.Outlet {
	return []order.Outlet{
		{Name: "Own site", Fees: charging.Simple(290, dollars(30)), PromiseDays: 5},
		{Name: "Paperwren Market", Fees: charging.Simple(650, dollars(45)), PromiseDays: 3, CollectsTax: true, PriceIncPost: true},
		{Name: "Fairs and open studio", PromiseDays: 10},
		{Name: "Tollgate Gallery", Fees: charging.Simple(4000, dollars(0)), PromiseDays: 10},
	}
}

var labs = []string{"Saltmarsh Print Room", "Kettle and Rag Editions"}
