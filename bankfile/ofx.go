package bankfile

import (
	"bytes"
	"html"
	"strconv"
	"strings"
	"time"
	"unicode/utf8"

	"golang.org/x/text/encoding/charmap"

	"solander/calendar"
	"solander/fault"
	"solander/money"
)

// IsOFX reports whether a file begins as one of the two forms of OFX does.
func IsOFX(data []byte) bool {
	head := bytes.ToUpper(data[:min(len(data), 2000)])
	return bytes.Contains(head, []byte("OFXHEADER")) || bytes.Contains(head, []byte("<OFX>"))
}

// ReadOFX reads all statements of an OFX file.
// Faults: TooLarge beyond the limits; Invalid for a file that is cut off, a line without day or amount, a currency that is none;
// Refused for a line in another currency than its account.
func ReadOFX(data []byte) ([]Statement, error) {
	if len(data) > MostBytes {
		return nil, fault.New(fault.TooLarge, "a file of %d MB is too large", len(data)>>20).In("file").ToMend("ask the bank for a shorter span: at most %d MB are read", MostBytes>>20)
	}
	text, err := ofxText(data)
	if err != nil {
		return nil, err
	}
	p := ofx{}
	if err := p.run(text); err != nil {
		return nil, err
	}
	return p.out, p.wrong.err()
}

// ofxText is the file as text, by the character set that its header names: UTF-8, or else Windows-1252, of which ASCII is a part.
func ofxText(data []byte) (string, error) {
	head := string(bytes.ToUpper(data[:min(len(data), 2000)]))
	data = bytes.TrimPrefix(data, []byte("\xef\xbb\xbf"))
	if utf8.Valid(data) {
		return string(data), nil
	}
	if strings.Contains(head, "UTF-8") || strings.Contains(head, "ENCODING:UNICODE") {
		return "", fault.Invalidf("file", "it says that it is UTF-8, and is not").ToMend("take the file from the bank again, and open it in no other program before")
	}
	out, err := charmap.Windows1252.NewDecoder().Bytes(data)
	return string(out), err
}

// ofx reads one element after the other. In the older form only aggregates are closed; a value ends where the next element begins, so
// that both forms are read alike: what has a value is a value, what has none is an aggregate.
type ofx struct {
	out   []Statement
	wrong wrongs
	lines int
	stack []string // open aggregates, of which the reader knows
	line  map[string]string
	row   int
	ended bool
}

// known are the aggregates that say where a value belongs.
var known = map[string]bool{
	"STMTRS": true, "CCSTMTRS": true, "BANKACCTFROM": true, "CCACCTFROM": true, "STMTTRN": true, "PAYEE": true, "CURRENCY": true, "ORIGCURRENCY": true,
	"BANKACCTTO": true, "CCACCTTO": true, "STMTTRNP": true, "LEDGERBAL": true, "AVAILBAL": true, "BALLIST": true,
}

func (p *ofx) run(text string) error {
	row, at := 1, 0
	for {
		i := strings.IndexByte(text[at:], '<')
		if i < 0 {
			break
		}
		row += strings.Count(text[at:at+i], "\n")
		at += i
		j := strings.IndexByte(text[at:], '>')
		if j < 0 {
			return fault.Invalidf("file", "it is cut off within an element").At("line %d", row).ToMend("take the file from the bank again")
		}
		name, body := strings.TrimSpace(text[at+1:at+j]), text[at+j+1:]
		next := strings.IndexByte(body, '<')
		if next < 0 {
			next = len(body)
		}
		value := body[:next]
		if err := p.element(strings.ToUpper(name), strings.TrimSpace(html.UnescapeString(value)), row); err != nil {
			return err
		}
		row += strings.Count(text[at:at+j+1], "\n") + strings.Count(value, "\n")
		at += j + 1 + next
	}
	if !p.ended {
		return fault.Invalidf("file", "it is cut off: its end is missing").ToMend("take the file from the bank again")
	}
	return nil
}

func (p *ofx) element(name, value string, row int) error {
	switch {
	case name == "" || name[0] == '?' || name[0] == '!' || strings.HasSuffix(name, "/"):
		return nil
	case name == "/OFX":
		p.ended = true
		return nil
	case name[0] == '/':
		return p.close(name[1:])
	case known[name] && value == "":
		return p.open(name, row)
	}
	p.value(name, value)
	return nil
}

func (p *ofx) in() string {
	if len(p.stack) == 0 {
		return ""
	}
	return p.stack[len(p.stack)-1]
}

func (p *ofx) open(name string, row int) error {
	p.stack = append(p.stack, name)
	switch name {
	case "STMTRS", "CCSTMTRS":
		p.out = append(p.out, Statement{Kind: OFX})
	case "STMTTRN":
		if p.lines++; p.lines > MostLines {
			return tooMany()
		}
		p.line, p.row = map[string]string{}, row
	}
	return nil
}

func (p *ofx) close(name string) error {
	if p.in() != name {
		return nil // a value's own end, or an aggregate that says nothing of where values belong
	}
	p.stack = p.stack[:len(p.stack)-1]
	if name != "STMTTRN" {
		return nil
	}
	if len(p.out) == 0 {
		return fault.Invalidf("file", "a line stands outside of a statement").At("line %d", p.row).ToMend("take the file from the bank again")
	}
	s := &p.out[len(p.out)-1]
	l, f := p.read(s.Currency)
	if f != nil {
		p.wrong.add(p.row, f)
		return nil
	}
	s.Lines = append(s.Lines, l)
	return nil
}

func (p *ofx) value(name, value string) {
	switch p.in() {
	case "BANKACCTFROM", "CCACCTFROM":
		if name == "ACCTID" && len(p.out) > 0 {
			p.out[len(p.out)-1].Account = tidy(value)
		}
	case "STMTRS", "CCSTMTRS":
		if name == "CURDEF" {
			p.out[len(p.out)-1].Currency = strings.ToUpper(value)
		}
	case "STMTTRN":
		p.line[name] = value
	case "PAYEE":
		if name == "NAME" && p.line != nil {
			p.line["PAYEE"] = value
		}
	case "CURRENCY": // the amount is in it; in ORIGCURRENCY it is the account's already
		if name == "CURSYM" && p.line != nil {
			p.line["CURRENCY"] = strings.ToUpper(value)
		}
	}
}

// read makes a line of the values of one transaction.
func (p *ofx) read(currency string) (l Line, f *fault.Error) {
	if !money.Known(currency) {
		return l, fault.Invalidf("file", "the account's currency %.10q is none", currency).ToMend("it must be an ISO 4217 code such as USD")
	}
	if in := p.line["CURRENCY"]; in != "" && in != currency {
		return l, fault.New(fault.Refused, "it is in %.10s, the account is in %s", in, currency).In("file").ToMend("bring in the file of the account in %.10s", in)
	}
	l = Line{Ref: tidy(p.line["FITID"]), Name: tidy(p.line["NAME"]), Note: tidy(p.line["MEMO"]), Row: p.row}
	if l.Name == "" {
		l.Name = tidy(p.line["PAYEE"])
	}
	if check := tidy(p.line["CHECKNUM"]); check != "" {
		l.Note = strings.TrimSpace(l.Note + " check " + check)
	}
	if l.Name == "" && l.Note == "" {
		l.Name = strings.ToLower(p.line["TRNTYPE"])
	}
	if l.Day, f = ofxDay(p.line["DTPOSTED"]); f != nil {
		return l, f
	}
	l.Amount, f = ofxAmount(p.line["TRNAMT"], currency)
	return l, f
}

// ofxDay reads the day of YYYYMMDD, behind which a time and a zone may stand: it is the day as the bank writes it.
func ofxDay(text string) (calendar.Day, *fault.Error) {
	bad := fault.Invalidf("file", "%q is no day", fault.Clip(text)).ToMend("it must be written YYYYMMDD")
	if len(text) < 8 {
		return calendar.Day{}, bad
	}
	n, err := strconv.Atoi(text[:8])
	if err != nil || n < 0 || len(text) > 8 && !strings.ContainsRune("0123456789.[", rune(text[8])) {
		return calendar.Day{}, bad
	}
	y, m, d := n/10_000, time.Month(n/100%100), n%100
	day := calendar.Date(y, m, d)
	gotY, gotM, gotD := day.Civil()
	if gotY != y || gotM != m || gotD != d || day.Before(calendar.Earliest) || day.After(calendar.Latest) {
		return calendar.Day{}, bad
	}
	return day, nil
}

// ofxAmount reads an amount: a sign or none, digits, a point or a comma before the decimals. Noughts behind what the currency has are
// cut; anything else there is refused, never rounded.
func ofxAmount(text, currency string) (money.Amount, *fault.Error) {
	bad := fault.Invalidf("file", "%q is no amount in %s", fault.Clip(text), currency).ToMend("it must be written like -12.50")
	s := strings.TrimPrefix(strings.Replace(strings.TrimSpace(text), ",", ".", 1), "+")
	if strings.Trim(strings.TrimPrefix(s, "-"), "0123456789.") != "" || strings.Trim(s, "-.") == "" {
		return money.Amount{}, bad
	}
	if whole, decimals, has := strings.Cut(s, "."); has {
		most := min(money.Digits(currency), len(decimals))
		if strings.Trim(decimals[most:], "0") != "" {
			return money.Amount{}, bad
		}
		if s = whole; most > 0 {
			s += "." + decimals[:most]
		}
	}
	minor, ok := minorOf(s, money.Digits(currency))
	if !ok {
		return money.Amount{}, bad
	}
	return money.Of(minor, currency), nil
}

// minorOf reads a plain decimal number as whole minor units of so many digits.
func minorOf(s string, digits int) (int64, bool) {
	whole, decimals, _ := strings.Cut(s, ".")
	n, err := strconv.ParseInt(whole+decimals+strings.Repeat("0", digits-len(decimals)), 10, 64)
	return n, err == nil && n <= money.MaxMinor && n >= -money.MaxMinor
}
