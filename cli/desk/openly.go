package desk

import (
	"net/url"
	"regexp"

	"solander/fault"
)

// Openly refuses what is to be kept to oneself on the command line: other programs of the machine can read it there, and a shell
// writes it down. Source: proc_pid_cmdline(5) of the Linux manual.
func Openly(field, what, mend string) error {
	return fault.New(fault.Refused, "%s stands on the command line, where every program of this machine can read it", what).In(field).ToMend("%s", mend)
}

// keyed is a password among the parameters of a connection. Source: PostgreSQL manual, 34.1 (libpq, connection strings), from memory.
var keyed = regexp.MustCompile(`(?i)(^|[?&\s])(ssl)?password\s*=`)

// noPassword refuses a database's password in a flag; the variable may hold it. Faults: Refused.
func noPassword(field, variable, place string) error {
	inUser := false
	if u, err := url.Parse(place); err == nil {
		_, inUser = u.User.Password()
	}
	if !inUser && !keyed.MatchString(place) {
		return nil
	}
	return Openly(field, "the database's password", "leave it out there and keep it in the file that PGPASSFILE names (~/.pgpass), or set "+variable)
}
