package consign

// Query says which prints are wanted; zero fields do not restrict.
type Query struct {
	Gallery int64
	State   State
}

// Store keeps galleries and what they have. What was agreed of a print is never changed, and nothing is deleted.
type Store interface {
	Galleries() ([]House, error) // by name
	Gallery(id int64) (House, error)
	SaveGallery(House) (int64, error) // ID 0 adds one; Taken when the name is in use
	Consignments(Query) ([]Print, error)
	Consignment(id int64) (Print, error)
	// AddConsignment adds a print that goes to a gallery. Faults: Taken when it is at one.
	AddConsignment(Print) (int64, error)
	// SaveConsignment keeps what became of a print. Faults: Missing; Taken when its number is at a gallery again.
	SaveConsignment(Print) error
	GalleryMoneys(gallery int64) ([]Money, error) // by day; 0 = of all
	GalleryMoney(id int64) (Money, error)
	AddGalleryMoney(Money) (int64, error)
	ReverseGalleryMoney(id int64) error
}
