#pragma once
// Everything a screen or a robot needs to know of a job at one moment: a pure function of state, live data and time. Words come from
// the profile (already in the chosen language) or are short English built from its labels; screens only lay them out.

#include <core/base/json.h>

#include <array>

#include <cstdint>
#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace chockside::job {

enum class Stage { write_up, as_found, make_ready, isolate, put_right, prove, close };
inline constexpr int stage_count = 7;
const char* name_of(Stage);   ///< write_up ...
const char* title_of(Stage);  ///< "Write-up" ...
std::optional<Stage> stage_of(const std::string& name);

/// The mark vocabulary of the screens: shape + word + place, then colour.
enum class Mark { good, fail, attention, not_proven, stop, open, closed, collared, tripped, none, run, deferred, info };

struct StageCell {
    Stage stage = Stage::write_up;
    enum class Line { hollow, solid, gap, here } line = Line::hollow;
    double filled = 0;      ///< 0..1 share of the cell that is solid
    int open = 0;           ///< open items that were opened in this stage
    bool here = false;      ///< the wedge stands here
    std::string word;       ///< "done", "not yet", "1 open", "asking"
};

struct HazardLine {
    std::string word;       ///< WARNING CAUTION NOTE
    std::string says;
};

/// One next thing, as the large key asks it.
struct Prompt {
    enum class Kind { act, choose, number, wait, read, photo, part, swing_point, sign, text, none };
    std::string id;         ///< "step:pull_ap", "check:weather", "wait:warm_up", "owed:...", "sign:worked", "close"
    Kind kind = Kind::none;
    Stage stage = Stage::write_up;
    std::string say;        ///< verb first: "Pull AP SERVO, P2 C8. Fit collar."
    std::string detail;     ///< reason, effect or what else it feeds
    std::string key_small;  ///< small line of the large key: "Writes entry 36", "Hold 1 s, writes 37", "Until 14:27:40 Z"
    std::string key_large;  ///< large line of the key
    bool hold = false;
    bool ready = true;      ///< false: dashed key that says why (`missing`)
    std::string missing;    ///< the need that is not met, in words
    std::string met_by;     ///< prompt id or words of the step that meets it
    std::vector<HazardLine> before;
    std::vector<std::pair<std::string, std::string>> choices; ///< outcome id, words
    std::string unit;       ///< number prompts
    std::optional<std::pair<double, double>> limits;
    std::string meter;      ///< volts ohms megohms millivolts degrees
    std::string points;     ///< "J1-A to J1-B"
    std::vector<std::pair<std::string, std::string>> fields; ///< text prompts: argument, its title; each is filled in by hand
    /// What a hand does in the world: verb (breaker plug cable fit panel power switch flex turn look meter crew photo wait link session
    /// request repair move select transfer load sign), the label as a person reads it, and the state it shall have.
    std::string verb, label, to;
    json::Value args;       ///< sent back with the command
    std::string command;    ///< kind of the command that answers it
    std::string ref;        ///< document, revision, paragraph
    std::string toward;     ///< Isolate: the check that this act makes possible
};

struct OpenItem {
    std::string id;         ///< "breaker:ap_servo", "plug:p9", "panel:rack", "fit:test_cable", "session:ch1"
    std::string icon;       ///< collar cover plug cable breakout jumper panel switch session tool display
    std::string title;      ///< what closes it: "AP SERVO in, collar off"
    std::string detail;     ///< where and since when
    std::string word;       ///< open, collared, not looked at
    Mark mark = Mark::open;
    Stage opened_in = Stage::make_ready;
    std::int64_t since_utc_ms = 0;
    std::string name = {};  ///< the thing alone: "AP SERVO"
};

struct EntryLine {
    std::int64_t utc_ms = 0;
    std::string text;       ///< "Aligned, still for 1:00"
    std::string hash;
    bool amended = false, sent = false;
    std::string kind;
    std::string person = {};
    bool corrected = false;     ///< amended: what `by` says holds in its place
    std::string by = {};        ///< words of the void or the amendment
    std::string field = {};     ///< what may be amended: text number; empty: it can be voided only
    bool signature = false;     ///< one that stands: who made it withdraws it
    std::string stands = {}, stands_who = {}; ///< code why it cannot be voided, and its argument; empty: it can
};

/// Two accounts of one thing that did not know of each other.
struct DisputeLine {
    std::string id;             ///< "breaker:ref_1", "finding", "part", "sign:worked", "key:LK"
    std::string title, says;    ///< "REF 1", "pulled, says LK; in, says JR"
    std::string ends;           ///< what ends it
};

struct BreakerView {
    std::string id, label, panel, bus, state; ///< state: in pulled collared tripped unknown
    std::string tag;        ///< collar tag number or empty
    std::int64_t since_utc_ms = 0;
    std::string also_feeds;
    bool contested = false; ///< two people say different things; the unsafe one holds
};

struct WaitView {
    std::string id;         ///< self_test alignment warm_up
    std::string title;
    enum class State { not_begun, running, over, unknown } state = State::not_begun;
    double total_s = 0, left_s = 0;   ///< job time (practice: scaled)
    std::int64_t ends_utc_ms = 0;     ///< 0: not known
    std::string says;       ///< "Starts again if power dips"
    int restarts = 0;
};

struct PlaceView {
    std::string id, label, where, kind;
    double p = 0;           ///< likelihood that the cause sits here
    Mark mark = Mark::none;
};

struct EvidenceLine {
    std::string text;
    double factor = 1;      ///< times likelier (>1) or less likely (<1) for the leading cause
};

struct CheckLine {
    std::string id, title, why;
    double minutes = 0, own = 0, access = 0, power = 0, warm = 0;
    double worth = 0;
    std::string then = {};  ///< why == "then": title of the check that it is worth most together with
};

struct UnexplainedLine {
    std::string odd;        ///< "Bus volts: 22.9 V"
    std::string says;       ///< what would explain it
};

struct GateLine {
    std::string id, says, word;
    bool met = false;
};

struct IsolateView {
    std::string sentence;
    std::vector<PlaceView> places;
    std::string leading, leading_class; ///< words, class
    double leading_p = 0;
    bool fits_nothing = false;
    std::string advice;     ///< gather isolated none_found fits_nothing not_proven
    std::vector<EvidenceLine> evidence;
    std::vector<UnexplainedLine> unexplained; ///< odd answers beside the leading cause
    std::vector<std::string> would_change;    ///< answers that would put another cause first; the two hardest to tell apart
    std::vector<CheckLine> next;
    std::vector<GateLine> gates;
    bool removal_offered = false;
    std::vector<std::pair<std::string, double>> classes;
};

struct StoredFaultLine {
    std::string code, says;
    int count = 0;          ///< 0: the unit does not tell it
    std::string age;        ///< empty: the unit does not tell it
    bool active = false;
};

struct SourceLine {
    std::string what;       ///< "Heading"
    std::string no1, no2, standby;
    Mark mark = Mark::none;
    std::string word;
};

struct SavedLine {         ///< a thing that As found must save, on its line
    std::string title, word;
    Mark mark = Mark::none;
    std::string prompt;
};

struct OwedLine {
    std::string id, title, rule, who, word;
    Mark mark = Mark::none;
    double minutes = 0;
};

struct PartPaper {
    std::string title, part, serial, tag, certificate, reason;
    bool filled = false;
};

struct SwingPointView {
    double reference_deg = 0, indicated_deg = 0, deviation_deg = 0;
    bool outlier = false;
};

struct SwingView {
    bool owed = false, done = false;
    int wanted = 8;
    std::optional<double> next_heading_deg;
    std::optional<double> tolerance_deg;
    std::vector<SwingPointView> points;
    std::string result;     ///< "", pass fail not_proven no_tolerance
    std::string sentence;
    std::vector<std::pair<std::string, std::pair<double, double>>> terms; ///< name, value, standard error
    std::vector<std::array<double, 4>> band; ///< heading, value, lower, upper
    std::vector<std::pair<int, int>> card;   ///< for, steer
};

struct ActLine {
    std::string id, title, person, certificate, word;
    Mark mark = Mark::none;
};

struct LiveLine {
    std::string label, value, unit, word;
    Mark mark = Mark::none;
};

struct AnswerLine {
    std::string check, title, words;
};

struct EarlierLine {
    std::int64_t opened_ms = 0;
    std::string complaint, came_to;
    bool same_kind = false;
};

struct JobView {
    std::string job, tail, aircraft_type, unit_title, complaint, complaint_kind;
    bool practice = false;
    double time_scale = 1;
    bool closed = false;
    std::int64_t departure_utc_ms = 0, decide_utc_ms = 0, now_utc_ms = 0;
    Stage stage = Stage::write_up;
    std::string sentence;
    std::vector<StageCell> rail;
    Prompt next;
    std::vector<Prompt> others;        ///< other checks or answers that may be given now
    std::string taken;                 ///< check that a person took instead of the proposed one, and that `next` works toward
    std::vector<EntryLine> journal;    ///< oldest first
    int entries = 0, unsent = 0;
    std::string link_word, link_detail;
    Mark link_mark = Mark::none;
    bool link_good = false;
    std::vector<OpenItem> open;        ///< in the order they must be put back
    std::vector<OpenItem> closed_items;
    std::vector<WaitView> waits;
    std::vector<BreakerView> breakers;
    std::vector<HazardLine> cautions;
    std::string presence;              ///< unknown showing absent
    std::vector<AnswerLine> debrief;
    std::vector<AnswerLine> equipment;
    std::vector<EarlierLine> earlier;  ///< jobs on this aircraft that this device holds, newest first
    std::string earlier_says;          ///< of write-ups of this kind, empty: none
    bool earlier_to_lead = false;      ///< the third of a kind in ten days
    std::vector<SavedLine> saved;
    std::vector<StoredFaultLine> stored_faults;
    std::vector<SourceLine> sources;
    std::vector<LiveLine> live;
    IsolateView isolate;
    std::string finding;               ///< words of the finding, empty: none yet
    PartPaper part_off, part_on;
    std::vector<PartPaper> parts_before;   ///< off and on in turn, of repairs that cured nothing
    std::vector<OwedLine> owed;
    std::vector<std::string> not_owed;
    SwingView swing;
    std::vector<ActLine> acts;
    std::string entry_text;            ///< facts only
    std::vector<DisputeLine> disputes;
};

} // namespace chockside::job
