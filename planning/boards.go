package planning

import (
	"cmp"
	"context"
	"fmt"
	"time"

	"solander/calendar"
	"solander/dayplan"
	"solander/dayplan/setups"
	"solander/fault"
	"solander/measure"
	"solander/packing"
	"solander/packing/cutting"
	"solander/papers"
	"solander/studio"
)

// BoardsFormat and CutListFormat are the forms of docs/formats/boards.md.
const (
	BoardsFormat  = "solander-boards/1"
	CutListFormat = "solander-cut-list/1"
)

// BoardsIn asks how to cut boards from big sheets. Lengths are nanometres, or text with a unit in JSON.
type BoardsIn struct {
	Format string         `json:"format"`
	Kerf   measure.Length `json:"kerf"` // what a cut takes away; a knife takes nothing, a saw its blade
	Sheets []BigSheet     `json:"sheets"`
	Boards []BoardWanted  `json:"boards"`
}

// BigSheet is sheets of one size that can be cut. Count 0 is as many as it takes; Cost is the price of
// one in minor units.
type BigSheet struct {
	ID     string         `json:"id"`
	Width  measure.Length `json:"width"`
	Height measure.Length `json:"height"`
	Count  int            `json:"count,omitempty"`
	Cost   int64          `json:"cost,omitempty"`
}

// BoardWanted is boards of one size. OneWay boards are not turned: their height runs along the sheet's
// height, as the flutes of corrugated board do.
type BoardWanted struct {
	ID     string         `json:"id"`
	Width  measure.Length `json:"width"`
	Height measure.Length `json:"height"`
	Count  int            `json:"count"`
	OneWay bool           `json:"one_way,omitempty"`
}

// CutList is the answer. Fewer sheets than Bound are surely not enough; Proven says that fewer than these
// are not, Least that as many cannot cost less, nor waste less at that cost. See docs/formats/boards.md.
type CutList struct {
	Format   string         `json:"format"`
	Kerf     measure.Length `json:"kerf"`
	Sheets   []CutSheet     `json:"sheets"`
	Cost     int64          `json:"cost"`
	Bound    int            `json:"bound"`
	Proven   bool           `json:"proven"`
	Least    bool           `json:"least"`
	Cautions []string       `json:"cautions"`
}

// CutSheet is Copies sheets cut alike: cuts in the order in which they are made, and what comes out.
type CutSheet struct {
	Sheet  string            `json:"sheet"`
	Width  measure.Length    `json:"width"`
	Height measure.Length    `json:"height"`
	Copies int               `json:"copies"`
	Cuts   []papers.BoardCut `json:"cuts"`
	Boards []papers.CutBoard `json:"boards"`
	Waste  []papers.CutBoard `json:"waste"`
}

// mostBoardTime is how long the search for a cutting list may usually take before it answers with the best so far.
const mostBoardTime = 5 * time.Second

// Validate looks at what is asked alone, but for sizes, at which package cutting looks. Faults: Invalid.
func (in BoardsIn) Validate() error {
	var l fault.List
	l.Check(in.Format == BoardsFormat, "format", fmt.Sprintf("%.40q is not a format known here", in.Format), "write "+BoardsFormat)
	l.Check(len(in.Sheets) > 0 && len(in.Sheets) <= 50, "sheets", fmt.Sprintf("%d sizes of big sheets are given", len(in.Sheets)), "give 1 to 50")
	l.Check(len(in.Boards) > 0 && len(in.Boards) <= 200, "boards", fmt.Sprintf("%d sizes of boards are wanted", len(in.Boards)), "give 1 to 200")
	l.Check(in.Kerf >= 0 && in.Kerf <= measure.Inch, "kerf", "the kerf is negative or over an inch", "a knife takes nothing, a saw blade about 1/8 in")
	seen := map[string]bool{}
	for i, s := range in.Sheets {
		at := fmt.Sprintf("sheets[%d].", i)
		l.Check(s.ID != "" && len(s.ID) <= 80 && !seen["s"+s.ID], at+"id", "the name of the sheet is missing, too long, or used twice", "give each size a name of its own")
		l.Check(likelySide(s.Width) && likelySide(s.Height), at+"width", "a side of the sheet is missing, negative or over 10 m", "such as 32 in")
		l.Check(s.Count >= 0 && s.Count <= 100_000, at+"count", "the number of sheets is negative or absurd", "0 is as many as it takes")
		l.Check(s.Cost >= 0 && s.Cost <= 1_000_000_00, at+"cost", "the cost of a sheet is negative or absurd", "whole minor units for one sheet")
		seen["s"+s.ID] = true
	}
	for i, b := range in.Boards {
		at := fmt.Sprintf("boards[%d].", i)
		l.Check(b.ID != "" && len(b.ID) <= 80 && !seen["b"+b.ID], at+"id", "the name of the board is missing, too long, or used twice", "give each size a name of its own")
		l.Check(likelySide(b.Width) && likelySide(b.Height), at+"width", "a side of the board is missing, negative or over 10 m", "such as 12 in")
		l.Check(b.Count >= 1 && b.Count <= 5000, at+"count", fmt.Sprintf("%d boards are wanted", b.Count), "1 to 5000")
		seen["b"+b.ID] = true
	}
	return l.Err()
}

func likelySide(l measure.Length) bool { return l > 0 && l <= 10*measure.Metre }

// CutBoards returns the cutting list for boards from the fewest sheets, at the least cost, then with the
// least waste. It asks no store. What is not proven after some seconds, or when ctx ends, is answered with
// the best list so far. The list is verified by what shares no code with the search.
// Faults: Invalid; Refused when a board fits on no sheet or there are too few sheets.
func CutBoards(ctx context.Context, s *studio.Studio, in BoardsIn) (CutList, error) {
	if err := in.Validate(); err != nil {
		return CutList{}, err
	}
	var stock []cutting.Stock
	for _, x := range in.Sheets {
		stock = append(stock, cutting.Stock{ID: x.ID, Width: x.Width, Height: x.Height, Count: x.Count, Cost: x.Cost})
	}
	var wanted []cutting.Piece
	for _, x := range in.Boards {
		wanted = append(wanted, cutting.Piece{ID: x.ID, Width: x.Width, Height: x.Height, Count: x.Count, Turn: !x.OneWay})
	}
	ctx, stop := context.WithTimeout(ctx, cmp.Or(s.Times.Boards, mostBoardTime))
	defer stop()
	plan, err := cutting.Plan(ctx, stock, wanted, in.Kerf)
	if err != nil {
		return CutList{}, err
	}
	if err := cutting.Verify(stock, wanted, in.Kerf, plan); err != nil {
		return CutList{}, fault.New(fault.Internal, "the cutting list did not pass the check, so it is not used").ToMend("keep what was asked and report it").Because(err)
	}
	return cutList(in, plan), nil
}

func cutList(in BoardsIn, plan cutting.CutPlan) CutList {
	out := CutList{Format: CutListFormat, Kerf: in.Kerf, Cost: plan.Cost, Bound: plan.Bound, Proven: plan.Proven, Least: plan.Least, Cautions: papers.KnifeCautions()}
	ids := make([]string, len(in.Boards))
	for i, b := range in.Boards {
		ids[i] = b.ID
	}
	for _, group := range papers.AlikeSheets(plan.Sheets) {
		from := in.Sheets[group.Stock]
		cs := CutSheet{Sheet: from.ID, Width: from.Width, Height: from.Height, Copies: group.Copies}
		cs.Cuts, cs.Boards, cs.Waste = papers.CutOrder(group.Panel, ids)
		out.Sheets = append(out.Sheets, cs)
	}
	return out
}

// BoardsPaper is a cutting list as a paper. Faults: see CutBoards.
func BoardsPaper(ctx context.Context, s *studio.Studio, in BoardsIn) (papers.CuttingList, error) {
	list, err := CutBoards(ctx, s, in)
	if err != nil {
		return papers.CuttingList{}, err
	}
	h := papers.Head{Units: measure.Imperial}
	if s.Store != nil {
		if h, err = HeadOf(ctx, s, calendar.Day{}); err != nil {
			return papers.CuttingList{}, err
		}
	}
	paper := papers.CuttingList{Head: h, Proof: list.Proof(), Cautions: list.Cautions}
	for i, c := range list.Sheets {
		paper.Sheets = append(paper.Sheets, c.Drawn(h.Units, i+1))
	}
	return paper, nil
}

// Drawn is a sheet of the list as papers and pages show it: the nth kind of cutting.
func (c CutSheet) Drawn(units measure.System, n int) papers.DrawnSheet {
	return papers.DrawSheet(units, papers.SheetIn{N: n, Name: c.Sheet, Width: c.Width, Height: c.Height, Copies: c.Copies, Cuts: c.Cuts, Boards: c.Boards, Waste: c.Waste})
}

// Number counts the sheets of the list.
func (l CutList) Number() int {
	n := 0
	for _, s := range l.Sheets {
		n += s.Copies
	}
	return n
}

// Proof says in words what is known about the list.
func (l CutList) Proof() string {
	n := l.Number()
	text := fmt.Sprintf("%d sheets", n)
	if n == 1 {
		text = "1 sheet"
	}
	switch {
	case l.Least:
		return text + "; proven: no list takes fewer, or as many for less"
	case l.Proven:
		return text + "; proven: no list takes fewer sheets"
	}
	return text + fmt.Sprintf("; not proven: fewer than %d are surely not enough", l.Bound)
}

// BoardNeed is boards of one size that the plans of a day take.
type BoardNeed struct {
	Item   packing.Item `json:"item"`
	Needed int          `json:"needed"`
	OnHand int          `json:"on_hand"` // not in packed parcels
}

// BoardsNeeded lists the boards that the plans of the bench would take on a day, the zero day being today,
// were there boards of every size in plenty; retired ones are left out. A size of which none is needed is
// not listed.
func BoardsNeeded(ctx context.Context, s *studio.Studio, day calendar.Day) ([]BoardNeed, error) {
	plan, err := BoardsNeededLater(ctx, s, day)
	return studio.Now(ctx, plan, err)
}

// BoardsNeededLater reads what the boards that are needed follow from.
func BoardsNeededLater(ctx context.Context, s *studio.Studio, day calendar.Day) (studio.Later[[]BoardNeed], error) {
	if err := studio.Sane("day", day); err != nil {
		return nil, err
	}
	var d dayplan.Ask
	err := read(ctx, s, func(t *Planning) (err error) {
		d, err = DayAsk(s, t, day, plentyOfBoards)
		return err
	})
	return func(ctx context.Context) ([]BoardNeed, error) {
		plans, _, err := setups.Of(ctx, s.Plans, d)
		return boardsOf(d, plans), err
	}, err
}

// boardsOf counts the boards that plans take.
func boardsOf(d dayplan.Ask, plans map[int64]dayplan.Plan) []BoardNeed {
	used := map[string]int{}
	for id, p := range plans {
		if !p.Leads(id) {
			continue
		}
		for _, u := range p.Plan.StockUsed {
			used[u.Item] += u.Count
		}
	}
	var out []BoardNeed
	for _, it := range d.Room.Shelf {
		if n := used[it.ID]; it.Kind == packing.Board && n > 0 {
			out = append(out, BoardNeed{Item: it, Needed: n, OnHand: d.Room.Left[it.ID]})
		}
	}
	return out
}

// plentyOfBoards lifts the limit of stock from boards that are in use.
func plentyOfBoards(r *dayplan.Means) {
	for i := range r.Shelf {
		if r.Shelf[i].Kind == packing.Board && !r.Retired[r.Shelf[i].ID] {
			r.Shelf[i].Stock = nil
		}
	}
}
