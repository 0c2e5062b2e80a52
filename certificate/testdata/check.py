"""Checks certificates, written from docs/formats/certificate.md alone; Ed25519 by RFC 8032, section 6, in plain Python.
Cases come as JSON on the input stream: [{"text": ..., "keys": [...], "list": ...}]; the answers leave as JSON."""
import base64
import datetime
import hashlib
import json
import re
import sys

P = 2**255 - 19
Q = 2**252 + 27742317777372353535851937790883648493
D = -121665 * pow(121666, P - 2, P) % P
ROOT = pow(2, (P - 1) // 4, P)


def sha256(b):
    return hashlib.sha256(b).digest()


def recover_x(y, sign):
    if y >= P:
        return None
    x2 = (y * y - 1) * pow(D * y * y + 1, P - 2, P)
    if x2 % P == 0:
        return None if sign else 0
    x = pow(x2, (P + 3) // 8, P)
    if (x * x - x2) % P != 0:
        x = x * ROOT % P
    if (x * x - x2) % P != 0:
        return None
    return P - x if x & 1 != sign else x


def add(a, b):
    e, f = (a[1] - a[0]) * (b[1] - b[0]) % P, (a[1] + a[0]) * (b[1] + b[0]) % P
    g, h = 2 * a[3] * b[3] * D % P, 2 * a[2] * b[2] % P
    i, j, k, l = f - e, h - g, h + g, f + e
    return (i * j % P, k * l % P, j * k % P, i * l % P)


def times(n, p):
    q = (0, 1, 1, 0)
    while n > 0:
        if n & 1:
            q = add(q, p)
        p = add(p, p)
        n >>= 1
    return q


BY = 4 * pow(5, P - 2, P) % P
BX = recover_x(BY, 0)
BASE = (BX, BY, 1, BX * BY % P)


def point(b):
    y = int.from_bytes(b, "little")
    x = recover_x(y & ((1 << 255) - 1), y >> 255)
    y &= (1 << 255) - 1
    return None if x is None else (x, y, 1, x * y % P)


def verify(public, message, signature):
    if len(signature) != 64:
        return False
    a, r = point(public), point(signature[:32])
    s = int.from_bytes(signature[32:], "little")
    if a is None or r is None or s >= Q:
        return False
    h = int.from_bytes(hashlib.sha512(signature[:32] + public + message).digest(), "little") % Q
    u, v = times(s, BASE), add(r, times(h, a))
    return (u[0] * v[2] - v[0] * u[2]) % P == 0 and (u[1] * v[2] - v[1] * u[2]) % P == 0


class Cut(Exception):
    pass


class Strange(Exception):
    pass


SIGNS = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ-.:*/"


def unpack(text):
    out = bytearray()
    for at in range(0, len(text), 3):
        part = text[at:at + 3]
        n = sum(SIGNS.index(c) * 41**i for i, c in enumerate(part))
        if len(part) == 3 and n < 65536:
            out += n.to_bytes(2, "big")
        elif len(part) == 2 and n < 256:
            out.append(n)
        elif len(part) < 3:
            raise Cut
        else:
            raise Strange
    return bytes(out)


class Reader:
    def __init__(self, b):
        self.b, self.at = b, 0

    def take(self, n):
        if self.at + n > len(self.b):
            raise Cut
        self.at += n
        return self.b[self.at - n:self.at]

    def number(self):
        n, shift = 0, 0
        while True:
            if self.at >= len(self.b):
                raise Strange
            c = self.b[self.at]
            self.at += 1
            n |= (c & 127) << shift
            if n > 2**40:
                raise Strange
            if c < 128:
                if shift and c == 0:
                    raise Strange
                return n
            shift += 7

    def text(self):
        try:
            return self.take(self.take(1)[0]).decode()
        except UnicodeDecodeError:
            raise Strange

    def frame(self):
        return Reader(self.take(int.from_bytes(self.take(2), "big")))

    def end(self):
        if self.at != len(self.b):
            raise Strange


def day(n):
    if n == 0 or n > 200000:
        return ""
    return (datetime.date(1970, 1, 1) + datetime.timedelta(days=n)).isoformat()


def statement(r):
    f = r.frame()
    if f.take(1) != b"\x01":
        raise Strange
    key = f.take(4).hex()
    serial, edition, kind = f.number(), f.number(), f.number()
    if kind > 4:
        raise Strange
    number = "%s %d" % (("N", "AP", "PP", "HC", "BAT")[kind], f.number())
    limit = f.number()
    proofs = " ".join(str(f.number()) for _ in range(4))
    year, declared, made = f.number(), day(f.number()), day(f.number())
    facts, title, artist, signature = f.take(16).hex(), f.text(), f.text(), f.take(64)
    f.end()
    text = ("solander-certificate/1\nkey %s\nserial %d\nedition %d\nnumber %s\nlimit %d\nproofs %s\nyear %d\ndeclared %s\nday %s\ntitle %s\nartist %s\nfacts %s\n"
            % (key, serial, edition, number, limit, proofs, year, declared, made, title, artist, facts))
    leaf = "solander-leaf/1 certificate\nof %d\nedition %d\nnumber %s\nday %s\nstatement %s\n" % (serial, edition, number, made, sha256(text.encode()).hex())
    return {"key": key, "serial": serial, "facts": facts, "text": text, "leaf": leaf, "signature": signature}


def proof(r):
    f = r.frame()
    p = {"origin": f.text(), "key": f.take(32), "index": f.number(), "size": f.number()}
    p["path"] = [f.take(32) for _ in range(f.take(1)[0])]
    p["signature"] = f.take(64)
    f.end()
    return p


def keys_of(texts):
    out = []
    for text in texts or []:
        parts = text.strip().split("+", 2)
        if len(parts) != 3:
            continue
        try:
            raw = base64.b64decode(parts[2], validate=True)
        except ValueError:
            continue
        if len(raw) == 33 and raw[0] == 1 and sha256(parts[0].encode() + b"\n" + raw)[:4].hex() == parts[1]:
            out.append({"name": parts[0], "id": parts[1], "public": raw[1:], "text": text.strip()})
    return out


def root(path, index, size, h):
    """RFC 6962, 2.1.1, by the two ends of what is still undecided."""
    if index >= size:
        return None

    def split(lo, hi, path):
        if hi - lo == 1:
            return h if not path else None
        if not path:
            return None
        k = 1
        while k * 2 < hi - lo:
            k *= 2
        if index < lo + k:
            left = split(lo, lo + k, path[:-1])
            return left and sha256(b"\x01" + left + path[-1])
        right = split(lo + k, hi, path[:-1])
        return right and sha256(b"\x01" + path[-1] + right)

    return split(0, size, path)


def in_log(s, p, key):
    if p["origin"] != key["name"] or p["key"] != key["public"]:
        return False
    top = root(p["path"], p["index"], p["size"], sha256(b"\x00" + s["leaf"].encode()))
    if top is None:
        return False
    checkpoint = "%s\n%d\n%s\n" % (p["origin"], p["size"], base64.b64encode(top).decode())
    return verify(key["public"], checkpoint.encode(), p["signature"])


def list_of(text, keys):
    body, found, rest = text.rpartition("\n\n")
    if not found:
        return None
    body += "\n"
    for line in rest.split("\n"):
        m = re.fullmatch("\u2014 (\\S+) (\\S+)", line)
        if not m:
            continue
        raw = base64.b64decode(m[2])
        for key in keys:
            if key["name"] == m[1] and key["id"] == raw[:4].hex() and verify(key["public"], body.encode(), raw[4:]):
                lines = [l.split(" ") for l in body.strip().split("\n")]
                if lines[0] != ["solander-certificates/1"]:
                    return None
                ended = {int(w[1]): ("replaced" if w[0] == "replaced" else "revoked") for w in lines if w[0] in ("revoked", "replaced")}
                return ended, int(next(w[1] for w in lines if w[0] == "last"))
    return None


def check(text, keys, signed_list):
    code = re.search(r"SOL([12]):([0-9A-Z\-.:*/]*)", text)
    if not code:
        return {"word": "unreadable"}
    p = None
    try:
        r = Reader(unpack(code[2]))
        s = statement(r)
        if code[1] == "2":
            p = proof(r)
        r.end()
    except Cut:
        return {"word": "cut-off"}
    except Strange:
        return {"word": "unreadable"}
    known = keys_of(keys)
    key = next((k for k in known if k["id"] == s["key"]), None)
    if key is None:
        return {"word": "foreign-key"}
    if not verify(key["public"], s["text"].encode(), s["signature"]):
        return {"word": "changed"}
    if p and not in_log(s, p, key):
        return {"word": "not-in-log"}
    facts = re.search("-----BEGIN FACTS-----\n(.*?)-----END FACTS-----\n", text.replace("\r\n", "\n"), re.S)
    if facts and sha256(facts[1].encode())[:16].hex() != s["facts"]:
        return {"word": "changed"}
    if signed_list:
        ended = list_of(signed_list, known)
        if not ended:
            return {"word": "bad-list"}
        if s["serial"] in ended[0]:
            return {"word": ended[0][s["serial"]]}
        if s["serial"] > ended[1]:
            return {"word": "old-list"}
    return {"word": "holds" if p else "signed", "key": key["text"], "size": p["size"] if p else 0}


json.dump([check(c["text"], c["keys"], c["list"]) for c in json.load(sys.stdin)], sys.stdout)
