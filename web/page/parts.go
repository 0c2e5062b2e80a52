package page

import (
	"fmt"
	"strconv"

	"solander/fault"
)

// Part leads to a part of a list that is too long for one page.
type Part struct {
	To, Text string
	Here     bool
}

// PartOf returns where the part of n rows begins and ends that has the row which was asked for, counted from 1; "" is the first. Parts have so
// many rows each; to is the address of the part that begins with a row. A list of one part has no parts. Faults: Invalid.
func PartOf(asked string, n, every int, to func(row int) string) (from, until int, parts []Part, err error) {
	if asked != "" {
		row, err := strconv.Atoi(asked)
		if err != nil || row < 1 || row > n {
			return 0, 0, nil, fault.Invalidf("from", "%.20q is no row of the list", asked).ToMend("use 1 to %d", n)
		}
		from = (row - 1) / every * every
	}
	for at := 0; n > every && at < n; at += every {
		parts = append(parts, Part{to(at + 1), fmt.Sprintf("%d to %d", at+1, min(at+every, n)), at == from})
	}
	return from, min(from+every, n), parts, nil
}
