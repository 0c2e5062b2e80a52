package studio

import (
	"solander/calendar"
	"solander/order"
)

// BuyerQuery says which buyers are wanted.
type BuyerQuery struct {
	Text  string // in name, e-mail address or telephone number, also as she was written elsewhere; "" = all
	After int64  // the last buyer of the page before; 0 = the first page
	Limit int    // 0 = 50
}

// Dealing is how much a buyer ordered.
type Dealing struct {
	Orders int          `json:"orders"`
	Last   calendar.Day `json:"last"` // the day of the latest; no day = none
}

// PeopleStore keeps who is the same person. A buyer who was taken as another (Buyer.SameAs) keeps her row and has no orders; that one
// is never taken as a third.
type PeopleStore interface {
	// BuyersAlike returns every writing of a buyer with that name or e-mail address, compared by order.NameKey and order.EmailKey, by
	// id; none who stands apart. Of more than 200 of one name the newest.
	BuyersAlike(name, email string) ([]order.Buyer, error)
	Writings(person int64) ([]order.Buyer, error) // who was taken as her, by id
	SamePeople() (map[int64]int64, error)         // the same of all: by who was taken as a person, who that is
	// Places returns up to limit addresses to which her orders went, the latest first, each once.
	Places(person int64, limit int) ([]order.Address, error)
	PlacesOf(people []int64, limit int) (map[int64][]order.Address, error) // the same of many, up to limit of each
	BuyerOrders(buyer int64) ([]int64, error)                              // ids, ascending; those of files taken back too
	MoveOrders(ids []int64, to int64) error
	DropBuyer(id int64) error // only one of whom nothing is kept
	// TellApart notes that two are not the same person, and reports whether it was news. ForgetApart takes it back.
	TellApart(a, b int64) (bool, error)
	ForgetApart(a, b int64) error
	ToldApart() ([][2]int64, error) // of persons, the smaller id first
	// BuyersSharing returns buyers who stand for themselves, each with an e-mail address or a name that another has too, by name.
	BuyersSharing(limit int) ([]order.Buyer, error)
	People(q BuyerQuery) ([]order.Buyer, error) // by name, as order.NameKey has it, then by id
	Dealings(buyers []int64) (map[int64]Dealing, error)
}
