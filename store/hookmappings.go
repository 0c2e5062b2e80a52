package store

import (
	"cmp"
	"database/sql"
	"slices"

	"solander/fault"
	"solander/studio"
)

const hookMappingColumns = "id, name, body"

func scanHookMapping(rows *sql.Rows) (m studio.HookMapping, err error) {
	err = rows.Scan(&m.ID, &m.Name, rawJSON{&m.Body})
	return m, err
}

func (t *tx) HookMappings() ([]studio.HookMapping, error) {
	out, err := list(t, scanHookMapping, selectFrom("hook_mappings", hookMappingColumns, ""))
	slices.SortFunc(out, func(a, b studio.HookMapping) int { return cmp.Or(byText(a.Name, b.Name), cmp.Compare(a.ID, b.ID)) })
	return out, err
}

func (t *tx) HookMapping(id int64) (studio.HookMapping, error) {
	out, err := list(t, scanHookMapping, selectFrom("hook_mappings", hookMappingColumns, "WHERE id = $1"), id)
	return only(out, err, "mapping %d", id)
}

func (t *tx) SaveHookMapping(m studio.HookMapping) (int64, error) {
	taken := fault.New(fault.Taken, "there is a mapping %q already", m.Name).ToMend("choose another name").In("name")
	if err := t.nameFree("hook_mappings", m.Name, m.ID, taken); err != nil {
		return 0, err
	}
	if m.ID != 0 {
		err := t.change("mapping", m.ID, updateOf("hook_mappings", hookMappingColumns), m.ID, m.Name, string(m.Body))
		return m.ID, when(err, unique, taken)
	}
	var err error
	if m.ID, err = t.next("hook_mappings"); err != nil {
		return 0, err
	}
	_, err = t.exec(insertInto("hook_mappings", hookMappingColumns), m.ID, m.Name, string(m.Body))
	return m.ID, when(err, unique, taken)
}

func (t *tx) DropHookMapping(id int64) error {
	var name string
	found, err := t.one(`SELECT name FROM feeds WHERE mapping = $1 ORDER BY id LIMIT 1`, []any{id}, &name)
	switch {
	case err != nil:
		return err
	case found:
		return fault.New(fault.Refused, "the feed %s reads by this mapping", name).ToMend("give the feed another one first")
	}
	return t.change("mapping", id, `DELETE FROM hook_mappings WHERE id = $1`, id)
}
