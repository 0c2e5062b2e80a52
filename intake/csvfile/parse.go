package csvfile

import (
	"fmt"
	"strings"
	"unicode/utf8"

	"solander/fault"
	"solander/intake"
)

// parser reads the grammar of RFC 4180, section 2, with another separator, and CR or LF alone as a line end.
type parser struct {
	text     string // cells are parts of it
	sep      byte
	at       int
	line     int // of at
	cells    int // so far
	width    int // of the first record
	uneven   tally
	bare     tally
	now      []intake.Cell // of the record that is read
	room     []intake.Cell // for cells to come
	progress func(done, total int)
}

// manyCells is for how many cells room is made at once.
const manyCells = 512

// tally counts the lines on which something was seen, and remembers the first.
type tally struct{ first, count int }

func (t *tally) add(line int) {
	if t.count++; t.count == 1 {
		t.first = line
	}
}

// sheet reads all records. Blank ones are left out; rows are counted by the line where they begin.
func (p *parser) sheet() (intake.Sheet, error) {
	var s intake.Sheet
	for p.at < len(p.text) {
		line := p.line
		cells, err := p.record()
		if err != nil {
			return s, err
		}
		if p.width == 0 {
			p.width = len(cells)
		}
		if cells = trim(cells); len(cells) == 0 {
			continue
		}
		if len(cells) > p.width {
			p.uneven.add(line)
		}
		s.Rows = append(s.Rows, intake.Row{N: line, Cells: p.keep(cells)})
		if p.cells += len(cells); len(s.Rows) > MostRows || p.cells > MostCells {
			return s, fault.New(fault.TooLarge, "more than %d rows or %d cells", MostRows, MostCells).At("line %d", line).ToMend("split the file")
		}
		p.tell(len(s.Rows)%1024 == 0)
	}
	p.tell(true)
	return s, nil
}

// keep copies the cells of a record into room for many.
func (p *parser) keep(cells []intake.Cell) []intake.Cell {
	n := len(cells)
	if len(p.room) < n {
		p.room = make([]intake.Cell, max(n, manyCells))
	}
	kept := p.room[:n:n]
	p.room = p.room[n:]
	copy(kept, cells)
	return kept
}

func (p *parser) tell(now bool) {
	if now && p.progress != nil {
		p.progress(p.at, len(p.text))
	}
}

// record reads up to and with the next line end outside quotes. Its cells stand until the next one is read.
func (p *parser) record() ([]intake.Cell, error) {
	p.now = p.now[:0]
	for {
		text, err := p.field()
		if err != nil {
			return nil, err
		}
		c := intake.Cell{Text: text}
		if strings.TrimSpace(text) != "" {
			c.Kind = intake.Words
		}
		if p.now = append(p.now, c); len(p.now) > MostColumns {
			return nil, fault.New(fault.TooLarge, "more than %d cells in a row", MostColumns).At("line %d", p.line).ToMend("check what parts the cells, or take columns out")
		}
		if p.at >= len(p.text) {
			return p.now, nil
		}
		if p.text[p.at] != p.sep {
			p.lineEnd()
			return p.now, nil
		}
		p.at++
	}
}

// lineEnd steps over CR LF, LF or CR.
func (p *parser) lineEnd() {
	if p.text[p.at] == '\r' && p.at+1 < len(p.text) && p.text[p.at+1] == '\n' {
		p.at++
	}
	p.at++
	p.line++
}

// field reads one field and stops at the separator, line end or end of the text behind it. A quote within an unquoted
// field, which rule 5 forbids, is read as it stands (12" x 18") and told.
func (p *parser) field() (string, error) {
	if p.at < len(p.text) && p.text[p.at] == '"' {
		return p.quoted()
	}
	start := p.at
	for p.at < len(p.text) && p.text[p.at] != p.sep && p.text[p.at] != '\n' && p.text[p.at] != '\r' {
		p.at++
	}
	raw := p.text[start:p.at]
	if strings.IndexByte(raw, '"') >= 0 {
		p.bare.add(p.line)
	}
	return p.cell(raw)
}

// quoted reads a field in quotes, with doubled quotes for one (rule 7) and line ends as they are (rule 6).
func (p *parser) quoted() (string, error) {
	open, openLine := p.at, p.line
	p.at++
	inside := "" // up to the last doubled quote
	for {
		n := strings.IndexByte(p.text[p.at:], '"')
		if n < 0 {
			_, column := place(p.text, open)
			return "", fault.New(fault.Invalid, "a quote is opened and never closed").At("line %d, column %d", openLine, column).ToMend("close it, or double a quote that belongs to the text")
		}
		part := p.text[p.at : p.at+n]
		p.line += lines(part)
		p.at += n + 1
		if p.at >= len(p.text) || p.text[p.at] != '"' {
			inside += part
			break
		}
		inside += part + `"`
		p.at++
	}
	if p.at < len(p.text) && p.text[p.at] != p.sep && p.text[p.at] != '\n' && p.text[p.at] != '\r' {
		_, column := place(p.text, p.at)
		return "", fault.New(fault.Invalid, "something follows a closed quote").At("line %d, column %d", p.line, column).ToMend("double a quote that belongs to the text")
	}
	return p.cell(inside)
}

// lines counts line ends, where CR LF is one.
func lines(part string) int {
	return strings.Count(part, "\n") + strings.Count(part, "\r") - strings.Count(part, "\r\n")
}

func (p *parser) cell(raw string) (string, error) {
	if len(raw) > MostCell {
		return "", fault.New(fault.TooLarge, "a cell of %d characters is too large", utf8.RuneCountInString(raw)).At("line %d", p.line).ToMend("check the quotes before it, or shorten it")
	}
	return raw, nil
}

// trim cuts blank cells off the end.
func trim(cells []intake.Cell) []intake.Cell {
	for len(cells) > 0 && cells[len(cells)-1].Kind == intake.Blank {
		cells = cells[:len(cells)-1]
	}
	return cells
}

// findings tells what was read otherwise than the grammar says.
func (p *parser) findings() []intake.Finding {
	var all []intake.Finding
	if p.uneven.count > 0 {
		all = append(all, intake.Finding{
			Rule: "csv.width", Row: p.uneven.first, Count: p.uneven.count, Doubt: true,
			What: fmt.Sprintf("rows with more cells than the %d of the first row", p.width), Mend: "look whether a separator stands within a cell that has no quotes",
		})
	}
	if p.bare.count > 0 {
		all = append(all, intake.Finding{
			Rule: "csv.quote", Row: p.bare.first, Count: p.bare.count, Doubt: true,
			What: "quotes within cells that are not in quotes: read as they stand", Mend: "look whether these rows have the right columns",
		})
	}
	return all
}
