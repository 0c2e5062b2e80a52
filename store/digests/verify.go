package digests

import (
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"

	"solander/sealog"
	"solander/store/migrations"
	"solander/store/table"
)

// mostFound bounds the rows that are told one by one.
const mostFound = 50

// VerifyRows compares every guarded row with its digest, and the digests of the latest day that was sealed with their root: one sentence a finding.
func (t *DigestRows) VerifyRows() (found []string, err error) {
	tell := func(what string, args ...any) {
		if len(found) < mostFound {
			found = append(found, fmt.Sprintf(what, args...))
		}
	}
	if err := t.readForms(); err != nil {
		return nil, err
	}
	if err := t.misformed(tell); err != nil {
		return nil, err
	}
	all, err := Rows.List(t.conn, "")
	if err != nil {
		return nil, err
	}
	known := make(map[key]string, len(all))
	for _, r := range all {
		known[r.key] = r.digest
	}
	for _, g := range migrations.GuardedTables {
		columns := t.forms[g.Table]
		if columns == "" {
			tell("%s: by which columns its digests are made is gone", g.Table)
			continue
		}
		err := t.each(g, columns, ask(g, columns, "", nil), func(k key, digest string) error {
			switch was, there := known[k]; {
			case !there || was == "":
				tell("%s was added by other means than this program", k)
			case was != digest:
				tell("%s was changed by other means than this program", k)
			}
			delete(known, k)
			return nil
		})
		if err != nil {
			return found, err
		}
	}
	var gone []key
	for k, was := range known {
		if was != "" {
			gone = append(gone, k)
		}
	}
	slices.SortFunc(gone, func(a, b key) int { return cmp.Compare(a.String(), b.String()) })
	for _, k := range gone {
		tell("%s was taken out by other means than this program", k)
	}
	bent, err := t.unsealed(all)
	if err != nil {
		return found, err
	}
	for _, r := range bent {
		tell("%s was changed or taken out after it was sealed, together with its digest: such a row never changes", r.key)
	}
	if err := t.verifySums(all, tell); err != nil {
		return found, err
	}
	return found, t.verifySeal(all, tell)
}

// unsealed are the digests of rows that never change, and are not any more as the latest seal knew them.
func (t *DigestRows) unsealed(all []row) (out []row, err error) {
	byTable := map[string][]row{}
	for _, r := range all {
		if r.sealed != "" {
			byTable[r.part] = append(byTable[r.part], r)
		}
	}
	for _, g := range migrations.GuardedTables {
		if !g.Forever || t.sealed[g.Table] == "" {
			continue
		}
		of, err := t.bySeal(g)
		if err != nil {
			return nil, err
		}
		for _, r := range byTable[g.Table] {
			if of != nil && of(r) != r.sealed {
				out = append(out, r)
			}
		}
	}
	return out, nil
}

// bySeal gives the digest of a row by the columns that the latest seal knew; nil when one of them is gone from the table: then nothing can be
// said of it until the next seal.
func (t *DigestRows) bySeal(g migrations.Guarded) (func(row) string, error) {
	was, now := t.sealed[g.Table], t.forms[g.Table]
	if was == now {
		return func(r row) string { return r.digest }, nil
	}
	for _, c := range strings.Split(was, ", ") {
		if !slices.Contains(strings.Split(now, ", "), c) {
			return nil, nil
		}
	}
	by := map[key]string{}
	err := t.each(g, was, ask(g, was, "", nil), func(k key, digest string) error { by[k] = digest; return nil })
	return func(r row) string { return by[r.key] }, err
}

// verifySeal compares the digests that the latest seal knew with its root.
func (t *DigestRows) verifySeal(all []row, tell func(string, ...any)) error {
	body, there, err := t.latestSeal()
	if err != nil {
		return err
	}
	n, root := rootOf(all, func(r row) string { return r.sealed })
	if !there {
		if n > 0 || len(t.sealed) > 0 {
			tell("digests of rows are said to be sealed, and no seal of a day knows them")
		}
		return nil
	}
	l, err := sealog.Parse(body)
	if err != nil || l.Get("rows") != strconv.Itoa(n) || l.Get("root") != root {
		tell("the digests of rows are not those that were sealed on %s", l.Get("day"))
	}
	if l.Get("forms") != formsOf(t.sealed) {
		tell("the columns of which digests were sealed on %s are not those that are said to be", l.Get("day"))
	}
	return nil
}

// formsOf is the root of the columns by which digests are made, "" of none: the SHA-256 of a line for each table, in the order of their names.
func formsOf(forms map[string]string) string {
	if len(forms) == 0 {
		return ""
	}
	sum := sha256.New()
	for _, part := range slices.Sorted(maps.Keys(forms)) {
		fmt.Fprintf(sum, "%s\t%s\n", part, forms[part])
	}
	return hex.EncodeToString(sum.Sum(nil))
}

// rootOf is the root of digests, and of how many: the SHA-256 of a line for each, in their order.
func rootOf(all []row, of func(row) string) (n int, root string) {
	slices.SortFunc(all, func(a, b row) int {
		return cmp.Or(cmp.Compare(a.part, b.part), slices.Compare(a.k[:], b.k[:]))
	})
	sum := sha256.New()
	for _, r := range all {
		if d := of(r); d != "" {
			n++
			fmt.Fprintf(sum, "%s\n", strings.Join([]string{r.part, r.k[0], r.k[1], r.k[2], d}, "\t"))
		}
	}
	return n, hex.EncodeToString(sum.Sum(nil))
}

// SealDay makes the leaf of the rows as they stand, and remembers their digests as sealed, but for those that no copy holds; see sealog.Store. A row that never changes, and was changed or taken
// out by other means, stays sealed as it was: no later seal takes it on.
func (t *DigestRows) SealDay(day string) (sealog.Leaf, error) {
	if err := t.KeepDigests(); err != nil {
		return sealog.Leaf{}, err
	}
	if err := t.readForms(); err != nil {
		return sealog.Leaf{}, err
	}
	all, err := Rows.List(t.conn, "")
	if err != nil {
		return sealog.Leaf{}, err
	}
	bent, err := t.unsealed(all)
	if err != nil {
		return sealog.Leaf{}, err
	}
	stays := map[key]bool{}
	for _, r := range bent {
		stays[r.key] = true
	}
	here := map[string]bool{}
	for _, g := range migrations.GuardedTables {
		here[g.Table] = g.Here
	}
	n, root := rootOf(all, func(r row) string {
		switch {
		case stays[r.key]:
			return r.sealed
		case here[r.part]:
			return ""
		}
		return r.digest
	})
	lasting := ` AND part NOT IN (` + migrations.HereTables() + `)`
	for _, statement := range []string{
		`DELETE FROM row_digests WHERE digest = ''`, `UPDATE row_digests SET sealed = digest WHERE sealed <> digest` + lasting, `UPDATE row_forms SET sealed = columns WHERE sealed <> columns`,
	} {
		if _, err := t.conn.Exec(statement); err != nil {
			return sealog.Leaf{}, err
		}
	}
	if len(bent) > 0 {
		if _, err := Rows.InsertAll(t.conn, bent, " ON CONFLICT (part, k1, k2, k3) DO UPDATE SET sealed = excluded.sealed"); err != nil {
			return sealog.Leaf{}, err
		}
	}
	t.sealed = maps.Clone(t.forms)
	facts := []sealog.Fact{{Name: "day", Value: day}, sealog.Int("rows", n), {Name: "root", Value: root}, {Name: "forms", Value: formsOf(t.sealed)}}
	if err := t.readSums(); err != nil {
		return sealog.Leaf{}, err
	}
	if t.sums != nil {
		facts = append(facts, sealog.Fact{Name: "key", Value: t.key})
	}
	return sealog.Leaf{Kind: sealog.DaySeal, Facts: facts}, nil
}

// Sealed is the day of the latest seal of the rows, "" = none, and how many rows were added, changed or taken out since.
func (t *DigestRows) Sealed() (day string, since int64, err error) {
	body, there, err := t.latestSeal()
	if err != nil || !there {
		return "", 0, err
	}
	l, err := sealog.Parse(body)
	if err != nil {
		return "", 0, err
	}
	_, err = t.conn.One(`SELECT count(*) FROM row_digests WHERE digest <> sealed AND part NOT IN (`+migrations.HereTables()+`)`, nil, &since)
	return l.Get("day"), since, err
}

// accept makes the digests of a table of its rows as they stand.
func (t *DigestRows) accept(g migrations.Guarded, columns string) error {
	if columns == "" {
		return nil
	}
	was, err := t.known(g)
	if err != nil {
		return err
	}
	var rows []row
	err = t.each(g, columns, ask(g, columns, "", nil), func(k key, digest string) error {
		rows = append(rows, was[k].with(k, digest))
		return nil
	})
	if err != nil {
		return err
	}
	return t.put(rows)
}

// with is a row that is to have another digest.
func (r row) with(k key, digest string) row {
	return row{key: k, digest: digest, was: r.digest, wasMark: r.mark}
}

// known are the rows of a table as they stand among the digests.
func (t *DigestRows) known(g migrations.Guarded) (map[key]row, error) {
	all, err := Rows.List(t.conn, "WHERE part = $1", g.Table)
	known := make(map[key]row, len(all))
	for _, r := range all {
		known[r.key] = r
	}
	return known, err
}

// Renewed brings the digests to the columns that the tables have since they were brought to another form. A row that is not as it was digested
// before keeps its old digest: the check names it. A table that had no digests yet is taken up as it stands.
func (t *DigestRows) Renewed() error {
	if err := t.Leave(); err != nil { // among them are rows that are looked at here
		return err
	}
	if err := t.readForms(); err != nil {
		return err
	}
	for _, g := range migrations.GuardedTables {
		now, err := table.Values[string](t.conn, t.conn.Dialect.Columns, g.Table)
		if err != nil {
			return err
		}
		list := g.Digested(now)
		switch was := t.forms[g.Table]; was {
		case list:
			continue
		case "":
			err = t.accept(g, list)
		default:
			err = t.reform(g, was, now)
		}
		if err != nil {
			return err
		}
		if _, err := Forms.Insert(t.conn, form{g.Table, list, ""}, " ON CONFLICT (part) DO UPDATE SET columns = excluded.columns"); err != nil {
			return err
		}
		t.forms[g.Table] = list
	}
	return t.KeepDigests() // what the steps themselves changed
}

// reform makes the digests of a table by other columns.
func (t *DigestRows) reform(g migrations.Guarded, was string, now []string) error {
	known, err := t.known(g)
	if err != nil {
		return err
	}
	held := map[key]bool{}
	whole := true // every column of before is still there
	for _, c := range strings.Split(was, ", ") {
		whole = whole && slices.Contains(now, c)
	}
	if whole {
		err = t.each(g, was, ask(g, was, "", nil), func(k key, digest string) error { held[k] = known[k].digest == digest; return nil })
		if err != nil {
			return err
		}
	}
	var rows []row
	columns := g.Digested(now)
	err = t.each(g, columns, ask(g, columns, "", nil), func(k key, digest string) error {
		if !whole || held[k] {
			rows = append(rows, known[k].with(k, digest))
		}
		return nil
	})
	if err != nil {
		return err
	}
	return t.put(rows)
}
