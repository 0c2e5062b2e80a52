#!/usr/bin/env bash
# Makes the workbooks and text files of the tests and of the guide from their flat OpenDocument sources, with LibreOffice.
set -euo pipefail
cd "$(dirname "$0")/../intake"

command -v soffice >/dev/null || { printf 'workbooks: LibreOffice is missing (apt-get install --no-install-recommends libreoffice-calc)\n' >&2; exit 1; }
home=$(mktemp -d)
trap 'rm -rf "$home"' EXIT

office() { soffice "-env:UserInstallation=file://$home" --headless --convert-to "$1" --outdir "$home" "$2" >/dev/null; }

for source in xlsx/testdata/*.fods ../docs/examples/*.fods; do
	office xlsx:"Calc MS Excel 2007 XML" "$source"
	name=$(basename "${source%.fods}").xlsx
	mv "$home/$name" "$(dirname "$source")/$name"
	printf '%s\n' "$name"
done

# Separator and character set by their numbers: comma 44, semicolon 59, tab 9; UTF-8 76, Windows-1252 1, UTF-16 65535.
while read -r name sep set; do
	office "csv:Text - txt - csv (StarCalc):$sep,34,$set,1" csvfile/testdata/letters.fods
	mv "$home/letters.csv" "csvfile/testdata/$name.csv"
	printf '%s\n' "$name.csv"
done <<'END'
utf8-comma 44 76
windows-semicolon 59 1
utf16-tab 9 65535
END
