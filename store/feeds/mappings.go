package feeds

import (
	"solander/fault"
	"solander/feed"
	"solander/store/table"
	"solander/store/words"
)

// Mappings say where the fields of an order stand in the messages of a program.
var Mappings = table.Make("hook_mappings", "mapping", func(m *feed.Mapping) table.Columns {
	return table.Columns{"id", &m.ID, "name", &m.Name, "body", table.Raw(&m.Body)}
})

func (t *FeedRows) HookMappings() ([]feed.Mapping, error) {
	out, err := Mappings.List(t.conn, "")
	words.ByName(out, func(x feed.Mapping) (string, int64) { return x.Name, x.ID })
	return out, err
}

// HookMapping reads a mapping.
func (t *FeedRows) HookMapping(id int64) (feed.Mapping, error) { return Mappings.Get(t.conn, id) }

// SaveHookMapping adds a mapping, or changes one. Faults: Taken when its name is in use; Missing.
func (t *FeedRows) SaveHookMapping(m feed.Mapping) (int64, error) {
	taken := fault.New(fault.Taken, "there is a mapping %q already", m.Name).ToMend("choose another name").In("name")
	return Mappings.SaveNamed(t.conn, m, "name", m.Name, taken)
}

func (t *FeedRows) DropHookMapping(id int64) error {
	var name string
	found, err := t.conn.One(`SELECT name FROM feeds WHERE mapping = $1 ORDER BY id LIMIT 1`, []any{id}, &name)
	switch {
	case err != nil:
		return err
	case found:
		return fault.New(fault.Refused, "the feed %s reads by this mapping", name).ToMend("give the feed another one first")
	}
	return Mappings.Drop(t.conn, id)
}
