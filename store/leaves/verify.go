package leaves

import (
	"database/sql"
	"fmt"
	"slices"
	"strings"

	"golang.org/x/mod/sumdb/note"
	"golang.org/x/mod/sumdb/tlog"

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
	size     int64
	root     tlog.Hash // of the leaves of that log so far
	last     int64     // the id of the leaf before
	want     sealog.Leaf
	text     []byte
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
	leaves := rowsOf(t.conn, Leaves, "id", func(r leaf) int64 { return r.id })
	rows, err := leaves.after(0)
	if err != nil {
		return nil, err
	}
	hashing := hasher{logs: k.logs}
	hashed := hashing.begin(rows)
	defer func() { <-hashed }()
	for len(rows) > 0 {
		next, err := leaves.after(rows[len(rows)-1].id)
		if err != nil {
			return k.found, err
		}
		looks := <-hashed
		hashed = hashing.begin(next)
		for i := range rows {
			if err := k.leaf(&rows[i], looks[i]); err != nil {
				return k.found, err
			}
		}
		rows = next
	}
	return k.found, k.end()
}

// hashed is what the tree says at a leaf.
type hashed struct {
	begins, as bool      // it is the first of a log; its hashes are as they were kept
	root       tlog.Hash // of the leaves of the log up to it
}

// hasher grows the trees of logs once more, beside whoever reads their rows.
type hasher struct {
	logs  []sealog.Log // that have not begun yet
	tree  sealog.Tree
	text  []byte
	hexed []byte
}

// begin begins to hash the rows that come next; what came of it is to be taken before it is called again.
func (h *hasher) begin(rows []leaf) <-chan []hashed {
	done := make(chan []hashed, 1)
	go func() {
		out := make([]hashed, len(rows))
		for i := range rows {
			out[i] = h.leaf(&rows[i])
		}
		done <- out
	}()
	return done
}

func (h *hasher) leaf(r *leaf) (out hashed) {
	if len(h.logs) > 0 && h.logs[0].First <= r.id {
		out.begins, h.logs, h.tree = true, h.logs[1:], sealog.Tree{}
	}
	var room [64]tlog.Hash
	h.text = append(h.text[:0], r.body...)
	h.hexed = pack(h.hexed[:0], h.tree.Append(room[:0], sealog.LeafHash(h.text))...)
	out.as, out.root = string(h.hexed) == r.hashes, h.tree.Root()
	return out
}

func (k *looking) leaf(r *leaf, h hashed) error {
	if r.id != k.last+1 {
		k.tell("leaf %d is followed by leaf %d", k.last, r.id)
	}
	k.last = r.id
	if h.begins {
		k.begin(r)
	}
	if k.at < 0 {
		k.tell("leaf %d stands before the first log", r.id)
		return nil
	}
	same, err := k.sameEntry(r)
	if err != nil {
		return err
	}
	var l sealog.Leaf
	if !same {
		l, err = sealog.Parse(r.body)
		if err != nil || string(l.Kind) != r.kind || l.Of != r.of {
			k.tell("leaf %d is not what was kept", r.id)
		}
	}
	if !h.as {
		k.tell("leaf %d is not as it was hashed", r.id)
	}
	k.size, k.root = k.size+1, h.root
	if k.text = pack(k.text[:0], k.root); r.root != string(k.text) {
		k.tell("the root at leaf %d is another", r.id)
	}
	if !same {
		if err := k.means(r, l); err != nil {
			return err
		}
	}
	k.checkpoints()
	return nil
}

// sameEntry reports whether a leaf is, byte for byte, that of the next entry of the register, with its salts: then nothing is left to look at. Else the
// entry is still the next one.
func (k *looking) sameEntry(r *leaf) (bool, error) {
	if r.kind != string(sealog.Entry) {
		return false, nil
	}
	e, _, found, err := k.entries.next()
	if err != nil || !found {
		return false, err
	}
	if e.Seq == r.of && len(r.salts) == 2*sealog.SaltSize*sealog.EntrySalts(e) {
		k.want.SetEntry(&e, appendSalts(k.want.Salts[:0], r.salts))
		if k.text = k.want.AppendText(k.text[:0]); string(k.text) == r.body {
			return true, nil
		}
	}
	k.entries.back()
	return false, nil
}

// begin is at the first leaf of a log.
func (k *looking) begin(r *leaf) {
	k.at++
	log := k.logs[k.at]
	l, err := sealog.Parse(r.body)
	want := ""
	if k.at > 0 {
		want = rootText(k.root)
	}
	if err != nil || log.First != r.id || l.Kind != sealog.Opened || l.Get("origin") != log.Origin || l.Get("root") != want || log.ID != int64(k.at)+1 || l.Get("at") != fmt.Sprint(log.At.UnixMicro()) {
		k.tell("log %d does not begin as it was begun", log.ID)
	}
	k.size, k.keys = 0, nil
}

// means compares a leaf with what it tells of.
func (k *looking) means(r *leaf, l sealog.Leaf) error {
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
func (k *looking) salts(r *leaf, l sealog.Leaf) error {
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

func (k *looking) entry(r *leaf, l sealog.Leaf) error {
	e, blanked, found, err := k.entries.next()
	for ; err == nil && found && e.Seq < l.Of; e, blanked, found, err = k.entries.next() {
		k.tell("entry %d of the register is in no leaf", e.Seq)
	}
	if err != nil {
		return err
	}
	if found && e.Seq > l.Of {
		k.entries.back()
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
	at := [2]int64{k.logs[k.at].ID, k.size}
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
	want := sealog.Checkpoint{Origin: log.Origin, Size: k.size, Root: k.root}
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
