# Reads an OFX file with an independent parser (Debian: python3-ofxparse) and prints what it found as JSON.
import json
import sys
import warnings

warnings.filterwarnings("ignore")
from ofxparse import OfxParser

with open(sys.argv[1], "rb") as f:
    ofx = OfxParser.parse(f)
out = []
for account in ofx.accounts:
    statement = account.statement
    out.append({
        "account": account.number,
        "currency": statement.currency.upper(),
        "lines": [{"ref": t.id, "day": t.date.strftime("%Y-%m-%d"), "amount": str(t.amount), "name": t.payee} for t in statement.transactions],
    })
json.dump(out, sys.stdout)
