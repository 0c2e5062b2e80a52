package planning_test

import (
	"context"
	"strings"
	"testing"

	"solander/calendar"
	"solander/fault"
	"solander/internal/bed"
	"solander/measure"
	"solander/packing/cutting"
	"solander/planning"
	"solander/stockroom"
	"solander/studio"
)

// boards asks for the boards of one sheet of 32 × 40 in.
func boards(kerf measure.Length, wanted ...planning.BoardWanted) planning.BoardsIn {
	return planning.BoardsIn{
		Format: planning.BoardsFormat, Kerf: kerf, Boards: wanted,
		Sheets: []planning.BigSheet{{ID: "mount", Width: 32 * bed.Inch, Height: 40 * bed.Inch, Cost: 650}},
	}
}

// By hand: a sheet of 32 × 40 in gives two columns of 16 in with two boards of 20 in: four without
// offcut by a knife. A saw that takes 1/8 in leaves no room for a second board of 16 in beside the first;
// turned, 20 + 1/8 + … does not fit either: one row of 16 × 20 and its like above it, two boards a sheet.
func TestAKnifeTakesNothingAndASawItsBlade(t *testing.T) {
	s := studio.New(nil, studio.Options{})
	four := planning.BoardWanted{ID: "b", Width: 16 * bed.Inch, Height: 20 * bed.Inch, Count: 4}
	list, err := planning.CutBoards(context.Background(), s, boards(0, four))
	if err != nil {
		t.Fatal(err)
	}
	if list.Number() != 1 || !list.Least || list.Cost != 650 || len(list.Sheets[0].Boards) != 4 || len(list.Sheets[0].Waste) != 0 || len(list.Sheets[0].Cuts) != 3 {
		t.Errorf("by knife: %+v", list)
	}
	list, err = planning.CutBoards(context.Background(), s, boards(bed.Inch/8, four))
	if err != nil {
		t.Fatal(err)
	}
	if list.Number() != 2 || !list.Proven || list.Cost != 1300 {
		t.Errorf("by saw: %d sheets for %d: %+v", list.Number(), list.Cost, list)
	}
	if len(list.Cautions) < 3 || !strings.Contains(strings.Join(list.Cautions, " "), "Cut away from you") {
		t.Errorf("no caution for the blade: %q", list.Cautions)
	}
}

// Alike sheets are told once, and the cuts of each count from 1 without a gap.
func TestSheetsCutAlikeAreToldOnce(t *testing.T) {
	s := studio.New(nil, studio.Options{})
	list, err := planning.CutBoards(context.Background(), s, boards(0, planning.BoardWanted{ID: "b", Width: 16 * bed.Inch, Height: 20 * bed.Inch, Count: 12}))
	if err != nil {
		t.Fatal(err)
	}
	if len(list.Sheets) != 1 || list.Sheets[0].Copies != 3 || list.Number() != 3 {
		t.Fatalf("%d kinds of sheets: %+v", len(list.Sheets), list.Sheets)
	}
	for i, c := range list.Sheets[0].Cuts {
		if c.Step != i+1 {
			t.Errorf("cut %d comes as number %d", i+1, c.Step)
		}
	}
}

// A board that may not be turned needs its height along the sheet's.
func TestOneWayBoardsAreNotTurned(t *testing.T) {
	s := studio.New(nil, studio.Options{})
	long := planning.BoardWanted{ID: "b", Width: 36 * bed.Inch, Height: 10 * bed.Inch, Count: 1}
	if _, err := planning.CutBoards(context.Background(), s, boards(0, long)); err != nil {
		t.Errorf("turned it fits: %v", err)
	}
	long.OneWay = true
	if _, err := planning.CutBoards(context.Background(), s, boards(0, long)); !fault.Is(err, fault.Refused) {
		t.Errorf("36 in wide from a sheet 32 in wide: %v", err)
	}
}

func TestBadBoardsAreNamed(t *testing.T) {
	s := studio.New(nil, studio.Options{})
	for field, in := range map[string]planning.BoardsIn{
		"format":          {Sheets: boards(0).Sheets, Boards: []planning.BoardWanted{{ID: "b", Width: bed.Inch, Height: bed.Inch, Count: 1}}},
		"boards":          boards(0),
		"kerf":            boards(-1, planning.BoardWanted{ID: "b", Width: bed.Inch, Height: bed.Inch, Count: 1}),
		"boards[0].count": boards(0, planning.BoardWanted{ID: "b", Width: bed.Inch, Height: bed.Inch}),
		"boards[0].width": boards(0, planning.BoardWanted{ID: "b", Height: bed.Inch, Count: 1}),
		"boards[1].id":    boards(0, planning.BoardWanted{ID: "b", Width: bed.Inch, Height: bed.Inch, Count: 1}, planning.BoardWanted{ID: "b", Width: bed.Inch, Height: bed.Inch, Count: 1}),
	} {
		_, err := planning.CutBoards(context.Background(), s, in)
		if all := fault.All(err); len(all) != 1 || all[0].Code != fault.Invalid || all[0].Field != field {
			t.Errorf("%s: %v", field, err)
		}
	}
}

// The list on paper is verified: what its cuts leave are its boards.
func TestThePaperTellsEveryCut(t *testing.T) {
	b := bed.New(t)
	in := boards(bed.Inch/16, planning.BoardWanted{ID: "small", Width: 9 * bed.Inch, Height: 12 * bed.Inch, Count: 7}, planning.BoardWanted{ID: "large", Width: 18 * bed.Inch, Height: 24 * bed.Inch, Count: 2})
	paper, err := planning.BoardsPaper(b.Ctx, b.Studio, in)
	b.Must(err)
	list, err := planning.CutBoards(b.Ctx, b.Studio, in)
	b.Must(err)
	if paper.Studio != "Wren Street Press" || len(paper.Sheets) != len(list.Sheets) || !strings.Contains(paper.Proof, "sheet") {
		t.Errorf("%+v", paper)
	}
	for i, s := range paper.Sheets {
		if len(s.Steps) != len(list.Sheets[i].Cuts) || len(s.Steps) == 0 {
			t.Errorf("sheet %d tells %d of %d cuts", i+1, len(s.Steps), len(list.Sheets[i].Cuts))
		}
	}
	demand := []cutting.Piece{{Count: 7}, {Count: 2}}
	for i, name := range []string{"small", "large"} {
		got := 0
		for _, s := range list.Sheets {
			for _, x := range s.Boards {
				if x.Board == name {
					got += s.Copies
				}
			}
		}
		if got != demand[i].Count {
			t.Errorf("%d of %s, want %d", got, name, demand[i].Count)
		}
	}
}

// Two prints of 11 × 14 in go between two boards in a carton (the house rules of the first studio), even
// when the shelf holds no board: that is what is to be cut.
func TestTheBoardsThatTheBenchNeeds(t *testing.T) {
	b := bed.New(t)
	for key, it := range b.Shelf() {
		if strings.HasPrefix(key, "board-") {
			b.Must(stockroom.CountShelf(b.Ctx, b.Studio, it.ID, 0, "all cut up"))
		}
	}
	if need, err := planning.BoardsNeeded(b.Ctx, b.Studio, calendar.Day{}); err != nil || len(need) != 0 {
		t.Fatalf("an empty bench needs %+v (%v)", need, err)
	}
	b.Ready(b.Heron.ID, b.Heron.ID)
	need, err := planning.BoardsNeeded(b.Ctx, b.Studio, calendar.Day{})
	b.Must(err)
	if len(need) != 1 || need[0].Needed != 2 || need[0].OnHand != 0 || need[0].Item.Width < 11*bed.Inch {
		t.Errorf("%+v", need)
	}
}
