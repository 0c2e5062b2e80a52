package calendar

import (
	_ "embed"
	"slices"
	"strings"
	"sync"
)

//go:embed zones.csv
var zoneFile string

// Zone is a time zone with the countries that keep it, those that have it alone or most of it first.
type Zone struct {
	Name      string   // "America/New_York"
	Countries []string // ISO 3166-1 alpha-2
}

// Zones returns the time zones that differ since 1970, by name. Source: zone1970.tab of the IANA time zone database (public domain).
func Zones() []Zone { return slices.Clone(zones()) }

var zones = sync.OnceValue(func() []Zone {
	var out []Zone
	for _, l := range strings.Split(strings.TrimSpace(zoneFile), "\n")[1:] {
		name, countries, _ := strings.Cut(l, ",")
		out = append(out, Zone{name, strings.Fields(countries)})
	}
	return out
})
