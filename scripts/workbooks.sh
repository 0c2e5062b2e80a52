#!/usr/bin/env bash
# Makes the workbooks of the tests from their flat OpenDocument sources, with LibreOffice.
set -euo pipefail
cd "$(dirname "$0")/../intake/xlsx/testdata"

command -v soffice >/dev/null || { printf 'workbooks: LibreOffice is missing (apt-get install --no-install-recommends libreoffice-calc)\n' >&2; exit 1; }
home=$(mktemp -d)
trap 'rm -rf "$home"' EXIT
for source in *.fods; do
	soffice "-env:UserInstallation=file://$home" --headless --convert-to xlsx:"Calc MS Excel 2007 XML" "$source" >/dev/null
	printf '%s\n' "${source%.fods}.xlsx"
done
