package leaves

import (
	"database/sql"
	"fmt"
	"slices"
	"strings"

	"golang.org/x/mod/sumdb/note"

	"solander/sealog"
	"solander/store/numbers"
	"solander/store/orders"
	"solander/studio"
)

// mostFound bounds the findings that are told one by one.
const mostFound = 50

// looking is one look through the whole log.
type looking struct {
	*LeafRows
	found    []string
	logs     []sealog.Log
	at       int // the log of the leaf that is looked at
	tree     sealog.Tree
	last     int64 // the id of the leaf before
	declared map[int64]int
	entries  *entries
	others   []*others
	signed   map[[2]int64][]sealog.Signed // by log and size
	keys     []string                     // verifiers of keys that the log told of so far
}

func (k *looking) tell(what string, args ...any) {
	if len(k.found) < mostFound {
		k.found = append(k.found, fmt.Sprintf("the log of the register: "+what, args...))
	}
}

// VerifyLog looks through the whole log; see sealog.Store.
func (t *LeafRows) VerifyLog() ([]string, error) {
	k := &looking{LeafRows: t, at: -1, declared: map[int64]int{}, signed: map[[2]int64][]sealog.Signed{}}
	var err error
	if k.logs, err = Logs.List(t.conn, "ORDER BY id"); err != nil {
		return nil, err
	}
	all, err := Checkpoints.List(t.conn, "ORDER BY id")
	if err != nil {
		return nil, err
	}
	for _, s := range all {
		k.signed[[2]int64{s.Log, s.Size}] = append(k.signed[[2]int64{s.Log, s.Size}], s)
	}
	k.entries, k.others = entriesOf(t.conn), othersOf(t.conn)
	for {
		rows, err := Leaves.List(t.conn, "WHERE id > $1 ORDER BY id LIMIT 4096", k.last)
		if err != nil {
			return k.found, err
		}
		for _, r := range rows {
			if err := k.leaf(r); err != nil {
				return k.found, err
			}
		}
		if len(rows) == 0 {
			return k.found, k.end()
		}
	}
}

func (k *looking) leaf(r leaf) error {
	if r.id != k.last+1 {
		k.tell("leaf %d is followed by leaf %d", k.last, r.id)
	}
	k.last = r.id
	if k.at+1 < len(k.logs) && k.logs[k.at+1].First <= r.id {
		if err := k.begin(r); err != nil {
			return err
		}
	}
	if k.at < 0 {
		k.tell("leaf %d stands before the first log", r.id)
		return nil
	}
	l, err := sealog.Parse(r.body)
	if err != nil || string(l.Kind) != r.kind || l.Of != r.of {
		k.tell("leaf %d is not what was kept", r.id)
	}
	if pack(k.tree.Append(sealog.LeafHash(r.body))) != r.hashes {
		k.tell("leaf %d is not as it was hashed", r.id)
	}
	if r.root != rootText(k.tree.Root()) {
		k.tell("the root at leaf %d is another", r.id)
	}
	if err := k.means(r, l); err != nil {
		return err
	}
	k.checkpoints()
	return nil
}

// begin is at the first leaf of a log.
func (k *looking) begin(r leaf) error {
	k.at++
	log := k.logs[k.at]
	l, err := sealog.Parse(r.body)
	want := ""
	if k.at > 0 {
		want = rootText(k.tree.Root())
	}
	if err != nil || log.First != r.id || l.Kind != sealog.Opened || l.Get("origin") != log.Origin || l.Get("root") != want || log.ID != int64(k.at)+1 || l.Get("at") != fmt.Sprint(log.At.UnixMicro()) {
		k.tell("log %d does not begin as it was begun", log.ID)
	}
	k.tree, k.keys = sealog.Tree{}, nil
	return nil
}

// means compares a leaf with what it tells of.
func (k *looking) means(r leaf, l sealog.Leaf) error {
	if l.Kind != sealog.Entry {
		if err := k.salts(r, l); err != nil {
			return err
		}
	}
	for _, o := range k.others {
		if o.kind == l.Kind {
			return o.next(k, r, l)
		}
	}
	switch l.Kind {
	case sealog.Entry:
		return k.entry(r, l)
	case sealog.Declared:
		k.declared[l.Of]++
		return k.edition(l)
	case sealog.KeyEvent:
		before := ""
		if n := len(k.keys); n > 0 {
			before = k.keys[n-1]
		}
		if err := sealog.CheckKey(l, k.logs[k.at].Origin, before); err != nil {
			k.tell("leaf %d: %v", r.id, err)
		}
		k.keys = append(k.keys, l.Get("key"))
	}
	return nil
}

// salts looks at the salts of a leaf that is of no entry: that an older copy was put in place, or rows were taken on, has one, which opens to the words
// that the bench's journal has of it, all others none.
func (k *looking) salts(r leaf, l sealog.Leaf) error {
	n := len(saltsOf(r.salts))
	words, commits := sealog.SaidWhy(l.Kind)
	if !commits {
		if r.salts != "" {
			k.tell("the salts of leaf %d are others", r.id)
		}
		return nil
	}
	if len(r.salts) != 2*sealog.SaltSize || n != 1 {
		k.tell("the salts of leaf %d are others", r.id)
		return nil
	}
	told, err := orders.Marks.List(k.conn, "WHERE kind = $1 ORDER BY id", studio.MarkOther)
	if err != nil {
		return err
	}
	opens := slices.ContainsFunc(told, func(m studio.Mark) bool {
		why, ok := strings.CutPrefix(m.Text, words)
		return ok && sealog.Commit(r.salts, sealog.Fact{Name: "why", Value: why}) == l.Get("why")
	})
	gone, err := k.conn.One(`SELECT 1 FROM erasures LIMIT 1`, nil, new(int64))
	if err == nil && !opens && !gone { // words of a buyer who was erased may have been among them
		k.tell("the salts of leaf %d are others, or why it was made is", r.id)
	}
	return err
}

func (k *looking) entry(r leaf, l sealog.Leaf) error {
	e, blanked, found, err := k.entries.next()
	for ; err == nil && found && e.Seq < l.Of; e, blanked, found, err = k.entries.next() {
		k.tell("entry %d of the register is in no leaf", e.Seq)
	}
	if err != nil {
		return err
	}
	if found && e.Seq > l.Of {
		k.entries.back(e)
	}
	if !found || e.Seq != l.Of {
		k.tell("leaf %d tells of entry %d, which is not there", r.id, l.Of)
		return nil
	}
	salts := saltsOf(r.salts)
	want := sealog.OfEntry(e, salts)
	var but []string
	if blanked && e.Note == sealog.Erased {
		but = []string{"note"}
	}
	if what := sealog.Differs(want, l, but...); what != "" {
		k.tell("entry %d of the register is not as it was entered: its %s is another", e.Seq, what)
	}
	if n := sealog.EntrySalts(e); len(r.salts) != 2*sealog.SaltSize*n && (but == nil || len(r.salts) != 2*sealog.SaltSize) {
		k.tell("the salts of leaf %d are others", r.id)
	}
	return nil
}

func (k *looking) edition(l sealog.Leaf) error {
	all, err := numbers.Editions.List(k.conn, "WHERE id = $1", l.Of)
	if err != nil {
		return err
	}
	if len(all) == 0 {
		k.tell("edition %d was declared, and is not there", l.Of)
		return nil
	}
	if what := sealog.Differs(sealog.OfEdition(all[0], 0), l, sealog.LaterWords()...); what != "" {
		k.tell("edition %d is not as it was declared: its %s is another", l.Of, what)
	}
	return nil
}

// checkpoints compares what was signed at this size.
func (k *looking) checkpoints() {
	at := [2]int64{k.logs[k.at].ID, k.tree.Size}
	for _, s := range k.signed[at] {
		k.checkpoint(s)
	}
	delete(k.signed, at)
}

func (k *looking) checkpoint(s sealog.Signed) {
	log := k.logs[k.at]
	var by []note.Verifier
	if n := len(k.keys); n > 0 {
		if v, err := sealog.NewVerifier(k.keys[n-1]); err == nil {
			by = append(by, v)
		}
	}
	c, _, err := sealog.Open([]byte(s.Body), by...)
	want := sealog.Checkpoint{Origin: log.Origin, Size: k.tree.Size, Root: k.tree.Root()}
	if err != nil || c != want {
		k.tell("checkpoint %d, of %d leaves, is not what was signed", s.ID, s.Size)
	}
}

// end looks at what must be over when the leaves are.
func (k *looking) end() error {
	if k.at+1 < len(k.logs) {
		k.tell("log %d has no leaf", k.logs[k.at+1].ID)
	}
	for _, some := range k.signed {
		for _, s := range some {
			k.tell("checkpoint %d is of %d leaves, which are not there", s.ID, s.Size)
		}
	}
	for {
		e, _, found, err := k.entries.next()
		if err != nil {
			return err
		}
		if !found {
			break
		}
		k.tell("entry %d of the register is in no leaf", e.Seq)
	}
	for _, o := range k.others {
		if err := o.end(k); err != nil {
			return err
		}
	}
	return k.conn.Each(`SELECT id FROM editions ORDER BY id`, nil, func(rows *sql.Rows) error {
		var id int64
		err := rows.Scan(&id)
		if n := k.declared[id]; n != 1 {
			k.tell("edition %d is declared by %d leaves", id, n)
		}
		return err
	})
}
