#!/usr/bin/env python3
"""check.py ROOT: does every #include and every QML import follow the arrows? Prints each line that does not; exit 1 where any."""
import pathlib
import re
import sys

import arrows

TOP = {"CMakeLists.txt", "CMakePresets.json", "LICENSE", "README.md", "DEVELOPERS.md", "qml", "core", "platform", "assets", "tests"}
NOT_TRACKED = re.compile(r"^(build.*|out|CMakeUserPresets\.json|.*\.user|__pycache__)$")
INCLUDE = re.compile(r'^[ \t]*#[ \t]*include\s*([<"])([^>"]+)[>"]', re.MULTILINE)
IMPORT = re.compile(r'^[ \t]*import\s+(?:"([^"]+)"|([A-Za-z][\w.]*))', re.MULTILINE)

QT = re.compile(r"^(Q[A-Z]\w*|Qt\w+/.+|q[a-z]+\.h)$")
IO = re.compile(r"^(fstream|iostream|filesystem|thread|unistd\.h|fcntl\.h|termios\.h|sys/.+|netinet/.+|arpa/.+)$")
IO_CALL = re.compile(r"\b(f?printf|fopen|puts|getenv|system)\s*\(")
# What reads or writes a decimal in the system's language: entries and profiles carry a point everywhere.
BY_LANGUAGE = re.compile(r'\b(?:std::)?(strto(?:f|d|ld)|sto(?:f|d|ld)|atof|sscanf|localeconv|setprecision)\s*\(|(%[-+ #0]*[\d*]*(?:\.[\d*]*)?L?[aAeEfFgG])(?![a-zA-Z])')
PRINTS = re.compile(r'\b[a-z]*printf\s*\([^;]*')
HEAVY = re.compile(r"^(nlohmann/|Eigen/|sodium|sqlite3)")
QML_PLAIN = {"QtQml", "QtQml.Models", "QtQuick", "QtQuick.Window", "QtTest"}
OWN_THREAD = {"core/trend"} # its store's writer; everything else that runs beside is the platform's
# What only one room may touch, and who it is.
ALONE = {"sodium.h": {"core/trust"}, "sqlite3.h": {"core/journal", "core/trend", "platform/shop"}, "zstd.h": {"core/trend"}, "libpq-fe.h": {"platform/shop"}}


def room_of(path):
    """core/base/detail/x.h -> core/base; platform/packaging/x -> platform/packaging."""
    parts = path.split("/")
    return "/".join(parts[:2]) if len(parts) > 2 else ""


class Check:
    def __init__(self, root):
        self.root = pathlib.Path(root)
        self.rooms = arrows.read(root)
        self.found = []

    def complain(self, path, text, at, why):
        self.found.append(f"{path}:{text.count(chr(10), 0, at) + 1}: {why}")

    def files(self, *patterns):
        for folder in ("core", "platform", "qml"):
            for pattern in patterns:
                for path in sorted((self.root / folder).rglob(pattern)):
                    yield path.relative_to(self.root).as_posix(), path.read_text(errors="replace")

    def resolve(self, path, quoted, name):
        """The project file that an include means, as a path from the root, or None for one from outside."""
        if name.startswith(("core/", "platform/", "qml/", "tests/")):
            return name
        if not quoted:
            return None
        beside = (self.root / path).parent / name
        if beside.exists():
            return beside.resolve().relative_to(self.root.resolve()).as_posix()
        near = sorted((self.root / "qml").glob(f"*/{name}"))
        return near[0].relative_to(self.root).as_posix() if near else None

    def inside(self, path, text, at, target):
        mine, theirs = room_of(path), room_of(target)
        if target.startswith("tests/"):
            self.complain(path, text, at, f"{mine} includes a test header")
        elif theirs not in arrows.reachable(self.rooms, mine):
            self.complain(path, text, at, f"{mine} may not use {theirs} (no arrow leads there)")
        if "/detail/" in target and mine != theirs:
            self.complain(path, text, at, f"{target} is private to {theirs}")

    def outside(self, path, text, at, name):
        mine = room_of(path)
        if path.startswith("core/") and QT.match(name):
            self.complain(path, text, at, f"core knows no Qt: {name}")
        if path.startswith("core/") and IO.match(name) and not (name == "thread" and mine in OWN_THREAD):
            self.complain(path, text, at, f"core does no I/O of its own: {name}")
        if HEAVY.match(name) and path.endswith(".h") and "/detail/" not in path:
            self.complain(path, text, at, f"{name} belongs into a .cpp file")
        if mine not in ALONE.get(name, {mine}):
            self.complain(path, text, at, f"only {' and '.join(sorted(ALONE[name]))} may use {name}")

    def includes(self):
        for path, text in self.files("*.h", "*.cpp"):
            if room_of(path) not in self.rooms and not path.startswith("qml/app/"):
                self.found.append(f"{path}: belongs to no declared room")
            for hit in INCLUDE.finditer(text):
                target = self.resolve(path, hit[1] == '"', hit[2])
                if target is None:
                    self.outside(path, text, hit.start(), hit[2])
                elif not path.startswith("qml/app/"):
                    self.inside(path, text, hit.start(), target)

    def calls(self):
        for path, text in self.files("*.h", "*.cpp"):
            for hit in IO_CALL.finditer(text) if path.startswith("core/") else ():
                self.complain(path, text, hit.start(), f"core does no I/O of its own: {hit[1]}()")
            for hit in BY_LANGUAGE.finditer(text) if path.startswith("core/") else ():
                if hit[1] or any(p.start() < hit.start() < p.end() for p in PRINTS.finditer(text)):
                    self.complain(path, text, hit.start(), f"decimals of core know no language: {hit[1] or hit[2]}")

    def imports(self):
        uris = {room.uri: name for name, room in self.rooms.items() if room.uri}
        for path, text in self.files("*.qml"):
            mine = room_of(path)
            for hit in IMPORT.finditer(text):
                name = hit[2] or hit[1]
                if name in uris:
                    if mine != "qml/app" and uris[name] not in arrows.reachable(self.rooms, mine):
                        self.complain(path, text, hit.start(), f"{mine} may not import {name}")
                elif name not in QML_PLAIN and not (mine == "qml/app" and name == "Chockside.App"):
                    self.complain(path, text, hit.start(), f"{name} is not among the allowed modules")

    def top(self):
        for entry in sorted(self.root.iterdir()):
            if not entry.name.startswith(".") and entry.name not in TOP and not NOT_TRACKED.match(entry.name):
                self.found.append(f"{entry.name}: the top level holds only the fixed names")

    def arrows(self):
        for name, room in self.rooms.items():
            for used in sorted(room.uses - set(self.rooms)):
                self.found.append(f"{name}: uses {used}, which is not a room")
            if name.startswith("core/") and any(not used.startswith("core/") for used in room.uses):
                self.found.append(f"{name}: core uses only core")
            if name.startswith("platform/") and any(used.startswith("qml/") for used in room.uses):
                self.found.append(f"{name}: platform does not use qml")
            if name.startswith("core/") and any(link.startswith("Qt6::") for link in room.links):
                self.found.append(f"{name}: core links no Qt")
        self.found += [f"{name}: lies on a circle of arrows" for name in arrows.circles(self.rooms)]

    def all(self):
        self.arrows()
        self.includes()
        self.calls()
        self.imports()
        self.top()
        return self.found


def main():
    check = Check(sys.argv[1])
    found = check.all()
    print("\n".join(found) if found else f"{len(check.rooms)} rooms, no crossing")
    return 1 if found or not check.rooms else 0


if __name__ == "__main__":
    sys.exit(main())
