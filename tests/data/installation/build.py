"""Writes the isolation half of assets/profiles/sandgrouse_12.installation.json from the tables beside it; everything else stays."""
import json, os, re, sys
import learn
from causes import CAUSES, KINDS
from checks import CHECKS
from rows import ABSENT, LEVER, ROWS, SHOWING, WATCH

HERE = os.path.dirname(os.path.abspath(__file__))
RECORDS = learn.read(sys.argv[1]) if len(sys.argv) > 1 else {}
PATH = os.path.join(HERE, "../../../assets/profiles/sandgrouse_12.installation.json")
COLUMNS = {"heading_flag": 0, "heading_error": 0, "attitude_flag": 1, "attitude_disagree": 1, "air_data_flag": 2, "air_data_disagree": 2, "after_change": 3}
COMPLAINTS = {"heading_flag": ("Heading flag or cross", False), "heading_error": ("Heading wrong, no flag", True), "attitude_flag": ("Attitude flag or cross", False),
    "attitude_disagree": ("Attitudes disagree, no flag", True), "air_data_flag": ("Airspeed or altitude flag", False), "air_data_disagree": ("Airspeed or altitude wrong, no flag", True),
    "after_change": ("First complaint after a unit was changed", False)}
REF = {"source": "mm", "at": "34-20 isolation"}


def words(text):
    text = text.replace("_", " ")
    return text[0].upper() + text[1:]


def weights(four):
    by = {c: four[i] for c, i in COLUMNS.items()}
    # A flag is seldom raised by what only misleads; a wrong value without a flag is seldom a dead box. The library's column stands for both.
    return {"weight": max(four), "weight_by_complaint": by}


def row(base, outcomes, given):
    if isinstance(given, tuple):
        return {given[0]: [given[1], given[2]]}
    rest = 1 - sum(given.values())
    share = sum(b for o, b in zip(outcomes, base) if o not in given)
    p = [given[o] if o in given else rest * b / share for o, b in zip(outcomes, base)]
    p = [round(v, 4) for v in p]
    p[p.index(max(p))] = round(p[p.index(max(p))] + 1 - sum(p), 4)
    return p


def table(check, outcomes, extra=None):
    base, rows = ROWS[check]
    out = {}
    for patterns, given in list((extra or {}).items()) + list(rows.items()):
        for pattern in patterns.split():
            out.setdefault(pattern, row(base, outcomes, given))
    if isinstance(base, tuple):
        out["*"] = row(None, [], base)
    else:
        out["*"] = row(base, outcomes, {})
    return out


ALL = {}
def all_causes():
    """id -> (class, kind, place), as the loader generates them."""
    if not ALL:
        for c in CAUSES: ALL[c[0]] = (c[2], "", c[3])
        for k in KINDS:
            for p in k[3]: ALL[k[0] + "_" + p] = (k[2], k[0], p)
    return ALL


def looked_up(rows, cause):
    """The loader's order: the cause itself, its place, its kind, its class, then all others."""
    cls, kind, place = all_causes()[cause]
    for key in (cause, "at:" + place, "kind:" + kind, "class:" + cls, "*"):
        if key in rows: return rows[key]


def plain_row(r):
    if isinstance(r, dict):
        (kind, (a, b)), = r.items()
        return (kind, a, b)
    return r


def apart(a, b):
    """How far two rows are apart: relative entropy in nats, or distance of densities in standard deviations."""
    import math
    if isinstance(a, tuple):
        f = math.log if a[0] == "lognormal" else (lambda x: x)
        return abs(f(a[1]) - f(b[1])) / min(f(a[2]), f(b[2])) + abs(math.log(f(a[2]) / f(b[2])))
    return sum(p * math.log(p / q) for p, q in zip(a, b))


def middle(rows):
    """The row that most others are close to: of those on record the one with the least sum of distances, capped."""
    rows = list(rows)
    return min(rows, key=lambda r: sum(min(apart(o, r), .5) for o in rows))


NEAR = .05
def learned_tables(check, stage, given, absent):
    expert = lambda c: (plain_row(looked_up(given, c)), plain_row(looked_up(absent, c)))
    rows = learn.of_check(check, stage, expert, RECORDS)
    if not rows: return given, absent
    put = lambda r: {r[0]: [r[1], r[2]]} if isinstance(r, tuple) else r
    def table(which):
        base = middle(r[which] for r in rows.values())
        return {**{c: put(r[which]) for c, r in rows.items() if apart(r[which], base) > NEAR}, "*": put(base)}
    return table(0), table(1)


def watch_table(outcomes):
    base = [.01, .03, .96]
    out = {c[0]: row(base, outcomes, WATCH[c[4]]) for c in CAUSES if c[2] not in ("none", "unlisted")}
    out.update({"kind:" + k[0]: row(base, outcomes, WATCH[k[4]]) for k in KINDS})
    return {**out, "*": base}


LINK = {"stored_internal", "stored_power", "stored_sensor", "stored_temperature", "stored_bus", "word_status", "commanded_test", "power_up_test", "part_software", "straps_read", "calibration_read", "static_table_read"}
TOOLS = {"ripple_ac": "oscilloscope", "waveform": "oscilloscope", "distance_to_fault": "reflectometer", "insulation_wing": "insulation tester", "insulation_rack": "insulation tester", "gauss_survey": "gaussmeter",
    "level": "inclinometer", "static_leak_test": "air-data test set", "static_leak_cabin": "air-data test set", "pitot_leak_test": "air-data test set", "altitude_points": "air-data test set", "airspeed_points": "air-data test set",
    "set_alone": "air-data test set", "cool_unit": "cooling spray", "cool_sensor": "cooling spray", "bond": "milliohm meter", "transponder_altitude": "ramp test set", "trial_unit": "known-good unit"}
# What a gauge, an eye or a drawing finds there stays, though the place was opened before.
LASTING = "contacts_p9 contacts_d3 contacts_rack harness_look_wing harness_look_rack shield_ohms strap_pins sensor_bay sensor_push label_check connectors_look tray_push windings level gauss_survey lead_check loopback".split()
DISTURBS = {"rack": ["j1", "j2"], "wing_tip": ["p9"], "wing_root": ["d3"]}
METERS = {"V": "volts", "mV": "volts", "Mohm": "megohms", "mohm": "ohms"}
LIMITS = {"bus_volts": [24, 30], "plug_volts": [24, 30], "breaker_drop": [-250, 250], "return_drop": [-100, 100], "ripple_ac": [0, 400], "insulation_wing": [20, 2000], "insulation_rack": [20, 2000], "bond": [0, 2.5]}
POINTS = {"bus_volts": ["bus to structure"], "plug_volts": ["J1-A to J1-B"], "breaker_drop": ["REF 1 line to load"], "return_drop": ["J1-B to structure"], "ripple_ac": ["J1-A to J1-B"], "insulation_wing": ["P9 pins to structure"], "insulation_rack": ["J2 pins to structure"], "bond": ["case to structure"]}


def needs(check, state):
    if check == "first_unit_back": return {"all": [{"any": [{"answered": "check:trial_unit"}, {"answered": "check:swap_units"}]}, {"power": "off"}]}
    if check in LINK: return {"link": "good"}
    if state == "live": return {"power": "on"}
    if state == "dead": return {"power": "off"}
    if state == "breakout": return {"all": [{"fitted": "temporary:breakout_j1", "is": "yes"}, {"power": "on"}]}
    return None


def check_json(c):
    cid, lib, stage, outcomes, unit, state, panel, people, minutes, disturbs, sees = c
    outcomes = outcomes.split()
    out = {"stage": stage, "title": words(cid), "ask": words(sees) + ".", "how": "number" if unit else "ask"}
    if outcomes: out.update({"outcomes": outcomes, "outcome_says": {o: o.replace("_", " ") for o in outcomes}})
    if unit: out.update({"unit": unit, "meter": METERS[unit], "points": POINTS[cid], "limits": LIMITS[cid]})
    out.update({"minutes": minutes, "people": people})
    if panel: out["panel"] = "panel:" + panel
    n = needs(cid, state)
    if n: out["needs"] = n
    if disturbs: out["disturbs"] = disturbs
    if disturbs == 2: out["disturbs_at"] = ["place:" + p for p in DISTURBS.get(panel, ["static_line", "pitot_line"] if cid in ("drains", "lines_clear") else [])]
    if cid in LASTING: out["lasting"] = True
    if cid in TOOLS: out["tools"] = [TOOLS[cid]]
    lever = [l for l, ids in LEVER.items() if cid in ids]
    if lever: out["lever"] = lever
    given = watch_table(outcomes) if cid == "long_watch" else table(cid, outcomes)
    absent = {**given, **table(cid, outcomes, ABSENT[cid])} if cid in ABSENT else given
    out["given"], absent = learned_tables(cid, stage, given, absent)
    if RECORDS or cid not in SHOWING: out["absent"] = absent
    if cid.startswith("stored_"): out["group"] = "stored"
    if cid in ("power_up_test", "commanded_test"): out["group"] = "self_test"
    if cid in ("quick_turn", "full_swing"): out["group"] = "turn"
    if cid in ("straps_read", "strap_pins"): out["group"] = "straps"
    if cid in ("long_watch", "flex_j1", "flex_data", "side_by_side", "plug_volts", "quick_turn", "altitude_points", "start_watch"): out["proves_fix"] = True
    if cid in ("insulation_wing", "insulation_rack"): out["before"] = [{"word": "CAUTION", "says": "Unit off the line: the test voltage kills it."}]
    if cid in ("windings", "sensor_ohms", "sensor_ohms_flexed"): out["before"] = [{"word": "CAUTION", "says": "AC method only: direct current magnetises it."}]
    if cid in ("heater_current", "temperature_probes", "probes_look"): out["before"] = [{"word": "WARNING", "says": "Probe heads may be hot: heat off, wait."}]
    if cid in ("commanded_test", "power_up_test"): out["before"] = [{"word": "WARNING", "says": "Control surfaces may move alone."}]
    if cid in ("start_watch", "ripple_ac"): out["before"] = [{"word": "WARNING", "says": "Stay clear of the propeller arcs."}]
    if cid in ("static_leak_test", "static_leak_cabin", "pitot_leak_test", "altitude_points", "airspeed_points"): out["before"] = [{"word": "WARNING", "says": "XPDR to standby before altitude is simulated."}, {"word": "CAUTION", "says": "Pitot never below static; both at ambient before opening."}]
    out["ref"] = REF
    return out


ACTS = [("replace_unit", "unit_changed"), ("right_part", "unit_changed"), ("replace_sensor", "sensor_changed"), ("secure_sensor", "sensor_changed"), ("load_", "calibration_loaded"), ("repair_w", "wire_repaired"), ("repair_p9", "connector_repaired"), ("repair_d", "connector_repaired"),
    ("repair_j", "connector_repaired"), ("dry_", "connector_repaired"), ("replace_breaker", "breaker_replaced"), ("clean_return", "return_cleaned"), ("fit_strap", "strap_fitted"), ("replace_display", "display_changed"), ("replace_standby", "display_changed"), ("move_aircraft", "aircraft_moved"),
    ("set_selection", "switch_set"), ("repair_static", "lines_opened"), ("repair_pitot", "lines_opened"), ("drain_lines", "lines_opened"), ("swap_lines", "lines_opened"), ("repair_alternate", "lines_opened"), ("repair_port", "lines_opened"), ("clear_probe", "lines_opened"), ("steel", "sensor_changed"), ("remove_steel", "sensor_changed"), ("degauss", "sensor_changed")]
SAYS = {"set_selection": "Set selections and settings as the manual says.", "inform_crew": "Tell the crew: normal behaviour.", "clear_sky": "Check antenna; move under open sky.", "align_again": "Align again, aircraft still.", "other_supply": "Change cart or battery, mend the bus."}


def repairs(old, ids):
    out = {}
    for rid in ids:
        if rid in old:
            out[rid] = old[rid]
            continue
        act = next((a for prefix, a in ACTS if rid.startswith(prefix)), None)
        out[rid] = {"say": SAYS.get(rid, words(rid) + ".")}
        if act: out[rid]["act"] = act
        if rid.startswith("replace_"): out[rid].update({"part_change": True, "part": words(rid[8:])})
    return out


def owed(old):
    prove = {"check:loop_drive": "check:sensor_ohms", "check:insulation": "check:insulation_wing", "check:flex_test": "ask:seen", "check:volts_j1_ch1": "check:plug_volts", "check:transfer": "check:source_transfer"}
    out = [{**o, "prove": prove.get(o["prove"], o["prove"])} for o in old if not o["id"].startswith("lines_")]
    line = lambda i, says, rule, proof, reg=True: {"id": i, "act": "lines_opened", "says": says, "rule": rule, "who": "certified technician", "prove": proof, "regulation": reg}
    out.append(line("lines_static", "Static leak test", "14 CFR 91.411(a)(2)", "check:static_leak_test"))
    out.append(line("lines_pitot", "Pitot leak test", "AC 43.13-1B 12-59", "check:pitot_leak_test", False))
    out.append(line("lines_correspondence", "Altitude to transponder, within 125 ft", "14 CFR 91.413(b), 91.217", "check:transponder_altitude"))
    return out


GATES = {
 "G0": {"says": "Right unit, saved, compared, own leads good", "needs": ["check:" + c for c in ("stored_internal", "stored_power", "side_by_side")], "is": {"label_check": ["match"], "lead_check": ["good"], "part_software": ["alike"], "straps_read": ["as_expected"]}, "before": ["unit", "sensor"]},
 "G1": {"says": "Supply proved at the connector, loaded, each input", "is": {"feeds_alone": ["runs_on_each"], "volts_switching": ["steady", "dip_alone"]}, "within": {"plug_volts": [24, 30], "return_drop": [-100, 100]}, "before": ["unit", "swap"]},
 "G2": {"says": "Cooling, air/ground, aiding, selections struck out", "needs": ["check:source_transfer"], "is": {"air_ground_read": ["right"], "slaved_switch": ["slaved"], "stored_bus": ["none", "cross_channel"], "connectors_look": ["normal"]}, "before": ["unit"]},
 "G3": {"says": "Plug clean; wrong at its own pins, inputs proved", "is": {"open_j1": ["clean"]}, "ways": [
    {"words_at_unit": ["absent"]},
    {"words_at_unit": ["invalid"], "sensor_ohms": ["normal"], "excitation": ["right"]}, {"words_at_unit": ["invalid"], "commanded_test": ["fails"]},
    {"words_at_unit": ["wrong_value"], "still_watch": ["slope"]}, {"still_watch": ["slope"], "level": ["level"]}, {"altitude_points": ["raw_off"], "drains": ["dry"], "set_alone": ["tight"]},
    {"tap": ["at_case"]}, {"cool_unit": ["comes"]}, {"cold_first": ["fails_volts_good"]}, {"heat_unit": ["comes"], "case_temperature": ["cool", "hot_with_flow"]},
    {"swap_units": ["follows"], "first_unit_back": ["returns"]}, {"trial_unit": ["cured"], "first_unit_back": ["returns"]}, {"power_up_test": ["fails_every_time"], "stored_internal": ["several"]}], "before": ["unit"]},
 "G4": {"says": "No insulation finding open before a second unit meets this harness", "within": {"insulation_rack": [20, 2000]}, "before": ["swap"]},
 "G5": {"says": "Windings, field, wires and drive proved, place struck out", "is": {"excitation": ["right"], "move_aircraft": ["stays"]}, "needs": ["check:sensor_ohms"], "ways": [{"windings": ["unequal"]}, {"field_length": ["varies_with_heading", "wrong_length", "noisy"]}, {"swap_sensors": ["follows"]}, {"cool_sensor": ["comes"]}, {"temperature_probes": ["probe_off"]}, {"heater_current": ["none"]}, {"sensor_push": ["moves_or_turned"]}], "before": ["sensor_magnetic"]},
 "G6": {"says": "Survey repeated after moving", "is": {"gauss_survey": ["gear_or_door", "fastener"], "move_aircraft": ["stays"]}, "before": ["structure"]},
 "G7": {"says": "Test set proved against itself", "is": {"set_alone": ["tight"]}, "needs": ["check:drains"], "before": ["pneumatic"]},
 "G8": {"says": "Condition made again, long watch, work and history seen", "needs": ["check:recent_work", "check:tail_history", "check:serial_history", "check:stored_internal"], "is": {"long_watch": ["none"], "side_by_side": ["equal"]}, "before": ["none"]},
 "G9": {"says": "The failing check passes for three mean intervals", "is": {"proof_watch": ["none"]}, "before": ["fixed"]},
 "G11": {"says": "Volts at the source seen", "needs": ["check:bus_volts"], "before": ["contact", "supply"]},
 "G10": {"says": "The side at fault is known", "ways": [{"source_transfer": ["goes_with_source", "stays_with_display"]}, {"side_by_side": ["this_side_off", "standby_off"]}], "before": ["deferral"]},
}
# The windings and drive of the magnetic sensor say nothing about probes: the sensor gate asks for what every sensor has in common.
GATES["G5"] = {"says": "Seen at the sensor itself, wires or place struck out", "ways": [
    {"windings": ["unequal"], "excitation": ["right"], "move_aircraft": ["stays"]}, {"field_length": ["varies_with_heading", "wrong_length", "noisy"], "excitation": ["right"], "sensor_ohms": ["normal"], "move_aircraft": ["stays"]},
    {"swap_sensors": ["follows"]}, {"cool_sensor": ["comes"], "excitation": ["right"]}, {"mist_p9": ["comes"], "open_p9": ["clean"]}, {"temperature_probes": ["probe_off"]}, {"heater_current": ["none"]}, {"sensor_push": ["moves_or_turned"]}, {"flight": ["showed"]}], "before": ["sensor"]}

PLACES = [("rms_1", "RMS-1", "Right wing tip", "sensor"), ("p9", "P9", "Right wing tip", "connector"), ("w7", "W7", "Wing", "segment"), ("d3", "D3", "Wing root", "connector"), ("w8", "W8", "Floor", "segment"), ("j1", "J1", "Nose rack", "connector"), ("pru_2", "PRU-2", "Nose rack", "unit"),
    ("j2", "J2", "Nose rack", "connector"), ("w12", "W12", "Nose", "segment"), ("d5", "D5", "Panel disconnect", "connector"), ("w13", "W13", "Panel", "segment"), ("disp_1", "DISP 1", "Panel", "unit"), ("cb_ref", "REF 1", "Panel P2", "unit"), ("w3", "W3", "Floor", "segment"), ("gnd_block", "GND 4", "Nose rack", "connector"),
    ("bus", "Bus", "Panel P2", "unit"), ("feed_2", "Feed 2", "Panel P2", "unit"), ("tray", "Tray", "Nose rack", "unit"), ("probes", "Probes", "Nose", "sensor"), ("static_port", "Static ports", "Fuselage", "sensor"), ("static_line", "Static line", "Nose", "segment"), ("pitot_line", "Pitot line", "Nose", "segment"), ("module", "Air module", "Nose", "unit"),
    ("selector", "Selector", "Panel", "unit"), ("monitor", "Comparator", "Panel", "unit"), ("standby", "Standby", "Panel", "unit"), ("receiver", "Receivers", "Rack", "unit"), ("autopilot", "Autopilot", "Rack", "unit"), ("antenna", "Antenna", "Roof", "sensor"), ("gear", "Gear switch", "Nose gear", "sensor"), ("structure", "Structure", "Aircraft", "unit"),
    ("cockpit", "Cockpit", "Cockpit", "unit"), ("stand", "Stand", "Ground", "unit"), ("crew", "Crew", "Cockpit", "unit"), ("test_set", "Own equipment", "Ground", "unit")]


def data_wires():
    wire = lambda i, net, a, b, seg, m, shielded: {"id": i, "net": net, "from": a, "to": b, "segment": "place:" + seg, "gauge": 22, "length_m": m, "shielded": shielded}
    return [wire("w12_1", "words_a", "J2-1", "D5-1", "w12", 2.5, True), wire("w12_2", "words_b", "J2-2", "D5-2", "w12", 2.5, True), wire("w13_1", "words_a", "D5-1", "DISP1-1", "w13", 1.5, True), wire("w13_2", "words_b", "D5-2", "DISP1-2", "w13", 1.5, True)]


def main():
    d = json.load(open(PATH))
    d["complaints"] = {k: {"says": s, "misleading": m} for k, (s, m) in COMPLAINTS.items()}
    d["panels"].update({"cockpit_panel": {"label": "Instrument panel, loosened", "access": "P", "minutes": 25}, "module_panel": {"label": "Air module cover", "access": "P", "minutes": 25}, "open_ground": {"label": "Open ground, aircraft moved", "access": "G", "minutes": 40}})
    d["places"] = [{"id": i, "label": l, "where": w, "kind": k} for i, l, w, k in PLACES]
    d["wires"] = [w for w in d["wires"] if not w["id"].startswith(("w12", "w13"))] + data_wires()
    for w in d["wires"]:
        if w["id"] in ("j1_a", "j1_b"): w["segment"] = "place:w3"
    old = d["repairs"]
    d["causes"], d["wiring_causes"] = {}, {}
    for cid, lib, cls, place, mode, *rest in CAUSES:
        four, says, repair = rest[:4], rest[4], rest[5]
        c = {"cause_class": cls}
        if place: c["at"] = "place:" + place
        c.update({**weights(four), "mode": mode, "says": says})
        if repair: c["repair"] = "repair:" + repair
        d["causes"][cid] = c
    ids = [c[10] for c in CAUSES if c[10]]
    for kid, lib, cls, places, mode, *rest in KINDS:
        d["wiring_causes"][kid] = {"cause_class": cls, "at": ["place:" + p for p in places], **weights(rest[:4]), "mode": mode, "says": rest[4], "repair": rest[5]}
        ids += [rest[5].replace("{place}", p) for p in places]
    d["repairs"] = repairs(old, dict.fromkeys(ids))
    d["checks"] = {c[0]: check_json(c) for c in CHECKS}
    d["gates"] = GATES
    d["owed"] = owed(d["owed"])
    d["decision"]["pair_odds"] = 0.04
    order = ["id", "aircraft_type", "complaints", "test_plugs", "breakers", "plugs", "panels", "temporaries", "places", "wires", "cautions", "steps", "causes", "wiring_causes", "checks", "gates", "repairs", "owed", "swing", "decision", "expected", "tolerances", "required_inspections"]
    text = json.dumps({k: d[k] for k in order if k in d}, indent=1)
    # Rows on one line each: a table that can be read.
    text = re.sub(r"\[\s+((?:[^\[\]{}]|\n)*?)\s+\]", lambda m: "[" + re.sub(r"\s*\n\s*", " ", m.group(1)) + "]", text)
    text = re.sub(r"\{\s+(\"(?:normal|lognormal)\": \[[^\]]*\])\s+\}", r"{\1}", text)
    open(PATH, "w").write(text + "\n")


main()
