#!/usr/bin/env bash
# Installs what the tests need beyond Go, where it is missing: PostgreSQL, pgbouncer, Chromium, poppler, HarfBuzz, Python with Pillow and ofxparse, ExifTool, OpenSSL, sslscan, certutil, age, hledger, zsh and fish
# from Debian's packages, and what tools/web/package.json names from npm. As root, or by sudo without a password; else it says what to
# install and fails.
set -euo pipefail
cd "$(dirname "$0")/.."

missing=()
need() { # PACKAGE, then a test that succeeds when it is there
	local package=$1
	shift
	"$@" >/dev/null 2>&1 || missing+=("$package")
}
one_of() { # succeeds when one of the commands is there
	local name
	for name in "$@"; do
		if command -v "$name"; then return 0; fi
	done
	return 1
}
postgres_there() { one_of initdb || compgen -G '/usr/lib/postgresql/*/bin/initdb'; }

need postgresql postgres_there
need pgbouncer one_of pgbouncer /usr/sbin/pgbouncer
need chromium one_of chromium chromium-browser google-chrome-stable google-chrome
need poppler-utils command -v pdftotext
need poppler-utils command -v pdftoppm
need libharfbuzz-bin command -v hb-shape
need python3 /usr/bin/python3 -c 'import tomllib'
need python3-pil /usr/bin/python3 -c 'import PIL.ImageCms'
need python3-ofxparse /usr/bin/python3 -c 'import ofxparse'
need libimage-exiftool-perl command -v exiftool
need nodejs command -v node
need npm command -v npm
need openssl command -v openssl
need zbar-tools command -v zbarimg
need gnome-keyring command -v gnome-keyring-daemon # with dbus-run-session: a Secret Service
need dbus command -v dbus-run-session
need zxing-cpp-tools command -v ZXingReader
need sslscan command -v sslscan
need libnss3-tools command -v certutil
need shellcheck command -v shellcheck
need zsh command -v zsh
need age command -v age
need hledger command -v hledger
need fish command -v fish
need fonts-liberation compgen -G '/usr/share/fonts/truetype/liberation*/*'

if ((${#missing[@]})); then
	echo "installing for the tests: ${missing[*]}"
	as_root=()
	if (($(id -u) != 0)); then as_root=(sudo -n); fi
	if ! command -v apt-get >/dev/null || ! "${as_root[@]}" true 2>/dev/null; then
		echo "these are missing and cannot be installed from here: ${missing[*]}" >&2
		echo "install them by the means of your system, then run the tests again" >&2
		exit 1
	fi
	export DEBIAN_FRONTEND=noninteractive
	apt=("${as_root[@]}" env DEBIAN_FRONTEND=noninteractive apt-get -q -o DPkg::Lock::Timeout=300)
	log=$(mktemp)
	trap 'rm -f "$log"' EXIT
	if ! { "${apt[@]}" update && "${apt[@]}" install -y --no-install-recommends "${missing[@]}"; } >"$log" 2>&1; then
		tail -n 30 "$log" >&2
		echo "apt-get could not install ${missing[*]}" >&2
		exit 1
	fi
fi

# The lock file names the versions; npm ci takes exactly these.
if ! cmp -s tools/web/package-lock.json tools/web/node_modules/.lock-installed; then
	echo "installing what the tests need from npm"
	npm ci --prefix tools/web --no-audit --no-fund --loglevel=error
	cp tools/web/package-lock.json tools/web/node_modules/.lock-installed
fi

# The storage that copies are sent to in tests is built once; go keeps it.
if [[ ${SOLANDER_NO_STORAGE:-} != 1 ]]; then
	go tool -modfile=tools/storage/go.mod -n versitygw >/dev/null
fi
