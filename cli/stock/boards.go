package stock

import (
	"fmt"
	"io"
	"strconv"
	"strings"

	"solander/calendar"
	"solander/cli/desk"
	"solander/fault"
	"solander/measure"
	"solander/money"
	"solander/planning"
	"solander/studio"
)

type Boards struct {
	File   string   `arg:"" optional:"" placeholder:"FILE" predictor:"file" help:"What is wanted, as JSON (docs/formats/boards.md; - is the input stream)."`
	Sheet  []string `placeholder:"SIZE[,COUNT[,COST]]" sep:"none" help:"A big sheet: 32x40in, 10 of it, at 6.50 each; no count is as many as it takes."`
	Board  []string `placeholder:"SIZE,COUNT" sep:"none" help:"Boards wanted: 12x16in,8."`
	Bench  bool     `help:"The boards that the bench's plans of today take."`
	Kerf   string   `placeholder:"LENGTH" help:"What one cut takes away: nothing for a knife, about 1/8 in for a saw."`
	OneWay bool     `help:"Boards are not turned on the sheet."`
	Needed bool     `help:"Only list the boards that the bench's plans of today take."`
	PDF    string   `placeholder:"FILE" predictor:"file" help:"Write the cutting list as a paper, too (- is the output stream, and nothing else is printed)."`
	Force  bool     `help:"Replace the file of --pdf when it exists."`
}

func (Boards) Help() string {
	return `Cuts boards from the fewest big sheets, at the least cost, with the least waste, by cuts from edge to
edge. Mind the blade: cut away from yourself along a steel rule, and follow local safety advice.

Example:

  solander boards --sheet 32x40in,10,6.50 --board 12x16in,8 --board 9x12in,4
  solander boards --sheet 32x40in --bench --pdf boards.pdf
  solander boards wanted.json --json`
}

func (c *Boards) Run(d *desk.Desk) error {
	if c.Needed {
		o, err := d.Opened()
		if err != nil {
			return err
		}
		return c.needed(o)
	}
	st, in, err := c.asked(d)
	if err != nil {
		return err
	}
	done := d.Waiting("cutting")
	list, err := planning.CutBoards(d.Ctx, st, in)
	done()
	if err != nil {
		return err
	}
	if c.PDF != "" {
		paper, err := planning.BoardsPaper(d.Ctx, st, in)
		if err := desk.Draw(d, desk.SheetOut{Output: c.PDF, Force: c.Force}, paper, err); err != nil || c.PDF == "-" {
			return err
		}
		if d.JSON {
			return nil
		}
	}
	return d.Show(list, func(w io.Writer) { printCutList(w, list, d.Units(), d.Currency()) })
}

// asked reads what is wanted from a file, or from the flags, and opens the studio only when it is needed.
func (c *Boards) asked(d *desk.Desk) (*studio.Studio, planning.BoardsIn, error) {
	q := planning.BoardsIn{Format: planning.BoardsFormat}
	flags := len(c.Sheet)+len(c.Board) > 0 || c.Bench || c.Kerf != ""
	switch {
	case c.File != "" && flags:
		return nil, q, fault.Invalidf("file", "a file says all itself").ToMend("leave out --sheet, --board, --bench and --kerf")
	case c.File != "":
		st := studio.New(nil, studio.Options{Clock: d.Env.Clock, Times: d.Env.Times})
		err := d.ReadJSON(c.File, "file", &q)
		return st, q, err
	case !flags:
		return nil, q, fault.Invalidf("file", "nothing is asked for").ToMend("name a file, or give --sheet and --board or --bench")
	}
	st := studio.New(nil, studio.Options{Clock: d.Env.Clock, Times: d.Env.Times})
	if c.Bench {
		o, err := d.Opened()
		if err != nil {
			return nil, q, err
		}
		st = o.Studio
	}
	err := c.flags(d, st, &q)
	return st, q, err
}

func (c *Boards) flags(d *desk.Desk, st *studio.Studio, q *planning.BoardsIn) error {
	u := d.Units()
	if c.Kerf != "" {
		k, err := measure.ParseLength(c.Kerf, u)
		if err != nil {
			return desk.In(err, "kerf")
		}
		q.Kerf = k
	}
	for i, text := range c.Sheet {
		s, err := bigSheet(text, u, d.Currency())
		if err != nil {
			return desk.In(err, "sheet")
		}
		s.ID = fmt.Sprintf("sheet %d", i+1)
		q.Sheets = append(q.Sheets, s)
	}
	for i, text := range c.Board {
		b, err := boardWanted(text, u)
		if err != nil {
			return desk.In(err, "board")
		}
		b.ID, b.OneWay = fmt.Sprintf("board %d", i+1), c.OneWay
		q.Boards = append(q.Boards, b)
	}
	if !c.Bench {
		return nil
	}
	need, err := planning.BoardsNeeded(d.Ctx, st, calendar.Day{})
	if err != nil {
		return err
	}
	for _, n := range need {
		q.Boards = append(q.Boards, planning.BoardWanted{ID: n.Item.ID, Width: n.Item.Width, Height: n.Item.Height, Count: n.Needed, OneWay: c.OneWay})
	}
	if len(q.Boards) == 0 {
		return fault.New(fault.Refused, "the bench's plans of today take no board").ToMend("name the boards with --board")
	}
	return nil
}

// twoSides reads "12x16in", "12 x 16 in" or "12 × 16".
func twoSides(text string, u measure.System) (w, h measure.Length, err error) {
	one, two, ok := strings.Cut(strings.ReplaceAll(strings.ToLower(text), "×", "x"), "x")
	if !ok {
		return 0, 0, fault.New(fault.Invalid, "%.40q is no size", text).ToMend("write it like 12x16in")
	}
	if h, err = measure.ParseLength(strings.TrimSpace(two), u); err != nil {
		return 0, 0, err
	}
	one = strings.TrimSpace(one)
	if unit := strings.TrimLeft(strings.TrimSpace(two), "0123456789./ "); unit != "" && strings.Trim(one, "0123456789./ ") == "" {
		one += " " + unit
	}
	w, err = measure.ParseLength(one, u)
	return w, h, err
}

func bigSheet(text string, u measure.System, currency string) (s planning.BigSheet, err error) {
	parts := strings.SplitN(text, ",", 3)
	if s.Width, s.Height, err = twoSides(parts[0], u); err != nil {
		return s, err
	}
	if len(parts) > 1 && strings.TrimSpace(parts[1]) != "" {
		if s.Count, err = pieces(parts[1]); err != nil {
			return s, err
		}
	}
	if len(parts) > 2 {
		a, err := money.Parse(strings.TrimSpace(parts[2]), currency)
		if err != nil {
			return s, err
		}
		s.Cost = a.Minor
	}
	return s, nil
}

func boardWanted(text string, u measure.System) (b planning.BoardWanted, err error) {
	size, count, ok := strings.Cut(text, ",")
	if !ok {
		return b, fault.New(fault.Invalid, "%.40q does not say how many", text).ToMend("write it like 12x16in,8")
	}
	if b.Width, b.Height, err = twoSides(size, u); err != nil {
		return b, err
	}
	b.Count, err = pieces(count)
	return b, err
}

// pieces reads a count.
func pieces(text string) (int, error) {
	n, err := strconv.Atoi(strings.TrimSpace(text))
	if err != nil {
		return 0, fault.New(fault.Invalid, "%.20q is not a whole number", text).ToMend("write the count in digits, like 8")
	}
	return n, nil
}

func (c *Boards) needed(d *desk.Open) error {
	need, err := planning.BoardsNeeded(d.Ctx, d.Studio, calendar.Day{})
	if err != nil {
		return err
	}
	return d.Show(need, func(w io.Writer) {
		if len(need) == 0 {
			fmt.Fprintln(w, "the bench's plans of today take no board")
			return
		}
		desk.Table(w, func(row func(string, ...any)) {
			row("BOARD\tNEEDED\tON HAND")
			for _, n := range need {
				row("%s\t%d\t%d", n.Item.Name, n.Needed, n.OnHand)
			}
		})
	})
}

func printCutList(w io.Writer, list planning.CutList, u measure.System, currency string) {
	fmt.Fprint(w, list.Proof())
	if list.Cost > 0 {
		fmt.Fprintf(w, "; they cost %s", money.Of(list.Cost, currency))
	}
	fmt.Fprintln(w)
	for i, s := range list.Sheets {
		drawn := s.Drawn(u, i+1)
		fmt.Fprintf(w, "\n%s\n", drawn.Title)
		for _, b := range drawn.Boards {
			fmt.Fprintf(w, "  %s\n", b)
		}
		fmt.Fprintf(w, "  %s\n", drawn.Waste)
		for n, step := range drawn.Steps {
			fmt.Fprintf(w, "  %2d. %s\n", n+1, step)
		}
	}
	fmt.Fprintln(w)
	for _, c := range list.Cautions {
		fmt.Fprintf(w, "caution: %s\n", c)
	}
}
