package fault

import (
	"strconv"
	"strings"
)

// Path leads to a field of what was given, such as "shelf[3].cut.step". It is written out only when there is a fault to
// tell: what is looked at is nearly always sound, and there are thousands of fields. The zero Path is that of the whole.
type Path struct {
	up    *Path
	name  string
	entry int // 1 + its place in the list of that name; 0 = the field itself
}

// To leads to a field below.
func (p *Path) To(field string) Path { return Path{up: p, name: field} }

// Entry leads to an entry of a list below.
func (p *Path) Entry(list string, i int) Path { return Path{up: p, name: list, entry: i + 1} }

// String writes it out.
func (p *Path) String() string {
	var b strings.Builder
	p.write(&b)
	return b.String()
}

func (p *Path) write(to *strings.Builder) {
	if p == nil {
		return
	}
	p.up.write(to)
	if to.Len() > 0 && p.name != "" {
		to.WriteByte('.')
	}
	to.WriteString(p.name)
	if p.entry > 0 {
		to.WriteString("[" + strconv.Itoa(p.entry-1) + "]")
	}
}
