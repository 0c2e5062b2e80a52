package brute

// Shares calls done with every division of numbers into two; a negative number is without end.
func Shares(left []int, done func(a, b []int)) {
	a := make([]int, len(left))
	var at func(i int)
	at = func(i int) {
		if i == len(left) {
			b := make([]int, len(left))
			for k := range b {
				if b[k] = left[k] - a[k]; left[k] < 0 {
					b[k] = -1
				}
			}
			done(append([]int{}, a...), b)
			return
		}
		if left[i] < 0 {
			a[i] = -1
			at(i + 1)
			return
		}
		for a[i] = 0; a[i] <= left[i]; a[i]++ {
			at(i + 1)
		}
	}
	at(0)
}
