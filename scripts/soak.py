#!/usr/bin/env python3
"""Lets a server work for a long time, and looks whether its memory stays flat.

Usage: soak.py PROGRAM FOLDER [MINUTES]

The invented studio is built in FOLDER and served; some clients side by side read all its pages and papers, search, send forms as they stand
(shelf counted, orders amended), send forms with nothing in them, leave before their answer, and ask other programs' addresses without a token.
Every few seconds the resident memory (VmRSS, /proc/PID/status, kB) and the heap that the last collection found live (go_gc_heap_live_bytes of /metrics) are noted.
After a fifth of the time, in which caches fill, a straight line is laid by least squares through the least of each minute: what requests hold
while they are answered comes and goes within seconds, what is never let go of raises the least. The run fails when one of both lines rises by more
than a tenth of its mean within an hour, when an answer is a 5xx, or when the program does not end with 0 on SIGTERM.
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
MOST_AN_HOUR = 0.10


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
    def __init__(self, port, seed, until, seen, lock):
        super().__init__(daemon=True)
        self.port, self.random, self.until, self.seen, self.lock = port, random.Random(seed), until, seen, lock
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


def least(samples, at):
    """The least of each minute: (hours, value)."""
    minutes = {}
    for s in samples:
        minutes.setdefault(int(s[0] * 60), []).append((s[at], s[0]))
    return [(min(m)[1], min(m)[0]) for m in minutes.values()]


def line(points):
    """The slope, per hour, its standard error, and the mean of points (hours, value)."""
    n = len(points)
    mx, my = sum(x for x, _ in points) / n, sum(y for _, y in points) / n
    over = sum((x - mx) ** 2 for x, _ in points)
    if not over or n < 3:
        return 0.0, 0.0, my
    slope = sum((x - mx) * (y - my) for x, y in points) / over
    left = sum((y - my - slope * (x - mx)) ** 2 for x, y in points)
    return slope, (left / (n - 2) / over) ** 0.5, my


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
    until, seen, lock = began + minutes * 60, collections.Counter(), threading.Lock()
    clients = [Client(port, seed, until, seen, lock) for seed in range(4)]
    for c in clients:
        c.start()
    samples, told = [], 0
    while time.time() < until:
        at = time.time() - began
        samples.append((at / 3600, rss(server.pid), metric(watched, "go_gc_heap_live_bytes") / (1 << 20), metric(watched, "go_goroutines")))
        if at >= told:
            print(f"{at / 60:5.1f} min: {samples[-1][1]:6.1f} MB resident, {samples[-1][2]:6.1f} MB heap, {samples[-1][3]:3.0f} goroutines, {sum(seen.values())} answers", flush=True)
            told += 60
        time.sleep(EVERY)
    for c in clients:
        c.join(150)
    server.send_signal(signal.SIGTERM)
    code = server.wait(30)
    kept = [s for s in samples if s[0] * 60 >= minutes / 5]
    failed = []
    for name, at in (("resident", 1), ("heap", 2)):
        slope, error, mean = line(least(kept, at))
        print(f"{name}: least of each minute: mean {mean:.1f} MB, slope {slope:+.2f} ± {error:.2f} MB an hour; of all samples at most {max(s[at] for s in kept):.1f} MB")
        if slope > MOST_AN_HOUR * mean:
            failed.append(f"{name} memory rises")
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
