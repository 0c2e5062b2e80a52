package fault

import "fmt"

// Count says how many there are of a thing: "1 parcel", "2 parcels".
func Count(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}
