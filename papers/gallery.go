package papers

// GalleryStatement is what went on with a gallery over a time: what it sold, paid and owes, and which prints it has.
type GalleryStatement struct {
	Head
	Gallery string
	Address []string
	Span    string // "1 January to 31 March 2026"
	Opening string
	Rows    []GalleryRow
	Closing string
	Terms   []string // "pays within 30 days of a sale"
	There   []GalleryPrint
	Worth   string // of the prints that are there, at their prices
	Caution []string
}

// Title names the paper.
func (GalleryStatement) Title() string { return "Statement of a gallery" }

// GalleryRow is one sale, payment or cost.
type GalleryRow struct{ Day, What, Price, Share, Amount, Owed string }

// GalleryPrint is one print that is there.
type GalleryPrint struct{ What, Since, Due, Price string }
