"""The shipped program, as the reference tests use it: a service on a free port of this machine, asked over connections
that stay open, and copies of config/ with a member changed."""
import atexit
import collections
import copy
import http.client
import json
import os
import re
import shutil
import signal
import subprocess
import tempfile
import threading
import time

PROGRAM = os.environ["PONDWRIGHT_BIN"]
CONFIG = os.environ["PONDWRIGHT_CONFIG"]
FIXTURES = os.environ["PONDWRIGHT_FIXTURES"]
TOKEN = "reference-tests-alone-0123456789"
THREADS = 4


def sample(count, least=1):
    """How many of a random sample to try: PONDWRIGHT_SAMPLES is the share, 1 unless tests/reference/mutants says less."""
    return max(least, round(count * float(os.environ.get("PONDWRIGHT_SAMPLES", "1"))))


class Refused(Exception):
    """The service answered with something other than 200; args are the status and the answer."""


class Service:
    """pondwright serve on a free port, until close() or the end of the process."""

    def __init__(self, config=CONFIG):
        self.log = tempfile.TemporaryFile()
        self.process = subprocess.Popen([PROGRAM, "serve", "--config", config, "--listen", "127.0.0.1:0"], stderr=self.log)
        atexit.register(self.close)
        self.port = self._wait_for_port()
        self.local = threading.local()

    def _wait_for_port(self):
        for _ in range(1200):
            said = os.pread(self.log.fileno(), 1 << 20, 0)
            found = re.search(rb'"address":"127\.0\.0\.1:(\d+)"', said)
            if found:
                return int(found.group(1))
            if self.process.poll() is not None:
                break
            time.sleep(0.05)
        raise RuntimeError("the service did not start: " + said.decode())

    def close(self):
        if self.process.poll() is None:
            self.process.send_signal(signal.SIGTERM)
            self.process.wait(60)
        if self.process.returncode != 0:
            said = os.pread(self.log.fileno(), 1 << 20, 0).decode()[-3000:]
            self.process.returncode = 0
            raise RuntimeError("the service did not end well: " + said)

    def ask(self, path, enquiry, owner=False):
        """The answer to one enquiry. A connection of each thread's own stays open."""
        headers = {"Content-Type": "application/json"}
        if owner:
            headers["Authorization"] = "Bearer " + TOKEN
        if not hasattr(self.local, "connection"):
            self.local.connection = http.client.HTTPConnection("127.0.0.1", self.port, timeout=120)
        connection = self.local.connection
        connection.request("POST", path, json.dumps(enquiry), headers)
        reply = connection.getresponse()
        text = reply.read()
        answer = json.loads(text) if text else None
        if reply.status != 200:
            raise Refused(reply.status, answer, enquiry)
        return answer

    def ask_all(self, path, enquiries, owner=False, take=lambda answer: answer, refusals=False):
        """take(answer) of every enquiry, in order. With refusals a Refused may stand in an answer's place."""
        enquiries = list(enquiries)
        results = [None] * len(enquiries)
        places = iter(range(len(enquiries)))
        lock = threading.Lock()
        faults = []

        def work():
            try:
                while True:
                    with lock:
                        place = next(places, None)
                    if place is None:
                        return
                    try:
                        results[place] = take(self.ask(path, enquiries[place], owner))
                    except Refused as refused:
                        if not refusals:
                            raise
                        results[place] = refused
            except Exception as fault:  # a thread must not die in silence
                faults.append(fault)

        threads = [threading.Thread(target=work) for _ in range(THREADS)]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()
        if faults:
            raise faults[0]
        return results


def read_json(path):
    with open(path, encoding="utf-8") as file:
        return json.load(file)


def config_file(*path):
    return read_json(os.path.join(CONFIG, *path))


def config_folder(*folder):
    """Every JSON document of a folder of config/, by file name."""
    path = os.path.join(CONFIG, *folder)
    return {name: read_json(os.path.join(path, name)) for name in sorted(os.listdir(path)) if name.endswith(".json")}


def config_copy(*changes):
    """A copy of config/ with an owner's token; each change is (file, function that edits the parsed document)."""
    work = tempfile.mkdtemp(prefix="pondwright-reference-")
    atexit.register(shutil.rmtree, work, True)
    config = os.path.join(work, "config")
    shutil.copytree(CONFIG, config)
    with open(os.path.join(work, "token"), "w", encoding="utf-8") as file:
        file.write(TOKEN + "\n")
    edits = collections.defaultdict(list)
    edits["service.json"].append(lambda service: service.update(owner_token_file=os.path.join(work, "token")))
    for name, edit in changes:
        edits[name].append(edit)
    for name, functions in edits.items():
        path = os.path.join(config, name)
        document = read_json(path)
        for function in functions:
            function(document)
        with open(path, "w", encoding="utf-8") as file:
            json.dump(document, file)
    return config


def fixtures():
    """Enquiries of tests/fixtures, by folder."""
    found = {}
    for folder in sorted(os.listdir(FIXTURES)):
        path = os.path.join(FIXTURES, folder, "enquiry.json")
        if os.path.exists(path):
            found[folder] = read_json(path)
    return found


def with_member(enquiry, pointer, value):
    """A copy of an enquiry with the member at a pointer set; objects on the way are made."""
    changed = copy.deepcopy(enquiry)
    place = changed
    *holders, name = pointer.strip("/").split("/")
    for holder in holders:
        place = place.setdefault(holder, {})
    place[name] = value
    return changed


def merged(enquiry, members):
    """A copy of an enquiry with members laid over it, object by object."""
    result = copy.deepcopy(enquiry)
    for key, value in members.items():
        result[key] = merged(result[key], value) if isinstance(value, dict) and isinstance(result.get(key), dict) \
            else copy.deepcopy(value)
    return result
