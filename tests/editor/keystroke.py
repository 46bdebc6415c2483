#!/usr/bin/env python3
"""How long after a keystroke the diagnostics are there, through the real protocol.

    keystroke.py PROGRAM [PACKAGES]

Makes a catalog with tests/bench/script/generate.py, twenty packages in a file, opens a file and changes a promise to
and fro; beside it, how long the whole audit takes on the command line. Prints, and asserts nothing. Standard library
only.
"""
import json
import re
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent.parent
TIMES = 10


class Client:
    def __init__(self, program):
        self.child = subprocess.Popen([program, "editor"], stdin=subprocess.PIPE, stdout=subprocess.PIPE)

    def send(self, method, params, number=None):
        message = {"jsonrpc": "2.0", "method": method, "params": params} | ({} if number is None else {"id": number})
        text = json.dumps(message).encode()
        self.child.stdin.write(b"Content-Length: %d\r\n\r\n" % len(text) + text)
        self.child.stdin.flush()

    def receive(self):
        length = 0
        while (line := self.child.stdout.readline().strip()):
            length = int(line.split(b":")[1])
        return json.loads(self.child.stdout.read(length))

    def until(self, holds):
        while not holds(message := self.receive()):
            pass
        return message


def main():
    program, packages = sys.argv[1], int(sys.argv[2]) if len(sys.argv) > 2 else 1000
    with tempfile.TemporaryDirectory() as folder:
        generate = [sys.executable, str(ROOT / "tests/bench/script/generate.py"), "--packages", str(packages), "--seed", "7"]
        subprocess.run([*generate, "--out", folder, "--files", str(max(2, packages // 20))], check=True, stdout=subprocess.DEVNULL)
        began = time.perf_counter()
        subprocess.run([program, "audit", folder, "--quiet"], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        whole = time.perf_counter() - began
        path = sorted(Path(folder, "packages").glob("*.toml"))[0]
        text = path.read_text()
        found = re.search(r'\ndepth = "([\d.]+)', text) or re.search(r'depth = \{ is = "([\d.]+)', text)
        line = text[:found.start(1)].count("\n")
        column = found.start(1) - text.rindex("\n", 0, found.start(1)) - 1
        uri = path.as_uri()
        client = Client(program)
        root = [{"uri": Path(folder).as_uri(), "name": "list"}]
        client.send("initialize", {"capabilities": {}, "workspaceFolders": root}, 1)
        client.until(lambda message: message.get("id") == 1)
        client.send("textDocument/didOpen", {"textDocument": {"uri": uri, "languageId": "toml", "version": 1, "text": text}})
        client.send("textDocument/documentSymbol", {"textDocument": {"uri": uri}}, 2)
        client.until(lambda message: message.get("id") == 2)
        took = []
        for number in range(TIMES):
            start = {"line": line, "character": column}
            end = {"line": line, "character": column + number % 2}
            # A nine before the depth, and none again: the promise can't be kept, and can.
            change = {"range": {"start": start, "end": end}, "text": "" if number % 2 else "9"}
            began = time.perf_counter()
            document = {"uri": uri, "version": number + 2}
            client.send("textDocument/didChange", {"textDocument": document, "contentChanges": [change]})
            said = lambda message: message.get("params", {}).get("uri") == uri
            client.until(said)
            took.append(time.perf_counter() - began)
        client.send("shutdown", None, 3)
        client.until(lambda message: message.get("id") == 3)
        client.send("exit", None)
        print(f"{packages} packages: the whole audit {1e3 * whole:.0f} ms; a keystroke {1e3 * statistics.median(took):.0f} ms"
              f" ({1e3 * min(took):.0f} to {1e3 * max(took):.0f}), 5 of them waiting for the next")


if __name__ == "__main__":
    main()
