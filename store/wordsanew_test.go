package store

import (
	"slices"
	"testing"
	"time"

	"solander/intake"
	"solander/intake/kept"
	"solander/studio"
	"solander/studio/storetest/bed"
)

// TestWordsMadeAnew makes all words anew: what was found is found, by nothing else; an order whose file was taken back keeps none, and the check still
// finds that every order has its own.
func TestWordsMadeAnew(t *testing.T) {
	t.Parallel()
	for engine, place := range engines {
		t.Run(engine, func(t *testing.T) {
			s := openedWith(t, place(t)(t), Options{Patience: time.Minute}).(*store)
			h := bed.Furnished(t, s)
			ed := h.Declare(t, s, 9)
			stays, gone := bed.Add(t, s, h.Sale(ed)), bed.Add(t, s, h.Sale(ed, ed))
			row := intake.Origin{Row: 2, Hash: "h", Cells: []string{gone.Mark}}
			bed.Write(t, s, func(tx studio.Tx) error {
				id, err := tx.AddIntake(kept.Intake{Name: "sales.csv", Hash: "f", Made: kept.Made{Orders: 1}, Day: bed.Today, Who: "Nell"})
				if err == nil {
					err = tx.AddOrigins(id, []kept.MadeOf{{Order: gone.ID, Origin: row}})
				}
				if err == nil {
					err = tx.IntakeBack(id, kept.TakenBack{Day: bed.Today, Who: "Nell", Reason: "wrong year"})
				}
				return err
			})
			found := func(text string, want ...int64) {
				t.Helper()
				bed.Read(t, s, func(tx studio.Tx) error {
					all, err := tx.Orders(studio.OrderQuery{Text: text})
					var got []int64
					for _, o := range all {
						got = append(got, o.ID)
					}
					if !slices.Equal(got, want) {
						t.Errorf("%q finds %v, want %v", text, got, want)
					}
					return err
				})
			}
			words := func(id int64) (n int64) {
				if err := s.read(t.Context(), func(tx *tx) error {
					d := tx.conn.Dialect
					_, err := tx.conn.One(`SELECT count(*) FROM order_words w WHERE w.`+d.RowID+` = $1`, []any{id}, &n)
					return err
				}); err != nil {
					t.Fatal(err)
				}
				return n
			}
			for range 2 {
				found(stays.Mark, stays.ID)
				found(gone.Mark)
				found("zzyzx")
				if err := s.write(t.Context(), func(tx *tx) error { return tx.index.All() }); err != nil {
					t.Fatal(err)
				}
				if words(stays.ID) != 1 || words(gone.ID) != 1 {
					t.Errorf("the check would miss words: %d and %d rows", words(stays.ID), words(gone.ID))
				}
			}
			bed.Write(t, s, func(tx studio.Tx) error {
				b, err := tx.Buyer(stays.Buyer)
				if err == nil {
					b.Name = "Quillan Underwater"
					_, err = tx.SaveBuyer(b)
				}
				return err
			})
			found("underwater", stays.ID)
		})
	}
}
