package xlsx

import (
	"encoding/xml"
	"strings"

	"solander/fault"
	"solander/intake"
)

// book is a workbook while it is read.
type book struct {
	name     string
	parts    parts
	main     string // the workbook part
	date1904 bool
	list     []sheetPart
	strings  []string
	look     look
	findings []intake.Finding
	rows     int // with a value, of all sheets so far
	cells    int
	done     int64
	total    int64
	progress func(done, total int)
}

type sheetPart struct {
	name, part string
	hidden     bool
}

// open reads what stands beside the sheets: the list of them, shared strings, styles, theme.
func (b *book) open() error {
	if err := b.findMain(); err != nil {
		return err
	}
	rels, err := b.rels(b.main)
	if err != nil {
		return err
	}
	if err := b.listSheets(rels); err != nil {
		return err
	}
	if err := b.readStrings(b.byType(rels, "/sharedStrings", "sharedStrings.xml")); err != nil {
		return err
	}
	return b.readLook(b.byType(rels, "/styles", "styles.xml"), b.byType(rels, "/theme", "theme/theme1.xml"))
}

type rel struct{ id, kind, target string }

func (b *book) rels(part string) ([]rel, error) {
	var all []rel
	_, err := b.walk(relsOf(part), func(_ *stream, e xml.StartElement) error {
		if e.Name.Local == "Relationship" && attr(e, "TargetMode") != "External" {
			all = append(all, rel{attr(e, "Id"), attr(e, "Type"), target(part, attr(e, "Target"))})
		}
		return nil
	})
	return all, err
}

// byType returns the part of a kind, or the usual one.
func (b *book) byType(rels []rel, kind, usual string) string {
	for _, r := range rels {
		if strings.HasSuffix(r.kind, kind) {
			return r.target
		}
	}
	return target(b.main, usual)
}

// findMain finds the workbook part and looks whether it says that it has macros.
func (b *book) findMain() error {
	b.main = "xl/workbook.xml"
	rels, err := b.rels("")
	if err != nil {
		return err
	}
	for _, r := range rels {
		if strings.HasSuffix(r.kind, "/officeDocument") {
			b.main = r.target
		}
	}
	_, err = b.walk("[Content_Types].xml", func(_ *stream, e xml.StartElement) error {
		if strings.Contains(strings.ToLower(attr(e, "ContentType")), "macroenabled") {
			return fault.New(fault.Refused, "workbooks with macros are not read").ToMend("save it as .xlsx, without macros")
		}
		return nil
	})
	return err
}

func (b *book) listSheets(rels []rel) error {
	targets := map[string]string{}
	for _, r := range rels {
		if strings.HasSuffix(r.kind, "/worksheet") {
			targets[r.id] = r.target
		}
	}
	found, err := b.walk(b.main, func(_ *stream, e xml.StartElement) error {
		switch e.Name.Local {
		case "workbookPr":
			b.date1904 = isTrue(attr(e, "date1904"))
		case "sheet":
			if part := targets[sheetRel(e)]; part != "" {
				b.list = append(b.list, sheetPart{name: attr(e, "name"), part: part, hidden: strings.Contains(strings.ToLower(attr(e, "state")), "hidden")})
			}
		}
		return nil
	})
	switch {
	case err != nil:
		return err
	case !found || len(b.list) == 0:
		return fault.New(fault.Invalid, "the file holds no sheets").At("%s", b.name).ToMend("choose a workbook that ends in .xlsx")
	case len(b.list) > MostSheets:
		return fault.New(fault.TooLarge, "the workbook has %d sheets", len(b.list)).At("%s", b.name).ToMend("copy the sheets with the sales into a new workbook: at most %d are read", MostSheets)
	}
	return nil
}

// sheetRel returns the id of a sheet's relationship: the attribute id with a namespace, since sheetId has none.
func sheetRel(e xml.StartElement) string {
	for _, a := range e.Attr {
		if a.Name.Local == "id" && a.Name.Space != "" {
			return a.Value
		}
	}
	return ""
}

// readStrings reads the shared strings (18.4.8): plain text or runs, without the phonetic hints.
func (b *book) readStrings(part string) error {
	total := 0
	_, err := b.walk(part, func(s *stream, e xml.StartElement) error {
		if e.Name.Local != "si" {
			return nil
		}
		text, err := richText(s)
		b.strings = append(b.strings, text)
		if total += len(text); total > mostStrings || len(b.strings) > MostCells {
			return fault.New(fault.TooLarge, "the workbook holds too many texts").ToMend("split the workbook: at most %d MB of texts are read", mostStrings>>20)
		}
		return err
	})
	return err
}

// richText reads to the end of the element just opened and joins the texts within it.
func richText(s *stream) (string, error) {
	text := ""
	for depth := 0; ; {
		t, err := s.next()
		if err != nil {
			return "", err
		}
		switch t := t.(type) {
		case nil:
			return "", errTooMuch
		case xml.EndElement:
			if depth == 0 {
				return unescape(text), nil
			}
			depth--
		case xml.StartElement:
			switch t.Name.Local {
			case "t":
				part, err := s.text()
				if err != nil {
					return "", err
				}
				if text += part; len(text) > MostCell {
					return "", fault.New(fault.TooLarge, "a cell of more than %d bytes is too large", MostCell).ToMend("shorten it")
				}
			case "rPh":
				if _, err := s.text(); err != nil {
					return "", err
				}
			default:
				depth++
			}
		}
	}
}

// unescape turns _x000D_ and the like into their characters (22.9.2.19, ST_Xstring); carriage returns are dropped.
func unescape(s string) string {
	if !strings.Contains(s, "_x") {
		return s
	}
	var b strings.Builder
	for {
		i := strings.Index(s, "_x")
		if i < 0 || len(s) < i+7 {
			b.WriteString(s)
			return b.String()
		}
		b.WriteString(s[:i])
		r, ok := hex4(s[i+2 : i+6])
		switch {
		case !ok || s[i+6] != '_':
			b.WriteString("_x")
			s = s[i+2:]
			continue
		case r == '\n' || r == '\t' || r >= ' ' && r < 0xD800:
			b.WriteRune(r)
		}
		s = s[i+7:]
	}
}

func hex4(s string) (r rune, ok bool) {
	for i := range len(s) {
		d := strings.IndexByte("0123456789ABCDEF", s[i]&^0x20)
		if s[i] <= '9' {
			d = strings.IndexByte("0123456789", s[i])
		}
		if d < 0 {
			return 0, false
		}
		r = r<<4 | rune(d)
	}
	return r, true
}

// sheets reads all sheets in turn.
func (b *book) sheets() ([]intake.Sheet, error) {
	for _, s := range b.list {
		if f := b.parts[strings.ToLower(s.part)]; f != nil {
			b.total += int64(f.UncompressedSize64)
		}
	}
	var all []intake.Sheet
	for _, s := range b.list {
		sheet, err := b.readSheet(s)
		if err != nil {
			return nil, err
		}
		all = append(all, sheet)
	}
	b.tell()
	return all, nil
}

func (b *book) tell() {
	if b.progress != nil {
		b.progress(int(b.done), int(b.total))
	}
}
