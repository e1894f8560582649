"""A good client among a crowd: 1,000 connections that say nothing and 500 that say it slowly. Prints how long its quotes
took, beside those of the same client alone; fails where p99 among the crowd is above the limit."""

import http.client
import os
import re
import socket
import subprocess
import sys
import tempfile
import threading
import time

IDLE, SLOW, QUOTES, LIMIT_MS = 1000, 500, 2000, 20
BODY = '{"region":"demo-north","pond":{"outline":{"kind":"ellipse","length_m":5.5,"width_m":3.5},"depth_m":0.9}}'
HEAD = f"POST /v1/quote HTTP/1.1\r\nHost: x\r\nContent-Type: application/json\r\nContent-Length: {len(BODY)}\r\n\r\n"


def start(folder):
    with open(os.path.join(folder, "log"), "wb") as log:
        process = subprocess.Popen(
            [os.environ["PONDWRIGHT_BIN"], "serve", "--config", os.environ["PONDWRIGHT_CONFIG"], "--listen", "127.0.0.1:0"],
            stderr=log)
    while True:
        with open(os.path.join(folder, "log"), encoding="utf-8") as log:
            match = re.search(r'"address":"127\.0\.0\.1:(\d+)"', log.read())
        if match:
            return process, int(match[1])
        time.sleep(0.02)


def quotes_ms(port):
    client, times = http.client.HTTPConnection("127.0.0.1", port), []
    for _ in range(QUOTES):
        begin = time.perf_counter()
        client.request("POST", "/v1/quote", BODY, {"Content-Type": "application/json"})
        reply = client.getresponse()
        reply.read()
        times.append((time.perf_counter() - begin) * 1000)
        if reply.status != 200:
            sys.exit(f"a quote was answered with {reply.status}")
    return sorted(times)


def say(who, times):
    p99 = times[len(times) * 99 // 100]
    print(f"{who}: {len(times)} quotes, p50 {times[len(times) // 2]:.2f} ms, p99 {p99:.2f} ms, worst {times[-1]:.2f} ms")
    return p99


def drip(connections, over):
    """A byte each now and then, and a new connection for each that is cut at its deadline."""
    text, at = HEAD.encode() + BODY.encode(), 0
    while not over.wait(0.2):
        at = (at + 1) % len(text)
        for connection in connections:
            try:
                connection.send(text[at:at + 1])
            except OSError:
                pass


def main():
    with tempfile.TemporaryDirectory() as folder:
        process, port = start(folder)
        say("alone", quotes_ms(port))
        idle = [socket.create_connection(("127.0.0.1", port)) for _ in range(IDLE)]
        slow = [socket.create_connection(("127.0.0.1", port)) for _ in range(SLOW)]
        for connection in slow:
            connection.send(HEAD[:40].encode())
        over = threading.Event()
        dripping = threading.Thread(target=drip, args=(slow, over))
        dripping.start()
        p99 = say(f"among {IDLE} idle and {SLOW} slow", quotes_ms(port))
        over.set()
        dripping.join()
        for connection in idle + slow:
            connection.close()
        process.terminate()
        process.wait(30)
    return p99 > LIMIT_MS


sys.exit(main())
