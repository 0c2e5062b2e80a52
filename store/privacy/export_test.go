package privacy

import "solander/upkeep"

// Column is a column as a test sees it.
type Column struct {
	Table, Name string
	Class       upkeep.KeptClass
	Blanked     bool // when she whom it is about is erased
	Sealed      bool
}

// Columns are all that have a class.
func Columns() (out []Column) {
	for _, p := range parts {
		for _, c := range p.columns {
			out = append(out, Column{p.table, c.name, c.class, c.class == upkeep.KeptPersonal && c.stays == "", c.seal})
		}
	}
	return out
}
