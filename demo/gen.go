package demo

import (
	"math/rand/v2"
	"strconv"
	"strings"

	"solander/order"
)

// gen is the seeded source of all invention: the same seed invents the same studio.
type gen struct{ r *rand.Rand }

func newGen(seed uint64) *gen { return &gen{rand.New(rand.NewPCG(seed, 0x501a7de3))} }

func (g *gen) below(n int) int { return g.r.IntN(n) }

// chance is true in percent of a hundred cases.
func (g *gen) chance(percent int) bool { return g.r.IntN(100) < percent }

func pick[T any](g *gen, of []T) T { return of[g.r.IntN(len(of))] }

// weighted picks an index with a chance in proportion to its weight.
func (g *gen) weighted(weights []int) int {
	sum := 0
	for _, w := range weights {
		sum += w
	}
	n := g.r.IntN(sum)
	for i, w := range weights {
		if n -= w; n < 0 {
			return i
		}
	}
	return len(weights) - 1
}

func itoa(n int) string { return strconv.Itoa(n) }

var ascii = strings.NewReplacer("ä", "a", "å", "a", "ö", "o", "ü", "u", "ß", "ss", "è", "e", "é", "e", "ë", "e", "ç", "c", "ł", "l", "ę", "e", "ó", "o",
	"ż", "z", "ź", "z", "ń", "n", "ø", "o", "ō", "o", "'", "", " ", "", "-", "")

// plain writes a name as it stands in a mail address.
func plain(name string) string { return ascii.Replace(strings.ToLower(name)) }

// tracking invents a parcel number that keeps the published check digit: by UPU S10 abroad, by GS1
// mod 10 at home, where serial numbers a parcel within the studio.
func (g *gen) tracking(serial int, country, home string) string {
	if country != home {
		body := pad(10_000_000+serial*37%80_000_000, 8)
		return closeTracking("LX", body, home)
	}
	return closeTracking("", "93"+pad(10_000+g.below(80_000), 7)+pad(serial, 12), "")
}

// closeTracking puts the check digit behind a body: the one of ten that the rule of package order takes.
func closeTracking(head, body, tail string) string {
	for d := range 10 {
		n := head + body + itoa(d) + tail
		if t, err := order.ParseTracking(n); err == nil && t.Verified() {
			return n
		}
	}
	return "" // no body of digits lacks a check digit
}

func pad(n, width int) string {
	s := strconv.Itoa(n)
	return strings.Repeat("0", max(0, width-len(s))) + s
}
