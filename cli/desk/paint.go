package desk

import (
	"os"
	"strings"

	"github.com/mattn/go-isatty"
)

// What is painted is marked within the text by noncharacters, which no text holds (Unicode Standard, 23.7: for internal use), and becomes
// colour, or nothing, only where it goes out. A mark is one character wide, so that columns stay columns.
const (
	isLate = '\uFDD0'
	isGood = '\uFDD1'
	asIs   = '\uFDD2' // the colour that the terminal has by itself
)

// sgr are the marks as the terminal is told them. Source: ECMA-48, 8.3.117, select graphic rendition: 31 red, 32 green, 39 default.
var sgr = map[rune]string{isLate: "\x1b[31m", isGood: "\x1b[32m", asIs: "\x1b[39m"}

// Late is a text that tells of something late, or wrong; "" stays "".
func Late(text string) string { return painted(isLate, text) }

// Good is a text that tells that all is well.
func Good(text string) string { return painted(isGood, text) }

// LateIf is Late where something is late.
func LateIf(late bool, text string) string {
	if late {
		return Late(text)
	}
	return text
}

// Red is a text in the colour of what is wrong, for a stream that is coloured.
func Red(text string) string { return sgr[isLate] + text + sgr[asIs] }

func painted(as rune, text string) string {
	if text == "" {
		return ""
	}
	return string(as) + text + string(asIs)
}

// evened gives the cells of each painted column as many marks as the painted ones have, for the columns are counted in characters.
func evened(rows []string) []string {
	var cells [][]string
	painted := map[int]bool{}
	for _, r := range rows {
		row := strings.Split(r, "\t")
		for i, c := range row {
			painted[i] = painted[i] || strings.ContainsRune(c, asIs)
		}
		cells = append(cells, row)
	}
	for n, row := range cells {
		for i, c := range row {
			if painted[i] && !strings.ContainsRune(c, asIs) && i < len(row)-1 {
				row[i] = string(asIs) + c + string(asIs)
			}
		}
		rows[n] = strings.Join(row, "\t")
	}
	return rows
}

// Coloured reports whether a stream may be painted: a terminal that is not said to be dumb, whose user did not say otherwise. Source:
// no-color.org (NO_COLOR, present and not empty); TERM=dumb by common practice, terminfo names it so.
func (d *Desk) Coloured(stream any) bool {
	get := d.Env.Get
	return get != nil && get("NO_COLOR") == "" && get("TERM") != "" && get("TERM") != "dumb" && terminal(stream)
}

// Asks reports whether a person is there to be asked: the input is a terminal.
func (d *Desk) Asks() bool { return !d.JSON && terminal(d.In) }

// Shows reports whether a person sees what is written to a stream: it is a terminal.
func (d *Desk) Shows(stream any) bool { return terminal(stream) }

// terminal reports whether a stream is a screen that can be drawn on.
func terminal(stream any) bool {
	f, ok := stream.(*os.File)
	return ok && isatty.IsTerminal(f.Fd())
}
