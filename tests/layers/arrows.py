"""Reads which room may use which from the same calls that build them: chockside_room() and chockside_qml()."""
import dataclasses
import pathlib
import re

CALL = re.compile(r"^\s*chockside_(room|qml)\s*\(([^)]*)\)", re.MULTILINE)
KEYWORDS = {"MOC", "URI", "USES", "LINKS", "PRIVATE_LINKS", "IMPORTS", "SINGLETONS"}


@dataclasses.dataclass
class Room:
    name: str                                        # core/base, qml/parts
    uses: set = dataclasses.field(default_factory=set)
    links: set = dataclasses.field(default_factory=set)
    uri: str = ""
    imports: set = dataclasses.field(default_factory=set)


def without_comments(text):
    return re.sub(r"#[^\n]*", "", text)


def arguments(words):
    """Splits a call's words into those before any keyword and a list for each keyword."""
    groups, current = {"": []}, ""
    for word in words:
        if word in KEYWORDS:
            current = word
            groups.setdefault(current, [])
        else:
            groups[current].append(word)
    return groups


def target_room(target):
    """core_base or core/base -> core/base."""
    return target.replace("_", "/", 1)


def parse(text):
    rooms = {}
    for kind, inside in CALL.findall(without_comments(text)):
        groups = arguments(inside.split())
        if not groups[""]:
            continue
        name = groups[""][0] if kind == "room" else "qml/" + groups[""][0]
        rooms[name] = Room(
            name,
            {target_room(each) for each in groups.get("USES", [])},
            set(groups.get("LINKS", []) + groups.get("PRIVATE_LINKS", [])),
            (groups.get("URI") or [""])[0],
            set(groups.get("IMPORTS", [])),
        )
    return rooms


def read(root):
    rooms = {}
    for folder in ("core", "platform", "qml"):
        for path in sorted((pathlib.Path(root) / folder).rglob("CMakeLists.txt")):
            rooms.update(parse(path.read_text()))
    return rooms


def reachable(rooms, name):
    """Every room that `name` may include: itself and, through any number of arrows, what it uses."""
    seen, waiting = set(), [name]
    while waiting:
        room = waiting.pop()
        if room in seen:
            continue
        seen.add(room)
        waiting += rooms[room].uses if room in rooms else []
    return seen


def circles(rooms):
    return [name for name, room in rooms.items() if any(name in reachable(rooms, used) for used in room.uses)]
