#pragma once
// What a profile says, after loading: plain values, no behaviour. Two halves with one boundary: `Unit` (what the box says and how)
// and `Installation` (breakers, harness, steps, checks, causes, owed work of one aircraft type).

#include <core/base/bytes.h>
#include <core/framing/crc.h>

#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace chockside::profile {

/// Words for people by language tag; a plain string in the file is English.
struct Text {
    std::map<std::string, std::string> by_language;
    const std::string& in(const std::string& language = "en") const; ///< falls back to English, then to empty
    bool empty() const { return by_language.empty(); }
    bool operator==(const Text&) const = default;
};

struct SourceRef {
    std::string source; ///< id in Profile::sources
    std::string at;     ///< paragraph, table, step
};

struct SourceDocument {
    std::string document;
    std::string revision;
};

// ---- conditions -------------------------------------------------------------------------------------------------------------

/// One closed list. Leaves carry `of` (an id) and `is` (a state word).
struct Condition {
    enum class Kind {
        always,
        all,
        any,
        not_,
        breaker,    ///< of breaker, is in | pulled | collared | tripped | out (pulled or collared)
        plug,       ///< of plug, is connected | disconnected
        fitted,     ///< of temporary item (breakout, cable, cover...), is yes | no
        dead,       ///< of plug or pin group: proved dead since its feeds were pulled
        power,      ///< is on | off
        self_test,  ///< is ended
        aligned,    ///< is over
        warm_up,    ///< is over
        settled,    ///< of word
        session,    ///< of channel ("ch1", "ch2", "any")
        link,       ///< is good
        done,       ///< of step
        answered,   ///< of check
        opened,     ///< of panel
    };
    Kind kind = Kind::always;
    std::string of;
    std::string is;
    std::vector<Condition> parts;
};

// ---- unit half --------------------------------------------------------------------------------------------------------------

struct SettleRule {
    std::string word;
    double window_s = 20;
    double slope_max = 0;   ///< units of the word per second
    double scatter_max = 0; ///< units of the word, standard deviation
    double confidence = 0.95;
};

struct Timings {
    double self_test_min_s = 0;
    double self_test_max_s = 0;
    double alignment_s = 0;
    double warm_up_s = 0;
    std::optional<SettleRule> settle;
};

struct Line {
    int rate = 115200;
    int data_bits = 8;
    std::string parity = "none"; ///< none odd even mark space
    double stop_bits = 1;
    bool dtr = true;
    bool rts = true;
    int reply_ms = 250;
    int silence_ms = 500;
};

enum class Order { big, little };

struct Checksum {
    enum class Kind { none, crc, xor8, sum8, sum8_zero, sum16 };
    Kind kind = Kind::none;
    framing::CrcParameters crc;
    Order order = Order::big;
    std::size_t from = 0;             ///< bytes at the frame's start that it does not cover
    char mark = '*';                  ///< lines: stands before its digits; 0: nothing does
};

struct Framing {
    enum class Kind { slip, cobs, lines, length_prefixed, fixed, gap };
    Kind kind = Kind::slip;
    std::size_t max_bytes = 256;
    Checksum checksum;
    Order order = Order::big;
    std::string select_name = "id";
    int select_bytes = 1;
    bool select_none = false;         ///< there is one kind of frame
    std::optional<int> select_at;     ///< else behind sync and length
    char start = 0;                   ///< lines: first character of a sentence; 0: none
    char split = ',';                 ///< lines: between fields
    std::string end = "\r\n";         ///< lines: what ends one
    Bytes tail;                       ///< fixed bytes behind the check
    double gap_ms = 0;                ///< gap: silence that ends a frame
    Bytes sync;                       ///< length_prefixed, fixed: what a frame starts with (the select field follows it)
    std::size_t fixed_bytes = 0;      ///< fixed: whole frame
    std::size_t length_at = 0;        ///< length_prefixed: offset of the length field
    int length_bytes = 1;
    std::optional<Order> length_order; ///< else `order`
    int length_adds = 0;              ///< length_prefixed: whole frame = length field + this
};

enum class FieldType { u8, u16, u24, u32, u40, u48, u56, u64, i8, i16, i24, i32, i40, i48, i56, i64, f32, f64, bcd, text, arinc429, group,
    number_text, hex_text, letter };

/// by_type: i16 and the like are two's complement. nibble: BCD with its sign (C or F plus, D minus) in the last nibble.
enum class Sign { by_type, two, magnitude, nibble };

/// A field is there only where an earlier field of the frame says so: one of `is`, or a bit that is set (or clear).
struct When {
    std::string field;
    std::vector<std::uint64_t> is;
    std::optional<int> bit;
    std::optional<int> clear;
};

struct Field {
    std::string name;
    FieldType type = FieldType::u8;
    std::optional<int> at_byte;
    std::optional<int> at_bit;
    std::optional<int> bit_width;
    std::optional<Order> order;
    Sign sign = Sign::by_type;
    double scale = 1;
    double offset = 0;
    std::optional<double> full_scale;       ///< instead of scale: the value that one more than the largest code would have
    std::string unit;
    std::string role;                       ///< uptime, self_test_phase, ...
    std::string enumeration;                ///< id in Unit::enums
    std::map<std::uint64_t, std::string> codes; ///< an enumeration written in place; loading moves it to Unit::enums as "frame.field"
    std::map<int, std::string> bits;        ///< bit number -> signal name
    std::vector<std::uint64_t> invalid;
    std::optional<std::pair<double, double>> range;
    int bytes = 0;                          ///< text, and numbers written as text
    std::string length_field;               ///< text: the field that counts its bytes
    std::string ends;                       ///< text: "zero" or "frame"
    std::string pad;
    int digits = 0;                         ///< bcd; decimals of number_text
    bool label_reversed = false;            ///< arinc429: label bits already in value order
    std::string repeat_count;               ///< name of the counting field; empty: once
    bool repeat_to_end = false;
    std::optional<int> repeat_most;
    std::optional<When> when;
    std::vector<Field> fields;              ///< group
    std::string show;                       ///< "hex" or empty
    std::optional<std::uint64_t> constant;  ///< requests: fixed value
    std::string arg;                        ///< requests: name of the argument
};

struct Frame {
    std::string name;
    std::uint32_t id = 0;
    std::string id_text;              ///< lines: the first field of the sentence
    int period_ms = 0;
    std::vector<Field> fields;
};

struct Word {
    std::string name;
    int label = 0; ///< as a number; octal text in the file
    enum class Coding { bnr, bcd, discrete } coding = Coding::bnr;
    int msb = 28, lsb = 11;
    double full_scale = 0;
    int digits = 0;
    double scale = 1;
    std::map<int, std::string> bits; ///< ARINC bit 1-32 -> signal name
    std::string unit;
    std::string quantity;
    bool wraps = false;
    int period_ms = 0;
};

enum class Effect { read, session, write };

struct Paging {
    std::string arg, page, total, items;
    int first = 0;
    int most = 500;
};

struct Request {
    std::string name;
    Effect effect = Effect::read;
    std::uint32_t id = 0;
    std::string id_text;
    std::vector<Field> fields;
    std::string reply; ///< frame name
    int tries = 3;
    std::optional<Paging> paging;
};

struct Session {
    std::string enter, keep_alive, leave;  ///< request names
    double every_s = 2, lost_after_s = 6;
    std::string refused_by, refused_why;   ///< frame and field
    std::map<std::string, std::string> mend; ///< reason -> step:..., wait, profile
};

struct Said {
    std::string id;
    Text says;
    std::vector<std::string> points_at; ///< "cause:..."
    SourceRef ref;
};

struct StoredFaults {
    std::string frame, group, code_field;
    std::map<std::uint64_t, Said> table;
};

struct Discrete {
    std::string name;
    std::string from_frame, from_field; ///< bit signal "frame.field.bit name" resolves by name
    std::string signal;                 ///< name of the bit signal, same as `name` unless told
    std::string pin;
    Text when_0, when_1;
};

struct Unit {
    std::string id, kind;
    std::vector<std::string> channels;
    Timings timings;
    Line line;
    Framing framing;
    std::map<std::string, std::map<std::uint64_t, std::string>> enums;
    std::vector<Frame> frames;
    std::vector<Word> words;
    std::vector<Request> requests;
    Session session;
    std::map<std::string, Said> self_test; ///< bit signal name -> what it says
    StoredFaults faults;
    std::vector<Discrete> discretes;
};

// ---- installation half ------------------------------------------------------------------------------------------------------

struct Breaker {
    std::string id, label, panel, bus;
    std::string normal = "in";
    std::vector<std::string> feeds; ///< "channel:ch1", "plug:p9", free ids
    Text also_feeds;                ///< what else dies, in words; empty: nothing
};

struct Plug {
    std::string id, label, where, panel; ///< panel: id in Installation::panels that opens it; empty: open access
    std::vector<std::string> fed_by;     ///< breaker ids: all must be out, and the pins proved dead, before it is disconnected
    std::string dead_points;             ///< where to prove it dead: "J1-A to J1-B"
};

struct Panel {
    std::string id, label;
    std::string access = "K"; ///< K O B F P G as the fault library prices them
    double minutes = 0;       ///< opening and closing together
};

/// Breakout box, test cable, probe cover, collar, jumper...: whatever must be away again before closing.
struct Temporary {
    std::string id, label, kind; ///< kind: cable breakout cover jumper switch session tool display
    std::string at;
};

/// A place along the harness, in order from sensor to unit, as the isolation screen draws it.
struct Place {
    std::string id, label, where;
    std::string kind; ///< sensor connector segment unit
};

struct Wire {
    std::string id, net, from, to, segment; ///< segment: place id
    int gauge = 22;
    double length_m = 0;
    bool shielded = false;
};

struct Hazard {
    std::string word; ///< WARNING (injury) CAUTION (damage) NOTE
    Text says;
};

enum class StepKind { do_, pull_breaker, push_breaker, connect, disconnect, fit, remove, open_panel, close_panel, prove_dead,
    power_on, power_off, wait, settle, read, check, measure, photo, call, swing, sign, session_open, session_close, link_open };

struct Step {
    std::string id, stage; ///< stage: write_up as_found make_ready isolate put_right prove close
    StepKind kind = StepKind::do_;
    std::string of;        ///< breaker, plug, temporary, panel, check, channel, request
    Text say;
    Condition needs;
    std::vector<Hazard> before;
    bool critical = false;
    std::string wait_for;  ///< self_test aligned warm_up
    SourceRef ref;
};

enum class CauseClass { unit, sensor, wiring, contact, supply, configuration, installation, pneumatic, display, aiding, place, operation, test_setup, none, unlisted };
const char* name_of(CauseClass);
std::optional<CauseClass> cause_class_of(const std::string& name);

struct Cause {
    std::string id;
    CauseClass cause_class = CauseClass::unlisted;
    std::string at;              ///< place id, may be empty
    double weight = 0;           ///< relative prior for this installation's complaint
    std::map<std::string, double> weight_by_complaint; ///< complaint kind -> weight, else `weight`
    std::string mode = "hard";   ///< hard intermittent conditional
    Text says;
    std::string repair;          ///< id in repairs; empty: none offered
    SourceRef ref;
    std::string kind{};          ///< id in wiring_causes it was made from; empty: typed
};

/// A way in which wires or contacts fail; load() makes a cause of it for every place it can happen at (add_wiring_causes).
struct WiringCause {
    std::string id;
    CauseClass cause_class = CauseClass::wiring;
    std::vector<std::string> at;                       ///< place ids: segments and connectors of one line
    double weight = 0;                                 ///< of all its places together
    std::map<std::string, double> weight_by_complaint; ///< as Cause
    std::string mode = "intermittent";
    Text says, repair;                                 ///< "{place}" stands for the place: its label in words, its id in `repair`
    SourceRef ref;
};

/// Number density of a measured check under a cause.
struct Density {
    enum class Kind { normal, lognormal } kind = Kind::normal;
    double a = 0, b = 1; ///< normal: mean, sd; lognormal: median, factor
};

struct CheckRow {
    std::string of;                ///< cause id, "class:NAME", "at:PLACE" "kind:WIRING_CAUSE" or "*"; the first that fits in this order: cause, at, kind, class, *
    std::vector<double> outcomes;  ///< sums to 1
    std::optional<Density> number;
};

struct Check {
    std::string id, stage;
    Text title, ask;
    enum class How { ask, number, discrete_watch, self_test, stored_fault, word_number, flex, page } how = How::ask;
    std::string from;                 ///< self_test:..., fault:..., word:..., discrete:...
    std::vector<std::string> outcomes;
    std::map<std::string, Text> outcome_says;
    std::string unit;
    std::optional<std::pair<double, double>> limits;
    std::string meter;                ///< volts, ohms, megohms, amps, degrees...
    std::vector<std::string> points;  ///< where the meter goes, as a technician would say it
    double minutes = 1;
    int people = 1;
    std::string panel;                ///< access, empty: none
    Condition needs;
    int disturbs = 0;                 ///< 0 none, 1 may hide an intermittent, 2 destroys evidence
    std::vector<std::string> disturbs_at; ///< place ids
    bool lasting = false;             ///< what it looks at stays, though its place was disturbed before
    std::vector<std::string> tools;   ///< what must be in the bag, in words of the trade
    std::map<std::string, std::vector<double>> together; ///< "cause+cause" -> outcomes, where a pair is not the more abnormal of the two
    std::vector<std::string> lever;   ///< conditions it forces: flex wet cold heat load
    std::vector<CheckRow> given;      ///< with the fault showing
    std::vector<CheckRow> absent;     ///< with the fault absent; empty: row of class:none, or "*" of `given`
    std::string group;                ///< common-cause group: items of one event count once
    bool proves_fix = false;          ///< the failing check to repeat in Prove
    std::string repeatable;           ///< "" or "state": repeats count only after a change of state
    std::vector<Hazard> before;
    SourceRef ref;
};

struct Gate {
    std::string id;                      ///< G0..G10
    Text says;
    std::vector<std::string> needs;      ///< check ids that must be answered
    std::map<std::string, std::vector<std::string>> is;         ///< check -> outcomes that satisfy
    std::map<std::string, std::pair<double, double>> within;    ///< check -> limits that satisfy
    bool any = false;                    ///< true: one of the rows is enough
    std::vector<std::map<std::string, std::vector<std::string>>> ways; ///< each check -> outcomes; one met in full is enough
    std::vector<std::string> before;     ///< classes of advice it guards: unit sensor none fixed ...
    std::vector<std::string> complaints; ///< it stands for these alone; empty: for all
};

struct Repair {
    std::string id;
    Text say;
    std::string act;                     ///< key of Installation::owed
    std::vector<Step> steps;
    bool part_change = false;
    std::string part;                    ///< part whose P/N and S/N go off and on
    std::vector<Hazard> before;
};

struct Owed {
    std::string id;
    std::string act;                     ///< the act that raises it
    Text says;
    std::string rule;                    ///< regulation or data
    std::string who;
    std::string prove;                   ///< "check:...", "swing", "ask:seen"
    bool regulation = false;             ///< a profile may add, never drop
    Condition needs;                     ///< what must be so while it is proved
};

struct Swing {
    std::string word;
    int headings = 8;
    std::optional<double> tolerance_deg;
    SourceRef ref;
};

struct Complaint {
    std::string id;                      ///< heading_flag heading_error ...
    Text says;
    bool misleading = false;             ///< wrong data with no flag
};

struct Decision {
    double threshold = 0.9;
    double wrong_removal_min = 600, missed_min = 900, misleading_min = 20000, deferral_min = 60;
    double pair_odds = 0;                ///< prior odds of two causes at once against one; 0: one cause only
};

struct Tolerance {
    std::string id, unit;
    double low = 0, high = 0;
    SourceRef ref;
};

struct Installation {
    std::string id, aircraft_type;
    std::vector<Complaint> complaints;
    std::map<std::string, std::pair<std::string, std::vector<std::string>>> test_plugs; ///< channel -> (where, fed by breakers)
    std::vector<Breaker> breakers;
    std::vector<Plug> plugs;
    std::vector<Panel> panels;
    std::vector<Temporary> temporaries;
    std::vector<Place> places;
    std::vector<Wire> wires;
    std::vector<Hazard> cautions;
    std::vector<Step> steps;
    std::vector<Cause> causes;
    std::vector<WiringCause> wiring_causes;
    std::vector<Check> checks;
    std::vector<Gate> gates;
    std::vector<Repair> repairs;
    std::vector<Owed> owed;
    std::optional<Swing> swing;
    Decision decision;
    std::map<std::string, std::vector<std::string>> expected; ///< "frame.field" -> values
    std::vector<Tolerance> tolerances;
    std::vector<std::string> required_inspections; ///< step or owed ids that another person must see
};

struct Profile {
    int format = 1;
    std::string id;
    int revision = 0;
    bool practice = false;
    Text title;
    std::map<std::string, SourceDocument> sources;
    std::vector<std::string> needs;
    Unit unit;
    Installation installation;
    std::string sha256;  ///< of the bytes of the file(s), filled by the caller
};

template <class T>
const T* find(const std::vector<T>& items, const std::string& id)
{
    for (const T& item : items)
        if (item.id == id) return &item;
    return nullptr;
}

} // namespace chockside::profile
