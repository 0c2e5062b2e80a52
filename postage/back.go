package postage

import (
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"
	"unicode/utf8"

	"solander/export"
	"solander/fault"
	"solander/money"
)

// Label is one row that came back.
type Label struct {
	Row      int          `json:"row"` // of the file, from 1
	Mark     string       `json:"mark"`
	Part     int          `json:"part,omitempty"` // 0 = the file names none
	Tracking string       `json:"tracking"`
	Paid     money.Amount `json:"paid"`
	Service  string       `json:"service,omitempty"`
}

// Problem is what is wrong with a row, told before anything is written.
type Problem struct {
	Row    int    `json:"row"`
	Column string `json:"column,omitempty"` // its heading
	What   string `json:"what"`
	Mend   string `json:"mend,omitempty"`
}

// mostRows bounds a file: a studio has no more parcels at once.
const mostRows = 20_000

// Read reads the file that came back: the rows that can be read, and what is wrong with the others. Prices are in
// the studio's currency unless they name one. Faults: Invalid when the file cannot be read as a whole, or
// lacks a column.
func (l Layout) Read(r io.Reader, currency string) ([]Label, []Problem, error) {
	in := export.NewReader(r, separators[l.Separator])
	head, err := in.Read()
	if errors.Is(err, io.EOF) {
		return nil, nil, fault.New(fault.Invalid, "the file is empty").In("file").ToMend("choose the file that the seller gave back")
	}
	if err != nil {
		return nil, nil, err
	}
	at, err := l.columns(head)
	if err != nil {
		return nil, nil, err
	}
	var labels []Label
	var problems []Problem
	seen := map[string]int{}
	for {
		row, err := in.Read()
		if errors.Is(err, io.EOF) {
			return labels, problems, nil
		}
		if err != nil {
			return nil, nil, err
		}
		if in.Row > mostRows {
			return nil, nil, fault.New(fault.TooLarge, "the file has more than %d rows", mostRows).ToMend("give it in parts")
		}
		if blank(row) {
			continue
		}
		lb, wrong := l.label(at, row, in.Row, currency)
		key := fmt.Sprintf("%s/%d", lb.Mark, lb.Part)
		if first, twice := seen[key]; twice && len(wrong) == 0 {
			wrong = []Problem{{in.Row, l.Back.Mark, fmt.Sprintf("row %d is of the same parcel", first), "leave one of them out"}}
		}
		if seen[key] = in.Row; len(wrong) > 0 {
			problems = append(problems, wrong...)
			continue
		}
		labels = append(labels, lb)
	}
}

// columns finds the columns of Back in a heading row; -1 for one that the layout does not name.
func (l Layout) columns(head []string) ([4]int, error) {
	var at [4]int
	var f fault.List
	for i, want := range []string{l.Back.Mark, l.Back.Tracking, l.Back.Price, l.Back.Service} {
		at[i] = -1
		for j, h := range head {
			if want != "" && fold(export.Unguard(h)) == fold(want) {
				at[i] = j
			}
		}
		f.Check(want == "" || at[i] >= 0, "file", fmt.Sprintf("no column is headed %.40q", want), "is it the right file, and the layout's separator?")
	}
	return at, f.Err()
}

func blank(row []string) bool { return strings.TrimSpace(strings.Join(row, "")) == "" }

func (l Layout) label(at [4]int, row []string, n int, currency string) (Label, []Problem) {
	cell := func(i int) string {
		if at[i] < 0 || at[i] >= len(row) {
			return ""
		}
		return strings.TrimSpace(export.Unguard(row[at[i]]))
	}
	lb := Label{Row: n, Tracking: cell(1), Service: cell(3)}
	var wrong []Problem
	tell := func(column, what, mend string) { wrong = append(wrong, Problem{n, column, what, mend}) }
	for _, c := range row {
		if !utf8.ValidString(c) {
			tell("", "it is not UTF-8 text", "save the file as UTF-8")
			return lb, wrong
		}
	}
	mark, part, parted := strings.Cut(cell(0), "/")
	if lb.Mark = strings.TrimSpace(mark); lb.Mark == "" {
		tell(l.Back.Mark, "it names no parcel", "fill in the order's mark")
	}
	if parted {
		k, err := strconv.Atoi(strings.TrimSpace(part))
		if lb.Part = k; err != nil || k < 1 {
			tell(l.Back.Mark, fmt.Sprintf("%.40q is no parcel", cell(0)), "write it like S-1042/2")
		}
	}
	if lb.Tracking == "" {
		tell(l.Back.Tracking, "the tracking number is missing", "fill it in, or take the row out")
	}
	if at[2] >= 0 {
		var err error
		if lb.Paid, err = money.Parse(cell(2), currency); err != nil {
			f := fault.All(err)[0]
			tell(l.Back.Price, f.What, f.Mend)
		}
	}
	return lb, wrong
}
