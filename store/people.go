package store

import (
	"database/sql"
	"slices"
	"strconv"
	"strings"

	"solander/fault"
	"solander/order"
	"solander/studio"
)

// putPerson keeps name and e-mail address of a buyer as buyers are compared.
func (t *tx) putPerson(b order.Buyer) error {
	_, err := t.exec(`INSERT INTO person_words (id, name, email) VALUES ($1, $2, $3)
		ON CONFLICT (id) DO UPDATE SET name = excluded.name, email = excluded.email`, b.ID, order.NameKey(b.Name), order.EmailKey(b.Email))
	return err
}

// unknownPeople is true of buyers b of whom putPerson keeps nothing yet: those of before there was anything to compare.
const unknownPeople = `FROM buyers b WHERE NOT EXISTS (SELECT 1 FROM person_words w WHERE w.id = b.id)`

// putPeople does putPerson for every buyer of whom nothing is kept yet.
func (t *tx) putPeople() error {
	all, err := list(t, scanBuyer, "SELECT b."+spread(buyerColumns, "b")+" "+unknownPeople+" ORDER BY b.id")
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

// unput reports whether putPeople has anything to do.
func (t *tx) unput() (bool, error) {
	var one int64
	return t.one("SELECT 1 "+unknownPeople+" LIMIT 1", nil, &one)
}

// mostAlike bounds how many buyers of one name, or one e-mail address, are compared: the newest.
const mostAlike = 200

// BuyersAlike returns every writing of a buyer with that name or that e-mail address, by id; none who stands apart.
func (t *tx) BuyersAlike(name, email string) ([]order.Buyer, error) {
	seen := map[int64]bool{}
	var out []order.Buyer
	for _, by := range []struct{ column, key string }{{"email", order.EmailKey(email)}, {"name", order.NameKey(name)}} {
		if by.key == "" {
			continue
		}
		all, err := list(t, scanBuyer, "SELECT b."+spread(buyerColumns, "b")+" FROM person_words w JOIN buyers b ON b.id = w.id WHERE w."+by.column+
			" = $1 AND w."+by.column+" <> '' AND b.apart = 0 ORDER BY w.id DESC LIMIT $2", by.key, mostAlike)
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
func (t *tx) Writings(person int64) ([]order.Buyer, error) {
	return list(t, scanBuyer, selectFrom("buyers", buyerColumns, "WHERE same_as = $1 ORDER BY id"), person)
}

// Places returns up to limit addresses to which orders of a buyer went, the latest first, each once.
func (t *tx) Places(person int64, limit int) ([]order.Address, error) {
	const columns = "ship_name, ship_line1, ship_line2, ship_city, ship_region, ship_postcode, ship_country"
	return list(t, func(rows *sql.Rows) (a order.Address, err error) {
		var latest int64
		err = rows.Scan(&a.Name, &a.Line1, &a.Line2, &a.City, &a.Region, &a.Postcode, &a.Country, &latest)
		return a, err
	}, "SELECT "+columns+", max(id) AS latest FROM orders r WHERE buyer = $1 AND ship_line1 <> '' AND NOT "+gone+
		" GROUP BY "+columns+" ORDER BY latest DESC LIMIT $2", person, limit)
}

// BuyerOrders returns the ids of all orders of a buyer, also of files that were taken back.
func (t *tx) BuyerOrders(buyer int64) ([]int64, error) {
	return list(t, func(rows *sql.Rows) (id int64, err error) {
		err = rows.Scan(&id)
		return id, err
	}, `SELECT id FROM orders WHERE buyer = $1 ORDER BY id`, buyer)
}

// MoveOrders makes orders those of another buyer.
func (t *tx) MoveOrders(ids []int64, to int64) error {
	for _, id := range ids {
		if err := t.change("order", id, `UPDATE orders SET buyer = $2 WHERE id = $1`, id, to); err != nil {
			return when(err, foreign, missing("buyer %d", to))
		}
		t.staleOrder(id)
	}
	return nil
}

// DropBuyer forgets a buyer of whom nothing is kept. Faults: Missing; Refused when she has orders, or another is taken as her, or
// was told apart from her.
func (t *tx) DropBuyer(id int64) error {
	var used bool
	_, err := t.one(`SELECT EXISTS (SELECT 1 FROM orders WHERE buyer = $1) OR EXISTS (SELECT 1 FROM buyers WHERE same_as = $1)
		OR EXISTS (SELECT 1 FROM told_apart WHERE a = $1 OR b = $1)`, []any{id}, &used)
	if err != nil {
		return err
	}
	if used {
		return fault.New(fault.Refused, "the book still needs this buyer").At("buyer %d", id)
	}
	for _, query := range []string{`DELETE FROM person_words WHERE id = $1`, `DELETE FROM buyer_words WHERE ` + t.dialect.rowID + ` = $1`} {
		if _, err := t.exec(query, id); err != nil {
			return err
		}
	}
	delete(t.stale.buyers, id)
	return t.change("buyer", id, `DELETE FROM buyers WHERE id = $1`, id)
}

// TellApart notes that two buyers are not the same person, and reports whether it was news.
func (t *tx) TellApart(a, b int64) (bool, error) {
	n, err := t.exec(`INSERT INTO told_apart (a, b) VALUES ($1, $2) ON CONFLICT DO NOTHING`, min(a, b), max(a, b))
	return n > 0, when(err, foreign, missing("buyer %d or %d", a, b))
}

// ForgetApart takes that back.
func (t *tx) ForgetApart(a, b int64) error {
	n, err := t.exec(`DELETE FROM told_apart WHERE a = $1 AND b = $2`, min(a, b), max(a, b))
	return must(n > 0, err, "word that buyers %d and %d are two", a, b)
}

// ToldApart returns the pairs of persons who were told apart, each once and the smaller id first; of who was taken as another, that one.
func (t *tx) ToldApart() ([][2]int64, error) {
	return list(t, func(rows *sql.Rows) (p [2]int64, err error) {
		err = rows.Scan(&p[0], &p[1])
		if p[0] > p[1] {
			p[0], p[1] = p[1], p[0]
		}
		return p, err
	}, `SELECT DISTINCT coalesce(x.same_as, x.id), coalesce(y.same_as, y.id) FROM told_apart t
		JOIN buyers x ON x.id = t.a JOIN buyers y ON y.id = t.b WHERE coalesce(x.same_as, x.id) <> coalesce(y.same_as, y.id) ORDER BY 1, 2`)
}

// BuyersSharing returns up to limit buyers who stand for themselves, each with an e-mail address or a name that another has too.
func (t *tx) BuyersSharing(limit int) ([]order.Buyer, error) {
	const standing = `b.same_as IS NULL AND b.apart = 0`
	shared := func(column string) string {
		return `SELECT w.` + column + ` FROM person_words w JOIN buyers b ON b.id = w.id WHERE ` + standing + ` AND w.` + column + ` <> '' GROUP BY w.` + column + ` HAVING count(*) > 1`
	}
	return list(t, scanBuyer, `SELECT r.`+spread(buyerColumns, "r")+` FROM buyers r JOIN person_words p ON p.id = r.id
		WHERE r.same_as IS NULL AND r.apart = 0 AND NOT (`+goneBuyer+`)
		AND (p.email IN (`+shared("email")+`) OR p.name IN (`+shared("name")+`)) ORDER BY p.name, r.id LIMIT $1`, limit)
}

// People lists buyers by name, a page at a time; see studio.BuyerQuery.
func (t *tx) People(q studio.BuyerQuery) ([]order.Buyer, error) {
	from, args := "buyers r", []any{}
	where := []string{"r.same_as IS NULL", "NOT (" + goneBuyer + ")"}
	if terms := asked(q.Text); len(terms) > 0 {
		if err := t.searching(); err != nil {
			return nil, err
		}
		s := t.dialect.buyers
		from, args = s.from, []any{t.dialect.query(terms)}
		where = append(where, s.match)
	} else if strings.TrimSpace(q.Text) != "" {
		return nil, nil
	}
	if q.After != 0 {
		args = append(args, q.After)
		mark := "$" + strconv.Itoa(len(args))
		where = append(where, `(p.name, r.id) > (SELECT name, id FROM person_words WHERE id = `+mark+`)`)
	}
	args = append(args, q.Limit)
	return list(t, scanBuyer, selectFrom(from+" JOIN person_words p ON p.id = r.id", "r."+spread(buyerColumns, "r"),
		"WHERE "+strings.Join(where, " AND ")+" ORDER BY p.name, r.id LIMIT $"+strconv.Itoa(len(args))), args...)
}

// Dealings tells of each buyer how many orders she has and when the latest was placed.
func (t *tx) Dealings(buyers []int64) (map[int64]studio.Dealing, error) {
	out := make(map[int64]studio.Dealing, len(buyers))
	for part := range slices.Chunk(buyers, batch) {
		in, args := inList(part)
		err := t.each(`SELECT buyer, count(*), max(placed) FROM orders r WHERE buyer IN `+in+` AND NOT `+gone+` GROUP BY buyer`, args, func(rows *sql.Rows) error {
			var id int64
			var d studio.Dealing
			err := rows.Scan(&id, &d.Orders, day{&d.Last})
			out[id] = d
			return err
		})
		if err != nil {
			return nil, err
		}
	}
	return out, nil
}
