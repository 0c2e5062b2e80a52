package renew

import (
	"cmp"
	"slices"
)

// mostNodes bounds the search for the fewest cells.
const mostNodes = 200_000

// Fewest chooses the fewest cells by which at least percent of the parcels and of the money paid went, most used first.
// proven is false when the search was cut short: then the cells do cover it, but fewer might.
func Fewest(uses []Used, percent int64) (chosen []Used, proven bool) {
	c := cover{all: slices.Clone(uses)}
	for _, u := range uses {
		c.parcels, c.money = c.parcels+int64(u.Parcels), c.money+u.Paid
	}
	c.parcels, c.money = upTo(c.parcels*percent, 100), upTo(c.money*percent, 100)
	// Both shares count alike in the order, so that the first choices serve both.
	slices.SortStableFunc(c.all, func(a, b Used) int { return cmp.Compare(c.weight(b), c.weight(a)) })
	n := 0
	for parcels, money := int64(0), int64(0); n < len(c.all) && (parcels < c.parcels || money < c.money); n++ {
		parcels, money = parcels+int64(c.all[n].Parcels), money+c.all[n].Paid
	}
	c.best = slices.Clone(c.all[:n])
	c.bounds()
	for proven = true; proven && len(c.best) > 0; {
		fewer := len(c.best) - 1
		found, done := c.within(0, fewer, c.parcels, c.money)
		proven = done
		if !found {
			break
		}
		c.best = slices.Clone(c.taken)
		c.taken = c.taken[:0]
	}
	slices.SortStableFunc(c.best, func(a, b Used) int {
		return cmp.Or(cmp.Compare(b.Parcels, a.Parcels), cmp.Compare(b.Paid, a.Paid))
	})
	return c.best, proven
}

func upTo(a, b int64) int64 { return (a + b - 1) / b }

// cover is the search for a set of so many cells that reaches both sums.
type cover struct {
	all            []Used
	parcels, money int64     // to be reached
	byParcels      [][]int64 // [i][k]: the most parcels of k cells from the i-th on
	byMoney        [][]int64
	best, taken    []Used
	nodes          int
}

func (c *cover) weight(u Used) float64 {
	return float64(u.Parcels)/float64(max(c.parcels, 1)) + float64(u.Paid)/float64(max(c.money, 1))
}

// bounds fills what so many cells of the rest can reach at most, as far as the best choice's size.
func (c *cover) bounds() {
	n, most := len(c.all), len(c.best)
	c.byParcels, c.byMoney = make([][]int64, n+1), make([][]int64, n+1)
	var parcels, money []int64 // of the rest, largest first, at most so many
	keep := func(top []int64, x int64) []int64 {
		at, _ := slices.BinarySearchFunc(top, x, func(a, b int64) int { return cmp.Compare(b, a) })
		top = slices.Insert(top, at, x)
		return top[:min(len(top), most)]
	}
	sums := func(top []int64) []int64 {
		out := make([]int64, most+1)
		for k := 1; k <= most; k++ {
			out[k] = out[k-1]
			if k <= len(top) {
				out[k] += top[k-1]
			}
		}
		return out
	}
	c.byParcels[n], c.byMoney[n] = sums(nil), sums(nil)
	for i := n - 1; i >= 0; i-- {
		parcels, money = keep(parcels, int64(c.all[i].Parcels)), keep(money, c.all[i].Paid)
		c.byParcels[i], c.byMoney[i] = sums(parcels), sums(money)
	}
}

// within looks for at most k cells from the i-th on that reach what is still lacking. done is false when it was cut short.
func (c *cover) within(i, k int, parcels, money int64) (found, done bool) {
	if parcels <= 0 && money <= 0 {
		return true, true
	}
	if c.byParcels[i][k] < parcels || c.byMoney[i][k] < money {
		return false, true
	}
	if c.nodes++; c.nodes > mostNodes {
		return false, false
	}
	u := c.all[i]
	c.taken = append(c.taken, u)
	if found, done = c.within(i+1, k-1, parcels-int64(u.Parcels), money-u.Paid); found || !done {
		return found, done
	}
	c.taken = c.taken[:len(c.taken)-1]
	return c.within(i+1, k, parcels, money)
}
