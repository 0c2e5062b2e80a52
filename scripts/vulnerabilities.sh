#!/usr/bin/env bash
# Looks for known vulnerabilities in what the program calls; fails when there is one. The database of them lies in the network
# (vuln.go.dev, or where GOVULNDB says): where it cannot be had, one line says so, and that is no failure.
# GOVULNCHECK is another program to ask, and PATIENCE the seconds that it may take at most, for the test of this script.
set -uo pipefail
cd "$(dirname "$0")/.." || exit 1

unchecked() {
	printf 'lint: known vulnerabilities were not checked: %s\n' "$1"
	exit 0
}

command -v timeout >/dev/null || unchecked "timeout is not installed"
ask=${GOVULNCHECK:-$(go tool -modfile=tools/go.mod -n govulncheck 2>/dev/null)} || unchecked "govulncheck cannot be built"

# One small room first: whether the database can be had need not wait for the whole house.
for rooms in ./fault ./...; do
	said=$(timeout "${PATIENCE:-300}" "$ask" "$rooms" 2>&1)
	case $? in
	0) ;;
	3) # what govulncheck returns when it found something
		printf '%s\n' "$said" >&2
		exit 1
		;;
	124) unchecked "the database did not answer within ${PATIENCE:-300} seconds" ;;
	*) unchecked "$(tail -n 1 <<<"$said")" ;;
	esac
done
