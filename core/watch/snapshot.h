#pragma once
// What the line says at one moment, for screens and for the recorder: plain values, cheap to copy, made at most ten times a second.

#include <core/codec/observation.h>

#include <cstdint>
#include <map>
#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace chockside::watch {

enum class LinkState : std::uint8_t {
    closed, ///< no port open
    silent, ///< port open, no valid frame yet or none within the profile's silence_ms
    good,   ///< valid frames arrive
    lost,   ///< the port went away by itself (unplugged); reopening is tried
};
const char* name_of(LinkState);

/// The latest value of one signal since the port was opened. Signals never seen have no row.
struct Row {
    std::string name, unit;
    double value = 0; ///< last value that was decoded, good or not; NaN where no number can be given
    codec::Validity validity = codec::Validity::good;
    std::int64_t age_ms = 0;
    bool boolean = false;
    bool fresh = true; ///< false: periodic, and older than three of its periods
    bool periodic = true; ///< sent by itself, again and again
    bool good() const { return validity == codec::Validity::good && fresh; }
};

enum class SelfTestPhase : std::uint8_t { unknown, running, ended };

struct SelfTest {
    SelfTestPhase phase = SelfTestPhase::unknown;
    std::vector<std::string> failed; ///< bit names, in the order of the wire; meaningful once ended
    int ended_count = 0;             ///< how often an end was seen
    bool operator==(const SelfTest&) const = default;
};

struct StoredFault {
    std::string code; ///< "0x0204"
    std::string id;   ///< of the profile's table, empty when unlisted
    std::int64_t count = 0;
    std::int64_t at_s = 0;  ///< as the unit gives it
    std::int64_t power_up = 0;
    std::optional<std::int64_t> age_s; ///< only where the unit's own figures tell it
    bool active = false;
    bool operator==(const StoredFault&) const = default;
};

enum class SessionState : std::uint8_t { closed, opening, open, refused, lost, closing };
const char* name_of(SessionState);

struct SessionView {
    SessionState state = SessionState::closed;
    std::string channel;
    std::string reason, mend; ///< when refused: the unit's reason by name and what the profile says to do
    int refusals = 0;         ///< counts, so that the same refusal twice is seen as two
    bool operator==(const SessionView&) const = default;
};

enum class DropKind : std::uint8_t { missing, validity, edge };
const char* name_of(DropKind);

/// One interruption of a signal: it was not sent when due, it lost its validity, or a yes-or-no changed.
struct DropOut {
    std::string signal;
    DropKind kind = DropKind::missing;
    std::int64_t from_ns = 0, to_ns = 0; ///< to_ns = from_ns while it lasts
    bool ended = false;
    std::string place; ///< marked place at its start, empty: none
};

/// Whether a word stands still by the profile's rule.
struct SettleView {
    enum class Word : std::uint8_t { not_enough, not_settled, settled } word = Word::not_enough;
    std::string signal;
    double mean = 0, slope = 0, scatter = 0; ///< units of the signal, per second, standard deviation
    double filled = 0;                       ///< share of the window that has data, 0..1
};
const char* name_of(SettleView::Word);

struct FlexPlace {
    std::string place; ///< empty: no place marked
    int hits = 0;
    double exposure_s = 0;
    double p = 1;      ///< already corrected for the number of places
};

struct FlexView {
    bool running = false;
    std::string place;   ///< marked now
    std::vector<FlexPlace> places;
    int hits = 0;
    double exposure_s = 0;
    /// "at_<place>": only (or significantly more often) while that place was moved; "no_relation"; "steady": none at all;
    /// "not_enough": too little exposure to say, or hits with hands on that no single place explains yet.
    std::string outcome = "not_enough";
};

struct PlotPoint {
    std::int64_t t_ns = 0;
    float value = 0;
    bool good = true;
};

struct CaptureView {
    bool writing = false;
    std::string path;         ///< current segment
    std::uint64_t bytes = 0;  ///< in all segments
    std::uint64_t lost = 0;   ///< bytes that could not be kept
    std::string stopped;      ///< code of the reason: disk_full, io_error...; empty: not stopped
};

struct LiveSnapshot {
    std::int64_t t_ns = 0; ///< boot clock; at the practice scale in a practice job
    LinkState link = LinkState::closed;
    std::int64_t link_since_ns = 0;
    std::string port;
    double frames_per_s = 0, words_per_s = 0; ///< words: ARINC words where the unit sends them, else periodic values
    codec::Counters counters;
    int losses = 0;        ///< times that the port or the frames were lost since opening

    std::vector<Row> rows; ///< in the order of the signal table

    std::optional<double> uptime_s; ///< as the unit last said
    int power_losses = 0;           ///< uptime seen going back, since the port was opened
    double uptime_before_s = 0;     ///< at the last such loss
    SelfTest self_test;
    std::optional<bool> aligned, moving;
    SessionView session;
    std::optional<std::vector<StoredFault>> faults;
    int fault_reads = 0;
    std::map<std::string, std::map<std::string, std::string>> pages; ///< frame -> field -> text, as read on request
    std::map<std::string, int> page_reads;
    std::vector<SettleView> settled;

    std::vector<DropOut> drops;                 ///< the latest, oldest first, at most 200
    std::map<std::string, int> drop_counts;     ///< by signal, since the port was opened
    FlexView flex;
    std::shared_ptr<const std::vector<PlotPoint>> plot; ///< of the settle word, oldest first, at most 10 000
    std::string plot_signal;
    CaptureView capture;

    const Row* row(std::string_view name) const;
    /// The value where a good, fresh one is there.
    std::optional<double> value(std::string_view name) const;
};

} // namespace chockside::watch
