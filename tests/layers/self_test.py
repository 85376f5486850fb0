#!/usr/bin/env python3
"""Plants one violation at a time in a small sound tree and expects exactly that one to be named."""
import pathlib
import tempfile
import unittest

import arrows
from check import Check

CORE = """
chockside_room(core/base)
chockside_room(core/units USES core/base)   # chockside_room(core/ghost)
chockside_room(core/stats USES core/units PRIVATE_LINKS Eigen3::Eigen)
"""
PLATFORM = "chockside_room(platform/desk MOC USES core/stats\n    LINKS Qt6::Core)\n"
QML = "chockside_qml(theme URI Chockside.Theme)\nchockside_qml(parts URI Chockside.Parts IMPORTS QtQuick USES qml_theme core_base)\n"

SOUND = {
    "core/CMakeLists.txt": CORE,
    "platform/CMakeLists.txt": PLATFORM,
    "qml/CMakeLists.txt": QML,
    "core/base/result.h": "#include <variant>\n",
    "core/base/detail/private.h": "",
    "core/stats/fit.cpp": "#include <core/base/result.h>\n#include <Eigen/Dense>\n#include <cstdio>\nauto n = std::snprintf(b, 9, f);\n",
    "platform/desk/desk.h": "#include <QObject>\n#include <core/base/result.h>\n",
    "qml/theme/palette.h": "#include <QObject>\n",
    "qml/parts/key.cpp": '#include "palette.h"\n#include <core/base/result.h>\n',
    "qml/parts/Key.qml": "import QtQuick\nimport Chockside.Theme\nItem {}\n",
    "README.md": "",
}


def complaints(change):
    with tempfile.TemporaryDirectory() as folder:
        for name, text in {**SOUND, **change}.items():
            path = pathlib.Path(folder) / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(text)
        return Check(folder).all()


class Layers(unittest.TestCase):
    def planted(self, change, *words):
        found = complaints(change)
        self.assertEqual(len(found), 1, found)
        for word in words:
            self.assertIn(word, found[0])

    def test_sound_tree_has_no_complaint(self):
        self.assertEqual(complaints({}), [])

    def test_arrows_are_transitive_and_comments_are_not_rooms(self):
        rooms = arrows.parse(CORE)
        self.assertEqual(arrows.reachable(rooms, "core/stats"), {"core/stats", "core/units", "core/base"})
        self.assertNotIn("core/ghost", rooms)

    def test_include_against_the_arrow(self):
        self.planted({"core/base/bad.h": "\n#include <core/units/unit.h>\n"}, "core/base/bad.h:2", "may not use core/units")

    def test_core_includes_platform(self):
        self.planted({"core/units/bad.h": "#include <platform/desk/desk.h>\n"}, "may not use platform/desk")

    def test_private_header_of_another_room(self):
        self.planted({"core/units/bad.cpp": "#include <core/base/detail/private.h>\n"}, "private to core/base")

    def test_core_knows_no_qt(self):
        for header in ("QString", "QtCore/qglobal.h", "qglobal.h"):
            self.planted({"core/units/bad.h": f"#include <{header}>\n"}, "core knows no Qt")

    def test_core_links_qt(self):
        self.planted({"core/CMakeLists.txt": CORE + "chockside_room(core/bad USES core/base LINKS Qt6::Core)\n"}, "core links no Qt")

    def test_core_does_no_io(self):
        self.planted({"core/units/bad.h": "#include <fstream>\n"}, "no I/O")
        self.planted({"core/units/bad.cpp": 'void f() { std::printf("x"); }\n'}, "printf()")

    def test_core_reads_a_decimal_by_language(self):
        self.planted({"core/units/bad.cpp": "double f(const char* t) { return std::strtod(t, nullptr); }\n"}, "core/units/bad.cpp:1", "strtod")

    def test_core_prints_a_decimal_by_language(self):
        self.planted({"core/units/bad.cpp": '\nauto n = std::snprintf(b, 9, "%.*f", 2, v);\n'}, "core/units/bad.cpp:2", "%.*f")

    def test_core_prints_whole_numbers_and_percent(self):
        self.assertEqual(complaints({"core/units/good.cpp": 'auto n = std::snprintf(b, 9, "%03d, %llX", 2, v);\nauto s = "5 %f";\n'}), [])

    def test_heavy_header(self):
        self.planted({"core/units/bad.h": "#include <Eigen/Dense>\n"}, "into a .cpp file")

    def test_library_of_one_room(self):
        self.planted({"core/units/bad.cpp": "#include <sodium.h>\n"}, "only core/trust")

    def test_undeclared_room(self):
        self.planted({"core/loose/bad.cpp": ""}, "no declared room")

    def test_unknown_arrow(self):
        self.planted({"platform/CMakeLists.txt": PLATFORM + "chockside_room(platform/bad USES core/nothing)\n"}, "core/nothing")

    def test_circle(self):
        found = complaints({"core/CMakeLists.txt": CORE.replace("chockside_room(core/base)", "chockside_room(core/base USES core/stats)")})
        self.assertTrue(any("core/base: lies on a circle" in line for line in found), found)

    def test_test_header_in_a_product(self):
        self.planted({"core/units/bad.h": "#include <tests/support/fake.h>\n"}, "test header")

    def test_qml_import(self):
        self.planted({"qml/parts/Bad.qml": "import QtQuick\nimport QtCharts\n"}, "Bad.qml:2", "QtCharts")
        self.planted({"qml/theme/Bad.qml": "import Chockside.Parts\n"}, "may not import Chockside.Parts")

    def test_quoted_include_of_another_screen_room(self):
        self.planted({"qml/parts/own.h": "", "qml/theme/bad.cpp": '#include "own.h"\n'}, "may not use qml/parts")

    def test_top_level(self):
        self.planted({"notes.txt": ""}, "notes.txt", "top level")


if __name__ == "__main__":
    unittest.main()
