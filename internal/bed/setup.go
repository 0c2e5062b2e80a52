package bed

import (
	"database/sql"
	"errors"

	_ "modernc.org/sqlite"
	"solander/book"
	"solander/order"
)

// Sale0 is a sale that is right in itself, for a studio that is not there.
func (b *Bed) Sale0() book.Sale {
	return book.Sale{Outlet: 1, Buyer: order.Buyer{Name: "Ada"}, ShipTo: Home(), Lines: []book.SaleLine{{Edition: 1}}}
}

// Behind changes the file behind the studio's back.
func (b *Bed) Behind(statement string) {
	b.Helper()
	db, err := sql.Open("sqlite", b.Path)
	b.Must(err)
	_, err = db.Exec(statement)
	b.Must(errors.Join(err, db.Close()))
}
