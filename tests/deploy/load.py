"""Clients that ask for quotes over TLS until told to stop, and judge what they got.

  load.py PORT CERTIFICATE ENQUIRY FOLDER

Writes FOLDER/answers, the number of answers so far, and ends when FOLDER/stop appears. The verdict is on standard
output as JSON: how many answers, what failed, and what each edition and copy of the configuration said. A reference
that ever came with two different answers is a failure.
"""
import http.client
import json
import os
import ssl
import sys
import threading
import time

CLIENTS = 4
ENQUIRIES = 25
NAME = "quotes.example.com"


class Client(threading.Thread):
    def __init__(self, port, context, bodies, start):
        super().__init__()
        self.port, self.context, self.bodies, self.turn = port, context, bodies, start
        self.answers, self.failures, self.seen = 0, [], {}
        self.stop = threading.Event()

    def connect(self):
        return http.client.HTTPSConnection("127.0.0.1", self.port, timeout=30, context=self.context)

    def ask(self, connection, body):
        connection.request("POST", "/v1/quote", body, {"Content-Type": "application/json", "Host": NAME})
        answer = connection.getresponse()
        content = answer.read()
        if answer.status != 200:
            self.failures.append(f"status {answer.status}: {content[:200]!r}")
            return
        reference = json.loads(content)["reference"]
        if self.seen.setdefault(reference, content) != content:
            self.failures.append(f"two answers for {reference}")
        self.answers += 1

    def run(self):
        connection = self.connect()
        while not self.stop.is_set():
            try:
                self.ask(connection, self.bodies[self.turn % len(self.bodies)])
            except (OSError, http.client.HTTPException, ValueError, KeyError) as fault:
                self.failures.append(f"{type(fault).__name__}: {fault}")
                connection.close()
                connection = self.connect()
            self.turn += 1
        connection.close()


class NamedContext(ssl.SSLContext):
    """Asks for the site by its name, and wants its certificate, wherever it is connected to."""

    def wrap_socket(self, sock, **options):
        return super().wrap_socket(sock, **{**options, "server_hostname": NAME})


def bodies_of(path):
    with open(path, encoding="utf-8") as file:
        enquiry = json.load(file)
    enquiry["issued_on"] = "2026-11-25"
    enquiry.pop("start_on", None)
    bodies = []
    for turn in range(ENQUIRIES):
        enquiry.setdefault("site", {})["travel_km"] = 5 + turn
        bodies.append(json.dumps(enquiry))
    return bodies


def verdict(clients):
    seen, failures = {}, [fault for client in clients for fault in client.failures]
    for client in clients:
        for reference, content in client.seen.items():
            if seen.setdefault(reference, content) != content:
                failures.append(f"two answers for {reference}")
    prices = {}
    for content in seen.values():
        quote = json.loads(content)
        prices.setdefault(quote["edition"], set()).add((quote["config"], quote["price"]["gross_minor"]))
    return {"answers": sum(client.answers for client in clients), "references": len(seen), "failures": failures[:10],
            "failed": len(failures), "editions": {edition: len(found) for edition, found in prices.items()},
            "configs": len({config for found in prices.values() for config, _ in found})}


def main(port, certificate, enquiry, folder):
    context = NamedContext(ssl.PROTOCOL_TLS_CLIENT)
    context.load_verify_locations(certificate)
    bodies = bodies_of(enquiry)
    clients = [Client(int(port), context, bodies, 7 * n) for n in range(CLIENTS)]
    for client in clients:
        client.start()
    while not os.path.exists(f"{folder}/stop"):
        with open(f"{folder}/answers.new", "w", encoding="utf-8") as file:
            file.write(str(sum(client.answers for client in clients)))
        os.replace(f"{folder}/answers.new", f"{folder}/answers")
        time.sleep(0.05)
    for client in clients:
        client.stop.set()
    for client in clients:
        client.join()
    print(json.dumps(verdict(clients)))


main(*sys.argv[1:])
