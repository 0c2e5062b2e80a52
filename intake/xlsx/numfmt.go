package xlsx

import (
	"strconv"
	"strings"

	"github.com/xuri/excelize/v2"
)

// showsDay reports whether a number format shows a number as a day: of the built-in ones (18.8.30) 14 to 17, 22 and
// the East Asian 27 to 36 and 50 to 58; of others one that has a year, a day, or a month that is no minute.
func showsDay(id int, code string) bool {
	if code == "" {
		return id >= 14 && id <= 17 || id == 22 || id >= 27 && id <= 31 || id == 36 || id >= 50 && id <= 54 || id >= 57 && id <= 58
	}
	letters := bareLetters(code)
	if strings.ContainsAny(letters, "yd") {
		return true
	}
	return strings.Contains(letters, "m") && !strings.ContainsAny(letters, "hs")
}

// bareLetters returns the letters y, m, d, h and s of the first section of a format, without texts in quotes, escaped
// characters and what stands in brackets (18.8.31); [h], [mm] and [ss] count as hours.
func bareLetters(code string) string {
	var b []byte
	for i := 0; i < len(code); i++ {
		switch c := code[i]; c {
		case '"':
			n := strings.IndexByte(code[i+1:], '"')
			if n < 0 {
				return string(b)
			}
			i += n + 1
		case '\\', '_', '*':
			i++
		case '[':
			n := strings.IndexByte(code[i:], ']')
			if n < 0 {
				return string(b)
			}
			if in := strings.ToLower(code[i+1 : i+n]); in != "" && strings.Trim(in, "hms") == "" {
				b = append(b, 'h')
			}
			i += n
		case ';':
			return string(b)
		case 'y', 'Y', 'm', 'M', 'd', 'D', 'h', 'H', 's', 'S':
			b = append(b, c|0x20)
		case 'E', 'e', 'G', 'g':
			if strings.HasPrefix(strings.ToLower(code[i:]), "general") {
				i += len("general") - 1
			}
		}
	}
	return string(b)
}

// shower shows numbers by their formats. It lends a workbook of the library that never holds more than one cell a format.
type shower struct {
	file  *excelize.File
	cells map[string]string // by format: its cell, "" when the library does not know it
	cache map[[2]string]string
}

const (
	mostCached  = 100_000
	mostCode    = 255 // characters of a format that programs take; from memory
	mostFormats = 2_000
)

func newShower(date1904 bool) *shower {
	f := excelize.NewFile()
	if date1904 {
		_ = f.SetWorkbookProps(&excelize.WorkbookPropsOptions{Date1904: &date1904})
	}
	return &shower{file: f, cells: map[string]string{}, cache: map[[2]string]string{}}
}

// show returns what a number shows in a format; the number itself when the format is General or is not known.
func (w *shower) show(id int, code, number string) string {
	if code == "" && id == 0 || strings.EqualFold(code, "general") || len(code) > mostCode {
		return number
	}
	key := code
	if key == "" {
		key = "#" + strconv.Itoa(id)
	}
	if s, ok := w.cache[[2]string{key, number}]; ok {
		return s
	}
	s := w.ask(key, id, code, number)
	if len(w.cache) < mostCached {
		w.cache[[2]string{key, number}] = s
	}
	return s
}

// ask lets the library show a number. A format that it trips over leaves the number as it is.
func (w *shower) ask(key string, id int, code, number string) (shown string) {
	defer func() {
		if recover() != nil || strings.TrimSpace(shown) == "" {
			shown = number
		}
	}()
	cell, ok := w.cells[key]
	if !ok && len(w.cells) < mostFormats {
		cell = w.prepare(id, code)
		w.cells[key] = cell
	}
	if cell == "" || w.file.SetCellDefault("Sheet1", cell, number) != nil {
		return number
	}
	shown, err := w.file.GetCellValue("Sheet1", cell)
	if err != nil {
		return number
	}
	return shown
}

func (w *shower) prepare(id int, code string) string {
	style := &excelize.Style{NumFmt: id}
	if code != "" {
		style = &excelize.Style{CustomNumFmt: &code}
	}
	n, err := w.file.NewStyle(style)
	if err != nil {
		return ""
	}
	cell, err := excelize.CoordinatesToCellName(1, len(w.cells)+1)
	if err != nil || w.file.SetCellStyle("Sheet1", cell, cell, n) != nil {
		return ""
	}
	return cell
}
