#!/bin/sh
# Makes a small studio by a program of any age: what it did and did not have says how old it is.
# Usage: older.sh PROGRAM STUDIO.db
# A command that the program does not have is left out, for older ones had fewer.
set -u
program=$1
export SOLANDER_STORE="$2"
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
did=0
do_() {
	if "$program" "$@" >"$work/out" 2>"$work/err"; then did=$((did + 1)); else echo "left out: $*: $(head -1 "$work/err")" >&2; fi
}

cat >"$work/studio.json" <<-EOF
	{"settings": {"studio": "Larkfold Prints", "artist": "Wren Aldermoor",
	  "address": {"name": "Larkfold Prints", "line1": "14 Tollhouse Lane", "city": "Cinder Gap", "region": "VA", "postcode": "24019", "country": "US"},
	  "currency": "USD", "units": "inch", "time_zone": "America/New_York", "holidays": "us-federal", "mark_prefix": "S",
	  "price_classes": ["commercial"], "labs": ["Saltmarsh Print Room"]},
	 "outlets": [{"name": "Own site", "fees": [{"what": "sale", "name": "fee", "share": 290, "fixed": {"minor": 30, "currency": "USD"}, "of": "postage"}], "promise_days": 5}],
	 "work": {"title": "Heron at dusk", "year": 2024},
	 "edition": {"width_nm": "12 in", "height_nm": "16 in", "paper": "Cotton rag 310", "grammage_mg_m2": "310 gsm", "caliper_nm": "20 pt",
	  "grade": "fine", "technique": "pigment print", "limit": 25, "proofs": {"ap": 2}, "tightest_roll_nm": "3 in",
	  "price": {"minor": 12000, "currency": "USD"}, "print_cost": {"minor": 1450, "currency": "USD"}},
	 "sheets": 8}
EOF
"$program" set-up --file "$work/studio.json" >/dev/null || exit 1
do_ works --add "Étude in grey" --year 2025
cat >"$work/edition.json" <<-EOF
	{"work": 2, "width_nm": "12 in", "height_nm": "16 in", "paper": "cotton rag", "grammage_mg_m2": "310 gsm",
	 "caliper_nm": "20 pt", "grade": "fine", "technique": "pigment print", "limit": 25, "proofs": {"ap": 2},
	 "tightest_roll_nm": "3 in", "price": {"minor": 12000, "currency": "USD"}, "print_cost": {"minor": 1450, "currency": "USD"}}
	EOF
do_ declare --file "$work/edition.json"
outlet=1
sale() { do_ sale --outlet "$outlet" --city Pinfold --region VA --postcode 24011 --country US --postage 6 "$@"; }
do_ drawer count 2 10
for piece in $(seq 1 40); do "$program" shelf count "$piece" 12 >/dev/null 2>&1 || break; done
sale --buyer "Ines Halloran" --email ines@example.org --line1 "8 Quince Lane" --print 1:3 --print 2 --paid 246 --paid-note "by card" --gift-message "For your wall"
sale --buyer "Bram Ödegård" --phone "+1 540 555 0101" --line1 "1 Mill Row" --print 1:7 --paid 40 --note "pays the rest at the fair"
sale --buyer "ines halloran" --email ines@example.org --line1 "8 Quince Lane" --print 2:5 --paid 126
sale --buyer "Odile Marchetti" --line1 "3 Weir Street" --print 1 --paid 126
sale --buyer "Tomas Reyes" --line1 "77 Long Acre" --print 2 --paid 126
do_ earnings rates enter EUR USD 1.25 --day "$(date +%F)" --source "the bank of Saltmarsh"
sale --buyer "Mira Solvang" --line1 "2 Kiln Lane" --print 1 --currency EUR --paid 20
do_ pay S-1006 20 --worth 26.10
do_ owed invoice S-1006
do_ pay S-1002 20 --kind deposit
do_ pay S-1002 20
do_ sign S-1001
do_ sign S-1003
do_ plan S-1001
do_ pack S-1001
do_ label S-1001 --paid 9.25 --tracking "9400 1118 9922 3100 0002 08"
do_ hand-over
do_ pack S-1003
do_ cancel S-1004 --reason "bought twice by mistake" --refund 126
do_ register spoil 1 12 --reason "dented"
do_ register keep 2 20 --note "for the archive"
do_ take-back S-1001 --reason "did not fit" --refund 120
do_ runs order 2 5 --lab "Saltmarsh Print Room"
do_ feed add "fair shop" --outlet "$outlet" --scope orders:write --scope payments:write
do_ fair begin "Quay fair" --outlet "$outlet" --float 50
do_ sale --outlet "$outlet" --print 1 --takes-it --paid-by cash
do_ fair cost 1 30 --from-box
do_ fair count 1 138 --why "wrong change"
do_ fair carry 1 60
do_ buyers
do_ ways S-1005
do_ weigh S-1003 400g
do_ ahead --wait S-1005
do_ claim open 1 --kind damaged --note "the corner is crushed"
do_ claim file 1 --reference C-1
printf 'Date,Amount,Name\n%s,110.00,%s\n' "$(date +%F)" "Own site" >"$work/bank.csv"
do_ bank account Current
do_ bank bring Current "$work/bank.csv"
do_ earnings payout "$outlet" 110 S-1005
do_ bank yes Current --proposed
do_ works --add "Weir" --year 2026
sed 's/"work": 2/"work": 3/' "$work/edition.json" >"$work/lots.json"
do_ declare --file "$work/lots.json"
do_ drawer count 3 1
run=2
for cost in 30 50 70; do
	do_ runs order 3 1 --lab "Saltmarsh Print Room" --unit-cost "$cost"
	do_ runs receive "$run" 1
	run=$((run + 1))
done
do_ register sign 3 1 2 3 4
do_ gallery save "Harbour Room" --share 40 --bears gallery
for number in 1 2 3 4; do do_ gallery send 1 3 "$number"; done
do_ gallery back 1
do_ gallery sold 3
do_ check
echo "$did commands done" >&2
