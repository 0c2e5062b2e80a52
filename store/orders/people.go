package orders

import (
	"cmp"
	"database/sql"
	"fmt"
	"maps"
	"slices"

	"solander/fault"
	"solander/ledger"
	"solander/order"
	"solander/store/engine"
	"solander/store/table"
	"solander/store/words"
	"solander/studio"
)

// compared are name and e-mail address of a buyer as buyers are compared.
func (t *PeopleRows) compared(b order.Buyer) (name, email string, err error) {
	if name, err = t.conn.Blind(order.NameKey(b.Name)); err == nil {
		email, err = t.conn.Blind(order.EmailKey(b.Email))
	}
	return name, email, err
}

// putPerson keeps them.
func (t *PeopleRows) putPerson(b order.Buyer) error {
	name, email, err := t.compared(b)
	if err != nil {
		return err
	}
	_, err = t.conn.Exec(`INSERT INTO person_words (id, name, email) VALUES ($1, $2, $3)
		ON CONFLICT (id) DO UPDATE SET name = excluded.name, email = excluded.email`, b.ID, name, email)
	return err
}

// unknownPeople is true of buyers b of whom putPerson keeps nothing yet: those of before there was anything to compare.
const unknownPeople = `FROM buyers b WHERE NOT EXISTS (SELECT 1 FROM person_words w WHERE w.id = b.id)`

// PutPeople does putPerson for every buyer of whom nothing is kept yet.
func (t *PeopleRows) PutPeople() error {
	all, err := Buyers.Read(t.conn, "SELECT "+Buyers.Under("b")+" "+unknownPeople+" ORDER BY b.id", nil)
	if err != nil {
		return err
	}
	for _, b := range all {
		if err := t.putPerson(b); err != nil {
			return err
		}
	}
	return nil
}

// Unput reports whether PutPeople has anything to do.
func (t *PeopleRows) Unput() (bool, error) {
	var one int64
	return t.conn.One("SELECT 1 "+unknownPeople+" LIMIT 1", nil, &one)
}

// Misput tells of buyers of whom another name or e-mail address is compared than their own, and of what is compared of nobody.
func (t *PeopleRows) Misput() (found []string, err error) {
	kept := map[int64][2]string{}
	err = t.conn.Each(`SELECT id, name, email FROM person_words`, nil, func(rows *sql.Rows) error {
		var id int64
		var of [2]string
		err := rows.Scan(&id, &of[0], &of[1])
		kept[id] = of
		return err
	})
	if err != nil {
		return nil, err
	}
	all, err := Buyers.List(t.conn, "ORDER BY id")
	if err != nil {
		return nil, err
	}
	for _, b := range all {
		of, there := kept[b.ID]
		delete(kept, b.ID)
		name, email, err := t.compared(b)
		if err != nil {
			return nil, err
		}
		erased := b.Name == order.ErasedName && of == [2]string{} // nothing is left by which they are compared
		if there && !erased && of != [2]string{name, email} {
			found = append(found, fmt.Sprintf("buyer %d: what is compared of them is not their own name and e-mail address", b.ID))
		}
	}
	for _, id := range slices.Sorted(maps.Keys(kept)) {
		found = append(found, fmt.Sprintf("buyer %d: they are compared, and are not there", id))
	}
	return found, nil
}

// mostAlike bounds how many buyers of one name, or one e-mail address, are compared: the newest.
const mostAlike = 200

// BuyersAlike returns every writing of a buyer with that name or that e-mail address, by id; none who stands apart.
func (t *PeopleRows) BuyersAlike(name, email string) ([]order.Buyer, error) {
	seen := map[int64]bool{}
	var out []order.Buyer
	for _, by := range []struct{ column, key string }{{"email", order.EmailKey(email)}, {"name", order.NameKey(name)}} {
		if by.key == "" {
			continue
		}
		var err error
		if by.key, err = t.conn.Blind(by.key); err != nil {
			return nil, err
		}
		all, err := Buyers.Read(t.conn, "SELECT "+Buyers.Under("b")+" FROM person_words w JOIN buyers b ON b.id = w.id WHERE w."+by.column+
			" = $1 AND w."+by.column+" <> '' AND b.apart = 0 ORDER BY w.id DESC LIMIT $2", []any{by.key, mostAlike})
		if err != nil {
			return nil, err
		}
		for _, b := range all {
			if !seen[b.ID] {
				seen[b.ID] = true
				out = append(out, b)
			}
		}
	}
	slices.SortFunc(out, func(a, b order.Buyer) int { return int(a.ID - b.ID) })
	return out, nil
}

// Writings returns the buyers who were taken as a person, by id, without herself.
func (t *PeopleRows) Writings(person int64) ([]order.Buyer, error) {
	return Buyers.List(t.conn, "WHERE same_as = $1 ORDER BY id", person)
}

// SamePeople returns by buyers who were taken as a person who that is.
func (t *PeopleRows) SamePeople() (map[int64]int64, error) {
	out := map[int64]int64{}
	return out, t.conn.Each(`SELECT id, same_as FROM buyers WHERE same_as IS NOT NULL`, nil, func(rows *sql.Rows) error {
		var id, person int64
		err := rows.Scan(&id, &person)
		out[id] = person
		return err
	})
}

// Places returns up to limit addresses to which orders of a buyer went, the latest first, each once.
func (t *PeopleRows) Places(person int64, limit int) ([]order.Address, error) {
	of, err := t.PlacesOf([]int64{person}, limit)
	return of[person], err
}

// PlacesOf returns the same of many buyers, up to limit of each.
func (t *PeopleRows) PlacesOf(people []int64, limit int) (map[int64][]order.Address, error) {
	const columns = "ship_name, ship_line1, ship_line2, ship_city, ship_region, ship_postcode, ship_country"
	out := make(map[int64][]order.Address, len(people))
	for part := range slices.Chunk(people, table.Batch) {
		in, args := table.InList(part)
		query := "SELECT buyer, " + columns + ", max(id) AS latest FROM orders r WHERE buyer IN " + in + " AND ship_line1 <> '' AND NOT " + words.Gone + " GROUP BY buyer, " + columns + " ORDER BY latest DESC"
		err := t.conn.Each(query, args, func(rows *sql.Rows) error {
			var a order.Address
			var buyer, latest int64
			err := rows.Scan(&buyer, &a.Name, &a.Line1, &a.Line2, &a.City, &a.Region, &a.Postcode, &a.Country, &latest)
			if err != nil || len(out[buyer]) == limit {
				return err
			}
			for column, at := range map[string]*string{"ship_name": &a.Name, "ship_line1": &a.Line1, "ship_line2": &a.Line2, "ship_city": &a.City, "ship_postcode": &a.Postcode} {
				if *at, err = t.conn.OpenCell("orders", column, "", *at); err != nil {
					return err
				}
			}
			if !slices.Contains(out[buyer], a) { // in cipher no two are alike
				out[buyer] = append(out[buyer], a)
			}
			return nil
		})
		if err != nil {
			return nil, err
		}
	}
	return out, nil
}

// BuyerOrders returns the ids of all orders of a buyer, also of files that were taken back.
func (t *PeopleRows) BuyerOrders(buyer int64) ([]int64, error) {
	return table.Values[int64](t.conn, `SELECT id FROM orders WHERE buyer = $1 ORDER BY id`, buyer)
}

// MoveOrders makes orders those of another buyer.
func (t *PeopleRows) MoveOrders(ids []int64, to int64) error {
	for _, id := range ids {
		if err := t.conn.Change("order", id, `UPDATE orders SET buyer = $2 WHERE id = $1`, id, to); err != nil {
			return engine.When(err, engine.Foreign, engine.Missing("buyer %d", to))
		}
		delete(t.orders.known, id)
		t.index.StaleOrder(id)
		t.conn.Touch(ledger.Order, id)
	}
	return nil
}

// DropBuyer forgets a buyer of whom nothing is kept. Faults: Missing; Refused when she has orders, or another is taken as her, or
// was told apart from her.
func (t *PeopleRows) DropBuyer(id int64) error {
	var used bool
	_, err := t.conn.One(`SELECT EXISTS (SELECT 1 FROM orders WHERE buyer = $1) OR EXISTS (SELECT 1 FROM buyers WHERE same_as = $1)
		OR EXISTS (SELECT 1 FROM told_apart WHERE a = $1 OR b = $1)`, []any{id}, &used)
	if err != nil {
		return err
	}
	if used {
		return fault.New(fault.Refused, "the book still needs this buyer").At("buyer %d", id)
	}
	if _, err := t.conn.Exec(`DELETE FROM person_words WHERE id = $1`, id); err != nil {
		return err
	}
	if err := t.index.DropBuyer(id); err != nil {
		return err
	}
	return Buyers.Drop(t.conn, id)
}

// TellApart notes that two buyers are not the same person, and reports whether it was news.
func (t *PeopleRows) TellApart(a, b int64) (bool, error) {
	n, err := t.conn.Exec(`INSERT INTO told_apart (a, b) VALUES ($1, $2) ON CONFLICT DO NOTHING`, min(a, b), max(a, b))
	return n > 0, engine.When(err, engine.Foreign, engine.Missing("buyer %d or %d", a, b))
}

// ForgetApart takes that back.
func (t *PeopleRows) ForgetApart(a, b int64) error {
	n, err := t.conn.Exec(`DELETE FROM told_apart WHERE a = $1 AND b = $2`, min(a, b), max(a, b))
	return table.Must(n > 0, err, "word that buyers %d and %d are two", a, b)
}

// ToldApart returns the pairs of persons who were told apart, each once and the smaller id first; of who was taken as another, that one.
func (t *PeopleRows) ToldApart() ([][2]int64, error) {
	return table.List(t.conn, func(rows *sql.Rows) (p [2]int64, err error) {
		err = rows.Scan(&p[0], &p[1])
		if p[0] > p[1] {
			p[0], p[1] = p[1], p[0]
		}
		return p, err
	}, `SELECT DISTINCT coalesce(x.same_as, x.id), coalesce(y.same_as, y.id) FROM told_apart t
		JOIN buyers x ON x.id = t.a JOIN buyers y ON y.id = t.b WHERE coalesce(x.same_as, x.id) <> coalesce(y.same_as, y.id) ORDER BY 1, 2`)
}

// BuyersSharing returns up to limit buyers who stand for themselves, each with an e-mail address or a name that another has too.
func (t *PeopleRows) BuyersSharing(limit int) ([]order.Buyer, error) {
	// What is written twice is found by the indexes alone; whether both stand for themselves is asked of that, by name and no further than the limit.
	shared := func(column string) string {
		return `(p.` + column + ` IN (SELECT ` + column + ` FROM person_words WHERE ` + column + ` <> '' GROUP BY ` + column + ` HAVING count(*) > 1)
			AND EXISTS (SELECT 1 FROM person_words w JOIN buyers b ON b.id = w.id WHERE w.` + column + ` = p.` + column + ` AND w.` + column + ` <> '' AND w.id <> p.id AND b.same_as IS NULL AND b.apart = 0))`
	}
	return Buyers.Read(t.conn, `SELECT `+Buyers.Under("r")+` FROM buyers r JOIN person_words p ON p.id = r.id
		WHERE r.same_as IS NULL AND r.apart = 0 AND (`+shared("email")+` OR `+shared("name")+`) AND NOT (`+words.GoneBuyer+`) ORDER BY p.name, p.id LIMIT $1`, []any{limit})
}

// People lists buyers by name, a page at a time; see studio.BuyerQuery.
func (t *PeopleRows) People(q studio.BuyerQuery) ([]order.Buyer, error) {
	f, err := t.index.FindBuyers(q.Text)
	if err != nil || f.Nothing {
		return nil, err
	}
	f.Where = append(f.Where, "r.same_as IS NULL", "NOT ("+words.GoneBuyer+")", "NOT "+words.ErasedBuyer)
	if _, people, err := t.conn.Sealing(); err != nil || people {
		return t.peopleInCipher(f, q, err)
	}
	if q.After != 0 {
		f.Where = append(f.Where, `(p.name, p.id) > (SELECT name, id FROM person_words WHERE id = `+f.Arg(q.After)+`)`)
	}
	return Buyers.Read(t.conn, "SELECT "+Buyers.Under("r")+" FROM "+f.From+" JOIN person_words p ON p.id = r.id "+
		f.Condition()+" ORDER BY p.name, p.id LIMIT "+f.Arg(q.Limit), f.Args)
}

// peopleInCipher sorts what no index of names sorts.
func (t *PeopleRows) peopleInCipher(f words.Found, q studio.BuyerQuery, err error) ([]order.Buyer, error) {
	if err != nil {
		return nil, err
	}
	all, err := Buyers.Read(t.conn, "SELECT "+Buyers.Under("r")+" FROM "+f.From+" "+f.Condition(), f.Args)
	if err != nil {
		return nil, err
	}
	keys := make(map[int64]string, len(all))
	for _, b := range all {
		keys[b.ID] = order.NameKey(b.Name)
	}
	slices.SortFunc(all, func(a, b order.Buyer) int {
		return cmp.Or(cmp.Compare(keys[a.ID], keys[b.ID]), cmp.Compare(a.ID, b.ID))
	})
	if i := slices.IndexFunc(all, func(b order.Buyer) bool { return b.ID == q.After }); i >= 0 {
		all = all[i+1:]
	}
	return all[:min(len(all), q.Limit)], nil
}

// Dealings tells of each buyer how many orders she has and when the latest was placed.
func (t *PeopleRows) Dealings(buyers []int64) (map[int64]studio.Dealing, error) {
	out := make(map[int64]studio.Dealing, len(buyers))
	for part := range slices.Chunk(buyers, table.Batch) {
		in, args := table.InList(part)
		err := t.conn.Each(`SELECT buyer, count(*), max(placed) FROM orders r WHERE buyer IN `+in+` AND NOT `+words.Gone+` GROUP BY buyer`, args, func(rows *sql.Rows) error {
			var id int64
			var d studio.Dealing
			err := rows.Scan(&id, &d.Orders, table.Day(&d.Last))
			out[id] = d
			return err
		})
		if err != nil {
			return nil, err
		}
	}
	return out, nil
}

// Forget is told of an order that another room changed.
func (t *OrderRows) Forget(id int64) { delete(t.known, id) }
