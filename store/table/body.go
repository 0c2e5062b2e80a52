package table

import (
	"slices"
	"strings"
	"sync"

	"solander/fault"
	"solander/store/engine"
)

// body is what of a table does not hang on the type of its rows: the program holds it once, and not once for each table.
type body struct {
	Name  string // also that of its counter of ids
	Names string // of its columns: "id, mark, …"

	what    string      // in a fault: "order"
	count   int         // of its columns
	inserts *Statements // that add so many rows
	update  string
	updates sync.Map // of some columns alone, by their places
	seals   sync.Map // whether a column may be in cipher, by its name
	clauses sync.Map // statements that add rows, by the clause behind them
}

func (o *body) make(name, what string, all []field) {
	o.Name, o.what = name, what
	o.Names, o.count, o.inserts = strings.Join(namesOf(all), ", "), len(all), BySize(o.inserting)
	o.update = updateOf(name, namesOf(changing(all)))
}

// Under returns the columns of the table under an alias: "r.id, r.mark, …".
func (o *body) Under(alias string) string {
	return alias + "." + strings.ReplaceAll(o.Names, ", ", ", "+alias+".")
}

// Drop deletes the row of an id. Faults: Missing.
func (o *body) Drop(c *Conn, id int64) error {
	return c.Change(o.what, id, "DELETE FROM "+o.Name+" WHERE id = $1", id)
}

// idAt is where the id of a row stands: its first column.
func idAt(fields []field) *int64 { return fields[0].at.(*int64) }

// written are the values of a row as they are written.
func (o *body) written(c *Conn, fields []field) ([]any, error) {
	values, err := valuesOf(fields)
	if err == nil {
		err = o.seal(c, fields, values)
	}
	return values, err
}

func (o *body) insert(c *Conn, fields []field, clause string) (int64, error) {
	values, err := o.written(c, fields)
	if err != nil {
		return 0, err
	}
	return c.Exec(o.insertsWith(clause).For(1), values...)
}

// insertsWith are the statements that add rows with a clause behind them, of which there are few: their texts are long, and each is made once.
func (o *body) insertsWith(clause string) *Statements {
	if clause == "" {
		return o.inserts
	}
	if s, ok := o.clauses.Load(clause); ok {
		return s.(*Statements)
	}
	s, _ := o.clauses.LoadOrStore(clause, BySize(func(rows int) string { return o.inserting(rows) + clause }))
	return s.(*Statements)
}

// insertAll adds rows, of which each has its fields, many by one statement, which run runs.
func (o *body) insertAll(c *Conn, rows int, each func(row int) []field, clause string, run func(query string, args []any) error) error {
	at, inserts := 0, o.insertsWith(clause)
	for part := range Portions(make([]struct{}, rows)) {
		all := make([]any, 0, len(part)*o.count)
		for range part {
			values, err := o.written(c, each(at))
			if err != nil {
				return err
			}
			all, at = append(all, values...), at+1
		}
		if err := run(inserts.For(len(part)), all); err != nil {
			return err
		}
	}
	return nil
}

func (o *body) add(c *Conn, fields []field) (int64, error) {
	id, err := c.Next(o.Name)
	if err != nil {
		return 0, err
	}
	*idAt(fields) = id
	_, err = o.insert(c, fields, "")
	return id, err
}

func (o *body) save(c *Conn, fields []field) (int64, error) {
	if id := *idAt(fields); id != 0 {
		return id, o.change(c, fields)
	}
	return o.add(c, fields)
}

func (o *body) saveNamed(c *Conn, fields []field, column, name string, taken *fault.Error) (int64, error) {
	if err := c.Free(o.Name, column, name, *idAt(fields), taken); err != nil {
		return 0, err
	}
	id, err := o.save(c, fields)
	return id, engine.When(err, engine.Unique, taken)
}

func (o *body) change(c *Conn, fields []field) error {
	return o.put(c, *idAt(fields), o.update, changing(fields))
}

func (o *body) changeFrom(c *Conn, before, row []field, always []string) error {
	id := *idAt(row)
	old, err := valuesOf(changing(before))
	if err != nil {
		return err
	}
	fields := changing(row)
	now, err := valuesOf(fields)
	if err != nil {
		return err
	}
	plain := slices.Clone(now)
	if err := o.seal(c, fields, now); err != nil {
		return err
	}
	var which strings.Builder
	names, values := []string{"id"}, []any{id}
	for i := 1; i < len(now); i++ {
		if plain[i] != old[i] || slices.Contains(always, fields[i].name) {
			which.WriteByte(byte(i))
			names, values = append(names, fields[i].name), append(values, now[i])
		}
	}
	if len(names) == 1 {
		return nil
	}
	text, ok := o.updates.Load(which.String())
	if !ok {
		text, _ = o.updates.LoadOrStore(which.String(), updateOf(o.Name, names))
	}
	return c.Change(o.what, id, text.(string), values...)
}

func (o *body) changeOnly(c *Conn, fields []field, names []string) error {
	id := *idAt(fields)
	fields = slices.DeleteFunc(fields, func(f field) bool {
		return f.name != "id" && !slices.Contains(names, strings.TrimSuffix(f.name, "_currency"))
	})
	return o.put(c, id, updateOf(o.Name, namesOf(fields)), fields)
}

func (o *body) put(c *Conn, id int64, update string, fields []field) error {
	values, err := o.written(c, fields)
	if err != nil {
		return err
	}
	return c.Change(o.what, id, update, values...)
}

// inserting makes the statement that adds so many rows.
func (o *body) inserting(rows int) string {
	return "INSERT INTO " + o.Name + " (" + o.Names + ") VALUES " + lists(rows, func(row int) string { return marks(row*o.count+1, o.count) })
}

// Ask is what List asks, for Conn.Ahead.
func (o *body) Ask(rest string, args ...any) engine.Ask {
	return engine.Ask{Query: "SELECT " + o.Names + " FROM " + o.Name + " " + rest, Args: args}
}

// AskIn is what In asks, for Conn.Ahead.
func (o *body) AskIn(column string, ids []int64, rest string) (asks []engine.Ask) {
	for part := range slices.Chunk(ids, Batch) {
		in, args := InList(part)
		asks = append(asks, o.Ask("WHERE "+column+" IN "+in+" "+rest, args...))
	}
	return asks
}
