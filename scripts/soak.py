#!/usr/bin/env python3
"""Lets a server work for a long time, and looks whether its memory stays flat.

Usage: soak.py PROGRAM FOLDER [MINUTES]

The invented studio is built in FOLDER and served; some clients side by side read all its pages and papers, search, send forms as they stand
(shelf counted, orders amended), send forms with nothing in them, leave before their answer, and ask other programs' addresses without a token.
Every few seconds the resident memory (VmRSS, /proc/PID/status, kB) and the heap that the last collection found live (go_gc_heap_live_bytes of /metrics) are noted.
Three times, after a fifth of the time in which caches fill, after three fifths and at the end, the clients rest until the program has collected
what nobody holds any more (Go does so after two idle minutes): what is live then is what is never let go of. The run fails when one of both is at the
last rest more than a tenth above the first, when an answer is a 5xx, or when the program does not end with 0 on SIGTERM.
Standard library alone.
"""
import collections
import html.parser
import http.client
import os
import random
import re
import signal
import socket
import subprocess
import sys
import threading
import time
import urllib.parse

PAGES = ["/", "/orders", "/editions", "/drawer", "/shelf", "/runs", "/ahead", "/quote", "/buyers", "/studio", "/scan", "/till", "/orders/new", "/help",
         "/studio/files", "/papers/stickers", "/orders?page=2", "/nothing-here"]
WORDS = ["heron", "har", "mead", "17", "é", "S-10", "quince", "zz"]
EVERY = 5.0
REST = 150.0  # seconds
MOST = 0.10


class Forms(html.parser.HTMLParser):
    """Gathers the forms of a page with what stands in them."""

    def __init__(self):
        super().__init__()
        self.forms, self.links, self.open = [], [], None

    def handle_starttag(self, tag, attrs):
        a = dict(attrs)
        if tag == "a" and a.get("href", "").startswith("/"):
            self.links.append(a["href"])
        if tag == "form":
            self.open = (a.get("action", ""), a.get("method", "get").lower(), [])
            self.forms.append(self.open)
        if self.open and tag in ("input", "textarea", "button") and a.get("name") and a.get("type") not in ("checkbox", "radio", "file"):
            self.open[2].append((a["name"], a.get("value", "") or ""))

    def handle_endtag(self, tag):
        if tag == "form":
            self.open = None


class Client(threading.Thread):
    def __init__(self, port, seed, until, seen, lock, at_work):
        super().__init__(daemon=True)
        self.port, self.random, self.until, self.seen, self.lock, self.at_work = port, random.Random(seed), until, seen, lock, at_work
        self.links = list(PAGES)

    def ask(self, method, path, body=None, headers=None):
        conn = http.client.HTTPConnection("127.0.0.1", self.port, timeout=120)
        try:
            conn.request(method, path, body, {"Host": f"127.0.0.1:{self.port}", **(headers or {})})
            answer = conn.getresponse()
            text = answer.read()
        finally:
            conn.close()
        with self.lock:
            self.seen[answer.status] += 1
            if answer.status >= 500:
                print(f"{answer.status} {method} {path}", file=sys.stderr)
        return answer, text

    def send(self, form):
        action, _, fields = form
        body = urllib.parse.urlencode(fields)
        return self.ask("POST", action, body, {"Content-Type": "application/x-www-form-urlencoded", "Origin": f"http://127.0.0.1:{self.port}"})

    def page(self, path):
        answer, text = self.ask("GET", path)
        found = Forms()
        if "text/html" in (answer.getheader("Content-Type") or ""):
            found.feed(text.decode())
            self.links = (self.links + found.links)[-400:]
        return found

    def leave(self):
        """Asks for something and is gone before the answer."""
        with socket.create_connection(("127.0.0.1", self.port), timeout=30) as s:
            s.sendall(f"GET /ahead HTTP/1.1\r\nHost: 127.0.0.1:{self.port}\r\n\r\n".encode())

    def once(self):
        draw = self.random.random()
        if draw < 0.30:
            self.page(self.random.choice(PAGES))
        elif draw < 0.60:
            self.page(self.random.choice(self.links))
        elif draw < 0.70:
            self.page("/search?" + urllib.parse.urlencode({"q": self.random.choice(WORDS)}))
        elif draw < 0.78:
            forms = [f for f in self.page("/shelf").forms if re.fullmatch(r"/shelf/\d+/count", f[0])]
            if forms:
                self.send(self.random.choice(forms))
        elif draw < 0.86:
            orders = [l for l in self.links if re.fullmatch(r"/orders/\d+", l)]
            if orders:
                forms = [f for f in self.page(self.random.choice(orders)).forms if f[0].endswith("/amend")]
                if forms:
                    self.send(forms[0])
        elif draw < 0.90:
            self.send((self.random.choice(["/orders", "/sign", "/editions", "/works", "/till", "/shelf/1/count", "/orders/1/pay"]), "post", []))
        elif draw < 0.94:
            self.leave()
        elif draw < 0.97:
            self.ask("POST", "/api/v1/orders", "{}", {"Authorization": "Bearer nobody", "Content-Type": "application/json", "Idempotency-Key": str(self.random.random())})
        else:
            self.ask("GET", "/papers/day/" + self.random.choice(["sheet.pdf", "bench.pdf", "labels.pdf"]))

    def run(self):
        while time.time() < self.until:
            self.at_work.wait()
            try:
                self.once()
            except (OSError, http.client.HTTPException) as e:
                with self.lock:
                    self.seen[type(e).__name__] += 1
            time.sleep(self.random.random() * 0.2)


def rss(pid):
    with open(f"/proc/{pid}/status") as f:
        return int(re.search(r"VmRSS:\s+(\d+) kB", f.read()).group(1)) / 1024


def metric(port, name):
    conn = http.client.HTTPConnection("127.0.0.1", port, timeout=60)
    conn.request("GET", "/metrics")
    text = conn.getresponse().read().decode()
    conn.close()
    return float(re.search(rf"^{name} (\S+)$", text, re.M).group(1))


def free_port():
    with socket.socket() as s:
        s.bind(("127.0.0.1", 0))
        return s.getsockname()[1]


def main():
    program, folder = sys.argv[1], sys.argv[2]
    minutes = float(sys.argv[3]) if len(sys.argv) > 3 else 30
    subprocess.run([program, "demo", "--build-only", "--fresh", "--dir", folder], check=True, stdout=subprocess.DEVNULL)
    port, watched = free_port(), free_port()
    log = open(os.path.join(folder, "log.txt"), "w")
    server = subprocess.Popen([program, "serve", "--store", os.path.join(folder, "demo.db"), "--listen", f"127.0.0.1:{port}", "--health", f"127.0.0.1:{watched}",
                               "--log", "json", "--slow", "1s"], stdout=subprocess.DEVNULL, stderr=log)
    for _ in range(300):
        try:
            metric(watched, "go_goroutines")
            break
        except OSError:
            time.sleep(0.2)
    began = time.time()
    until, seen, lock, at_work = began + minutes * 60, collections.Counter(), threading.Lock(), threading.Event()
    at_work.set()
    clients = [Client(port, seed, until, seen, lock, at_work) for seed in range(4)]
    for c in clients:
        c.start()
    most, told, rests, due = 0.0, 0, [], [began + minutes * 60 / 5, began + minutes * 60 * 3 / 5]

    def sample():
        return rss(server.pid), metric(watched, "go_gc_heap_live_bytes") / (1 << 20)

    def rest():
        time.sleep(REST)
        rests.append(sample())
        print(f"at rest:  {rests[-1][0]:6.1f} MB resident, {rests[-1][1]:6.1f} MB heap, {sum(seen.values())} answers", flush=True)

    while time.time() < until:
        at, now = time.time() - began, sample()
        most = max(most, now[0])
        if at >= told:
            print(f"{at / 60:5.1f} min: {now[0]:6.1f} MB resident, {now[1]:6.1f} MB heap, {metric(watched, 'go_goroutines'):3.0f} goroutines, {sum(seen.values())} answers", flush=True)
            told += 60
        time.sleep(EVERY)
        if due and time.time() > due[0]:
            due.pop(0)
            at_work.clear()
            rest()
            at_work.set()
    for c in clients:
        c.join(150)
    rest()
    server.send_signal(signal.SIGTERM)
    code = server.wait(30)
    failed = []
    for name, at in (("resident", 0), ("heap", 1)):
        first, last = rests[0][at], rests[-1][at]
        print(f"{name} at rest: {', '.join(f'{r[at]:.1f}' for r in rests)} MB")
        if last > (1 + MOST) * first:
            failed.append(f"{name} memory rises")
    print(f"resident at most {most:.1f} MB")
    bad = sum(n for status, n in seen.items() if isinstance(status, int) and status >= 500)
    print("answers:", ", ".join(f"{status}: {n}" for status, n in sorted(seen.items(), key=str)))
    if bad:
        failed.append(f"{bad} answers were our own failure")
    if sum(seen.values()) < 10 * minutes:
        failed.append("hardly anything was answered: nothing was tested")
    if code != 0:
        failed.append(f"the program ended with {code}")
    print("failed: " + "; ".join(failed) if failed else "memory is flat")
    sys.exit(1 if failed else 0)


if __name__ == "__main__":
    main()
