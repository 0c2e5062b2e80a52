package tariff

import (
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"time"
	"unicode/utf8"

	"github.com/BurntSushi/toml"

	"solander/fault"
	"solander/internal/strict"
)

// maxFile is the most bytes read of one file of a card.
const maxFile = 4 << 20

// Load reads a card from a folder: card.toml and the CSV tables that it names (docs/formats/tariff.md,
// section 10). Faults: Invalid, naming file, row and column, and how to mend it; Missing without
// card.toml or a table; TooLarge.
func Load(folder fs.FS) (Card, error) {
	text, err := readFile(folder, "card.toml")
	if err != nil {
		return Card{}, err
	}
	var tree map[string]any
	if _, err := toml.Decode(string(text), &tree); err != nil {
		return Card{}, fault.New(fault.Invalid, "not TOML: %v", err).At("card.toml").ToMend("check quotes and brackets near that line").Because(err)
	}
	l := &loader{folder: folder}
	l.takeFiles(tree)
	data, err := json.Marshal(plain(tree))
	if err != nil {
		return Card{}, fault.New(fault.Invalid, "card.toml holds a value that no card has: %v", err)
	}
	var c Card
	if err := strict.Decode(data, &c); err != nil {
		return Card{}, inFile("card.toml", errors.Join(err, l.err()))
	}
	l.fill(&c)
	if err := l.err(); err != nil {
		return Card{}, err // a table that could not be read would be told again, as one that is empty
	}
	if err := inFile("card.toml", c.Check("")); err != nil {
		return Card{}, err
	}
	return c, nil
}

// Read reads a card from JSON. Faults: Invalid, each with its place in the card.
func Read(data []byte) (Card, error) {
	var c Card
	if err := strict.Decode(data, &c); err != nil {
		return Card{}, err
	}
	return c, c.Check("")
}

type loader struct {
	folder    fs.FS
	zoneFiles []string
	prices    map[int]table // by number of the service
	covers    map[int]string
	faults    []error
}

// table is a CSV file of prices, or the part of it that belongs to one service.
type table struct{ file, only string }

func (l *loader) err() error { return errors.Join(l.faults...) }

// takeFiles removes the names of files from the tree, so that what stays is a card.
func (l *loader) takeFiles(tree map[string]any) {
	l.prices, l.covers = map[int]table{}, map[int]string{}
	for _, f := range listOf(tree["zone_files"]) {
		if s, ok := f.(string); ok {
			l.zoneFiles = append(l.zoneFiles, s)
		}
	}
	delete(tree, "zone_files")
	services, _ := tree["services"].([]map[string]any)
	for i, s := range services {
		if p, ok := s["prices"].(map[string]any); ok {
			t := table{file: pop(p, "file"), only: pop(p, "only")}
			if t.file != "" {
				l.prices[i] = t
			}
		}
		if c, ok := s["cover"].(map[string]any); ok {
			if f := pop(c, "file"); f != "" {
				l.covers[i] = f
			}
		}
	}
}

func listOf(v any) []any {
	l, _ := v.([]any)
	return l
}

func pop(m map[string]any, key string) string {
	s, _ := m[key].(string)
	delete(m, key)
	return s
}

// fill reads the tables into the card.
func (l *loader) fill(c *Card) {
	for _, f := range l.zoneFiles {
		l.keep(l.readZones(f, c))
	}
	for i := range c.Services {
		s := &c.Services[i]
		if t, ok := l.prices[i]; ok {
			l.keep(l.readPrices(t, c, s))
		}
		if f, ok := l.covers[i]; ok {
			l.keep(l.readCover(f, c, s.Cover))
		}
	}
}

func (l *loader) keep(err error) {
	if err != nil {
		l.faults = append(l.faults, err)
	}
}

// plain turns TOML's dates into texts, so that the tree can become JSON.
func plain(v any) any {
	switch v := v.(type) {
	case map[string]any:
		for k := range v {
			v[k] = plain(v[k])
		}
	case []map[string]any:
		for i := range v {
			plain(v[i])
		}
	case []any:
		for i := range v {
			v[i] = plain(v[i])
		}
	case time.Time:
		return v.Format("2006-01-02")
	}
	return v
}

func readFile(folder fs.FS, name string) ([]byte, error) {
	f, err := folder.Open(name)
	if err != nil {
		return nil, fault.New(fault.Missing, "%s cannot be opened", name).ToMend("put the file into the card's folder").Because(err)
	}
	defer f.Close()
	info, err := f.Stat()
	if err != nil || info.IsDir() {
		return nil, fault.New(fault.Missing, "%s is not a file", name)
	}
	if info.Size() > maxFile {
		return nil, fault.New(fault.TooLarge, "%s has %d bytes", name, info.Size()).ToMend("a table has at most %d bytes", maxFile)
	}
	text, err := fs.ReadFile(folder, name)
	if err != nil {
		return nil, fault.New(fault.Missing, "%s cannot be read", name).Because(err)
	}
	if !utf8.Valid(text) {
		return nil, fault.New(fault.Invalid, "%s is not valid UTF-8", name).ToMend("save it as UTF-8")
	}
	return text, nil
}

// inFile says in which file a fault of a card lies.
func inFile(name string, err error) error {
	if err == nil {
		return nil
	}
	var out []error
	for _, f := range fault.All(err) {
		where := name
		if f.Where != "" && f.Where != name {
			where = fmt.Sprintf("%s, %s", name, f.Where)
		}
		out = append(out, f.At("%s", where))
	}
	return errors.Join(out...)
}
