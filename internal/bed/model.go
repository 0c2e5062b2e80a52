package bed

import (
	"os"
	"sync"
	"testing"
)

// A model is a studio that is made once, and copied for each test: to lay its tables anew takes most of the time of a small test.
type model struct {
	make func(*Bed)
	once sync.Once
	file []byte
	made Bed // what stands in it
}

var (
	empty     = &model{make: func(*Bed) {}}
	furnished = &model{make: (*Bed).furnish}
)

// begin makes b the opened studio of a copy.
func (m *model) begin(t testing.TB, b *Bed) {
	t.Helper()
	m.once.Do(func() {
		m.made.begin(t, nil)
		m.make(&m.made)
		m.made.Must(m.made.Store.Close()) // it is whole in its one file then
		var err error
		m.file, err = os.ReadFile(m.made.Path)
		m.made.Must(err)
	})
	if len(m.file) == 0 {
		t.Fatal("the studio could not be made: see the test that came first")
	}
	b.Own, b.Market, b.Heron, b.Reeds, b.Card = m.made.Own, m.made.Market, m.made.Heron, m.made.Reeds, m.made.Card
	b.begin(t, m.file)
}
