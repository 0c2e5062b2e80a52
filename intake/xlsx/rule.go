package xlsx

import (
	"cmp"
	"encoding/xml"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"solander/fault"
	"solander/intake"
)

// rule is one rule of a conditional format (18.3.1.10).
type rule struct {
	priority int
	areas    []area
	fill     intake.Fill
	stop     bool
	test     test
	why      string // it cannot be worked out; test is nil
}

// test decides about a cell.
type test func(at env) bool

const (
	mostRules = 2_000
	mostWork  = 20_000_000 // rules times rows, and questions asked of cells
)

// readRules reads a conditionalFormatting element to its end.
func (s *sheet) readRules(x *stream, e xml.StartElement) error {
	areas := parseAreas(attr(e, "sqref"))
	for {
		t, err := x.next()
		if err != nil || t == nil {
			return err
		}
		r, ok := t.(xml.StartElement)
		if !ok {
			return nil
		}
		formulas, err := readFormulas(x)
		if err != nil {
			return err
		}
		if r.Name.Local != "cfRule" || len(areas) == 0 {
			continue
		}
		if s.rules = append(s.rules, s.rule(r, areas, formulas)); len(s.rules) > mostRules {
			return fault.New(fault.TooLarge, "the sheet %s has more than %d conditional formats", fault.Clip(s.out.Name), mostRules).ToMend("copy the sales into a new sheet, as values")
		}
	}
}

func parseAreas(sqref string) []area {
	var all []area
	for _, ref := range strings.Fields(sqref) {
		if a, ok := parseArea(ref); ok {
			all = append(all, a)
		}
	}
	return all
}

// readFormulas reads an element to its end and returns the formulas in it.
func readFormulas(x *stream) ([]string, error) {
	var all []string
	for depth := 0; ; {
		t, err := x.next()
		if err != nil || t == nil {
			return all, err
		}
		switch t := t.(type) {
		case xml.EndElement:
			if depth == 0 {
				return all, nil
			}
			depth--
		case xml.StartElement:
			if n := t.Name.Local; n != "formula" && n != "f" {
				depth++
				continue
			}
			f, err := x.text()
			if err != nil {
				return nil, err
			}
			all = append(all, f)
		}
	}
}

// rule makes a rule of a cfRule element.
func (s *sheet) rule(e xml.StartElement, areas []area, formulas []string) rule {
	r := rule{areas: areas, stop: isTrue(attr(e, "stopIfTrue"))}
	r.priority, _ = strconv.Atoi(attr(e, "priority"))
	if i, err := strconv.Atoi(attr(e, "dxfId")); err == nil && i >= 0 && i < len(s.look.dxfs) {
		r.fill = s.look.dxfs[i].fill
	}
	origin := areas[0]
	for _, a := range areas {
		origin.left, origin.top = min(origin.left, a.left), min(origin.top, a.top)
	}
	r.test, r.why = s.test(e, formulas, origin)
	if r.test == nil && r.fill.IsZero() && attr(e, "type") != "colorScale" {
		r.test, r.why = func(env) bool { return false }, "" // it colours nothing
	}
	return r
}

// test compiles what a rule asks (18.18.12, ST_CfType); why says what cannot be worked out.
func (s *sheet) test(e xml.StartElement, formulas []string, origin area) (_ test, why string) {
	kind, text := attr(e, "type"), attr(e, "text")
	switch kind {
	case "containsText", "notContainsText", "beginsWith", "endsWith":
		if text != "" {
			return s.textTest(kind, text), ""
		}
	case "containsErrors", "notContainsErrors":
		return func(at env) bool {
			return (s.cellAt(at.column, at.row).Kind == intake.Broken) == (kind == "containsErrors")
		}, ""
	case "containsBlanks", "notContainsBlanks":
		return func(at env) bool {
			return (s.cellAt(at.column, at.row).Kind == intake.Blank) == (kind == "containsBlanks")
		}, ""
	case "cellIs":
		return s.cellIs(attr(e, "operator"), formulas, origin)
	case "expression":
	case "dataBar", "iconSet":
		return func(env) bool { return false }, "" // they do not fill the cell
	case "colorScale":
		return nil, "a scale of colours goes by all values together"
	case "timePeriod":
		return nil, "it goes by the day on which the file is looked at"
	default:
		return nil, fmt.Sprintf("it is of the kind %.20q, which compares cells with each other", kind)
	}
	if len(formulas) != 1 {
		return nil, "it has no formula"
	}
	n, why := compile(formulas[0], origin)
	if why != "" {
		return nil, fmt.Sprintf("its formula %s %s", fault.Clip(formulas[0]), why)
	}
	return func(at env) bool { return n(at).truth() }, ""
}

func (s *sheet) textTest(kind, text string) test {
	text = strings.ToLower(text)
	return func(at env) bool {
		shown := strings.ToLower(s.cellAt(at.column, at.row).Text)
		switch kind {
		case "beginsWith":
			return strings.HasPrefix(shown, text)
		case "endsWith":
			return strings.HasSuffix(shown, text)
		}
		return strings.Contains(shown, text) == (kind == "containsText")
	}
}

// cellIs compiles a comparison of the cell with one or two formulas (18.18.15, ST_ConditionalFormattingOperator).
func (s *sheet) cellIs(operator string, formulas []string, origin area) (test, string) {
	var sides []node
	for _, f := range formulas {
		n, why := compile(f, origin)
		if why != "" {
			return nil, fmt.Sprintf("its formula %s %s", fault.Clip(f), why)
		}
		sides = append(sides, n)
	}
	two := operator == "between" || operator == "notBetween"
	if len(sides) < 1 || two && len(sides) < 2 {
		return nil, "it has no formula"
	}
	sign, known := map[string]string{"lessThan": "<", "lessThanOrEqual": "<=", "equal": "=", "notEqual": "<>", "greaterThanOrEqual": ">=", "greaterThan": ">"}[operator]
	if !known && !two {
		return nil, fmt.Sprintf("it compares by %.20q", operator)
	}
	return func(at env) bool {
		v := valueOf(s.cellAt(at.column, at.row))
		if !two {
			return compare(sign, v, sides[0](at)).truth()
		}
		a, b := sides[0](at), sides[1](at)
		if compare(">", a, b).truth() {
			a, b = b, a
		}
		low, high := compare(">=", v, a), compare("<=", v, b)
		if low.kind == isError || high.kind == isError {
			return false
		}
		return (low.truth() && high.truth()) == (operator == "between")
	}, ""
}

// readLater reads the extensions of a sheet. Conditional formats in them are of later kinds: they are told unless they
// cannot fill a cell.
func (s *sheet) readLater(x *stream) error {
	return within(x, func(e xml.StartElement) {
		if e.Name.Local != "cfRule" {
			return
		}
		if kind := attr(e, "type"); kind != "dataBar" && kind != "iconSet" {
			s.rules = append(s.rules, rule{why: fmt.Sprintf("it is a later form of the kind %.20q", kind)})
		}
	})
}

// paint fills cells that a conditional format colours. The first true rule with a fill wins, by rising priority.
func (s *sheet) paint() {
	var rules []rule
	for _, r := range s.rules {
		switch {
		case r.why != "" && r.test == nil:
			s.tellRule(r)
		case !r.fill.IsZero() || r.stop:
			rules = append(rules, r)
		}
	}
	slices.SortStableFunc(rules, func(a, b rule) int { return cmp.Compare(a.priority, b.priority) })
	left := mostWork
	for i := range s.out.Rows {
		if left -= len(rules); left < 0 {
			s.findings = append(s.findings, intake.Finding{
				Rule: "xlsx.conditional", Sheet: s.out.Name, Row: s.out.Rows[i].N, Doubt: true, Count: len(rules),
				What: "there are too many conditional formats: their colours were worked out above this row only", Mend: "colour the rows themselves",
			})
			return
		}
		s.paintRow(&s.out.Rows[i], rules, &left)
	}
}

func (s *sheet) paintRow(r *intake.Row, rules []rule, left *int) {
	var here []rule
	for _, u := range rules {
		if slices.ContainsFunc(u.areas, func(a area) bool { return r.N >= a.top && r.N <= a.bottom }) {
			here = append(here, u)
		}
	}
	if len(here) == 0 {
		return
	}
	for column := range r.Cells {
		if r.Cells[column].Kind == intake.Blank {
			continue
		}
		at := env{s, column, r.N}
		for _, u := range here {
			*left--
			if !slices.ContainsFunc(u.areas, func(a area) bool { return a.holds(column, r.N) }) || !u.test(at) {
				continue
			}
			if !u.fill.IsZero() {
				r.Cells[column].Fill = u.fill
				break
			}
			if u.stop {
				break
			}
		}
	}
}

// tellRule tells a rule that cannot be worked out, once for each range and reason.
func (s *sheet) tellRule(r rule) {
	f := intake.Finding{
		Rule: "xlsx.conditional", Sheet: s.out.Name, Doubt: true,
		What: "a conditional format could not be worked out: " + r.why, Mend: "colour the rows themselves, or add a column with the state in words",
	}
	if len(r.areas) > 0 {
		f.Row, f.Cell = r.areas[0].top, r.areas[0].String()
	}
	if !slices.Contains(s.findings, f) {
		s.findings = append(s.findings, f)
	}
}

// cellAt returns a cell by column, from 0, and row, from 1; blank where there is none.
func (s *sheet) cellAt(column, row int) intake.Cell {
	rows := s.between(row, row)
	if len(rows) == 0 {
		return intake.Cell{}
	}
	return rows[0].At(column)
}
