package tariff

import (
	"encoding/json"
	"errors"
	"fmt"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"solander/internal/speedtest"
)

// large is a card of a thousand steps and a hundred zones: 100 000 cells.
func large() fstest.MapFS {
	var prices strings.Builder
	prices.WriteString("step,zone,price,source,status\n")
	for step := range 1000 {
		for zone := range 100 {
			fmt.Fprintf(&prices, "%d g,%d,%d.%02d,p%d,primary\n", 20*(step+1), zone+1, 5+step/10, zone, step/50)
		}
	}
	return folder(map[string]string{"ground.csv": prices.String()})
}

// Each is a card with 100 000 cells; the aim is 200 ms.
func BenchmarkLoad(b *testing.B) {
	files := large()
	card, err := Load(files)
	if err != nil {
		b.Fatal(err)
	}
	if n := len(card.Services[0].Prices.Rows) * len(card.Services[0].Prices.Zones); n != 100_000 {
		b.Fatalf("%d cells", n)
	}
	text, err := json.Marshal(card)
	if err != nil {
		b.Fatal(err)
	}
	b.Run("folder", func(b *testing.B) {
		busy(b, "cpu-ms/op", time.Millisecond, func() error { _, err := Load(files); return err })
	})
	b.Run("json", func(b *testing.B) {
		busy(b, "cpu-ms/op", time.Millisecond, func() error { _, err := Read(text); return err })
	})
	b.Run("looked-over", func(b *testing.B) {
		busy(b, "cpu-ms/op", time.Millisecond, func() error {
			if len(card.Suspicions()) == 0 {
				return errors.New("nothing is found in prices that fall from zone to zone")
			}
			return nil
		})
	})
}

// busy repeats and also reports the time of the processor, which tells more on a machine that is busy otherwise.
func busy(b *testing.B, unit string, each time.Duration, do func() error) {
	b.Helper()
	start := speedtest.Processor(b)
	for b.Loop() {
		if err := do(); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(speedtest.Processor(b)-start)/float64(each)/float64(b.N), unit)
}

// A price of a parcel, from the service and the way to the total: the aim is 2 µs, for the search alone and with its lines.
func BenchmarkPrice(b *testing.B) {
	c := ground()
	few := offer(c, losAngeles)
	big, err := Load(large())
	if err != nil {
		b.Fatal(err)
	}
	many, why := NewOffer(&big, &big.Services[0], Place{"US", "24011"}, Place{"US", "24060"})
	if why != nil {
		b.Fatal(why.Text)
	}
	bulky, extras := tube(30*in, 8*in, 5*lb), Extras{Cover: 150_00}
	for name, o := range map[string]*Offer{"5-steps": few, "1000-steps": many} {
		b.Run("cost/"+name, func(b *testing.B) {
			busy(b, "cpu-ns/op", time.Nanosecond, func() error {
				if _, ok := o.Cost(bulky, extras); !ok {
					return errors.New("refused")
				}
				return nil
			})
		})
		b.Run("lines/"+name, func(b *testing.B) {
			busy(b, "cpu-ns/op", time.Nanosecond, func() error {
				if _, why := o.Price(bulky, extras); why != nil {
					return errors.New(why.Text)
				}
				return nil
			})
		})
	}
}
