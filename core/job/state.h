#pragma once
// The durable state of a job: a pure fold over its entries. No floating point, no "now": measured numbers stay the decimal text that
// was signed; times are the entry's own. What two people contest stays visible in a Register, and guards take the unsafe value.

#include <core/job/view.h>
#include <core/journal/entry.h>
#include <core/profile/model.h>

#include <cstdint>
#include <map>
#include <optional>
#include <set>
#include <string>
#include <vector>

namespace chockside::job {

/// Where a value comes from.
struct Stamp {
    std::string author;
    std::int64_t seq = 0;
    std::string hash;
    std::string person;
    std::int64_t wall = 0;
    std::int64_t mono = 0;
    std::string boot;
    Stage stage = Stage::write_up; ///< stage the job stood in when it was written
    bool operator==(const Stamp&) const = default;
};

/// True where a writer that had `seen` knew of the entry.
bool covers(const journal::Vector& seen, const std::string& author, std::int64_t seq);

/// A multi-value register: the writes that no other write knew of. One value when nobody disagrees.
struct Register {
    struct Write {
        std::string value;
        Stamp stamp;
        bool operator==(const Write&) const = default;
    };
    std::vector<Write> writes; ///< ordered by author, then sequence

    void set(const std::string& value, const Stamp& stamp, const journal::Vector& seen);
    bool empty() const { return writes.empty(); }
    bool contested() const;
    /// The value all agree on, or nothing.
    std::optional<std::string> agreed() const;
    /// True where every standing write says so: what a guard may build on.
    bool certainly(const std::string& value) const;
    /// True where at least one standing write says so.
    bool perhaps(const std::string& value) const;
    /// True where at least one standing write says that nobody knows: every unsafe reading holds.
    bool unknown() const { return perhaps("unknown"); }
    const Stamp* last() const { return writes.empty() ? nullptr : &writes.back().stamp; }
    bool operator==(const Register&) const = default;
};

/// Outcome of a check that could not be done: neither good nor bad, and no evidence.
inline constexpr const char* not_done = "not_done";

struct Answer {
    std::string check;
    std::string outcome;            ///< empty for numbers
    std::string number;             ///< decimal text
    std::string presence;           ///< of the fault when it was answered
    std::set<std::string> disturbed; ///< places disturbed before it
    bool after_repair = false;
    int power_ups = 0;              ///< of the unit, before it
    Stamp stamp;
    bool operator==(const Answer&) const = default;
};

struct OwedState {
    std::string id, act;
    Stamp raised;
    std::optional<Stamp> closed;
    std::string result;
    std::int64_t answers_before = 0; ///< of the job when the last repair was done: they prove nothing of it
    bool operator==(const OwedState&) const = default;
};

struct SwingPointState {
    std::string reference, indicated; ///< decimal text, degrees
    Stamp stamp;
    int taken = 1;                    ///< how often it was sighted; the last sighting stands
    bool operator==(const SwingPointState&) const = default;
};

struct Part {
    std::string number, serial, tag, certificate, reason;
    bool operator==(const Part&) const = default;
};

/// A repair that cured nothing, with the part that it changed.
struct PastRepair {
    std::string repair;
    std::optional<Part> off, on;
    std::int64_t answers_before = 0; ///< of the job when it was done
    bool operator==(const PastRepair&) const = default;
};

struct Sign {
    std::string meaning, person, certificate_kind, certificate_number;
    std::string name, key; ///< key: hex of the public key that the signature holds under
    Stamp stamp;
    bool operator==(const Sign&) const = default;
};

/// What was put off, in the words of who put it off.
struct Deferral {
    std::string item, category, expires, placard, authority;
    bool operator==(const Deferral&) const = default;
};

struct StoredFault {
    std::string code, id;
    std::int64_t count = 0, age_s = 0;
    bool active = false;
    bool operator==(const StoredFault&) const = default;
};

/// One line of the journal as people read it; the words are made by describe().
struct Line {
    Stamp stamp;
    std::string kind;
    std::string text;
    bool amended = false;      ///< voided, or amended: what it says does not hold
    std::string field = {};    ///< of its body, what may be amended: text number; empty: nothing
    bool corrected = false;    ///< amended, and what it should say holds in its place
    std::string of = {};       ///< of a void or an amendment: hash of the entry
    bool operator==(const Line&) const = default;
};

struct JobState {
    std::string job, tail, aircraft_type, complaint, complaint_kind, profile_sha;
    bool practice = false;
    std::int64_t scale_milli = 1000; ///< practice time scale, thousandths
    std::int64_t departure = 0, decide = 0;

    std::map<std::string, Register> breakers, plugs, panels, fitted, dead, sessions;
    Register power, presence, finding;
    std::map<std::string, Stamp> done;          ///< steps by id
    std::map<std::string, Stamp> changed;       ///< "breaker:ref_1" -> last time it left or regained its normal state
    std::vector<Answer> answers;
    std::set<std::string> disturbed;            ///< places
    std::set<std::string> tellings;             ///< of the shop to several tablets, each once
    bool cautions_read = false;

    std::optional<Stamp> self_test_started, self_test_ended, power_on, power_lost, motion, still, aligned; ///< power_on: it came by hand, by switch or breaker
    std::optional<Stamp> first_ended;           ///< first end of a self-test since power came or a test began: a further one is an answer to a question
    bool dark = false;                          ///< power was taken from the unit by hand
    int warm_restarts = 0, align_restarts = 0;
    int losses = 0;                             ///< of power by itself, since somebody last moved a switch, breaker or plug
    std::vector<std::string> self_test_failed;
    bool self_test_passed = false;
    std::map<std::string, int> self_test_fails; ///< bit -> number of power-ups it failed on
    int power_ups = 0;
    bool faults_read = false;
    std::vector<StoredFault> faults;            ///< the first reading: as found
    std::map<std::string, std::string> identity, configuration;
    std::optional<std::string> link;            ///< opened lost restored
    std::optional<Stamp> silent;                ///< a person said that nothing comes from the unit, and nothing has come since
    std::vector<std::string> photos;            ///< "what:sha", or what alone where the picture lies elsewhere

    std::string finding_class, finding_cause, finding_kind, finding_p;
    std::optional<Stamp> found;
    std::optional<std::string> repair;
    std::optional<Stamp> repaired;
    std::int64_t answers_before_repair = 0;
    std::map<std::string, int> not_cured_by;    ///< causes whose repair left the fault as it was, and how often
    std::vector<PastRepair> past;               ///< those repairs: done all the same
    std::vector<std::string> acts;
    std::optional<Part> off, on;
    Register part_told;                         ///< "off S/N, on S/N": two devices may tell of one exchange
    std::vector<OwedState> owed;
    std::vector<SwingPointState> swing;
    std::map<std::string, std::string> swing_result;
    std::map<std::string, Sign> signs;          ///< those that cover all the work; earlier ones stay in `lines`
    std::optional<Stamp> new_work;              ///< the last reopening or further repair: who did not know of it signed for less
    std::optional<Deferral> deferral;
    bool closed = false;
    std::set<std::string> contradictions;
    std::vector<Line> lines;
    std::int64_t entries = 0;

    bool operator==(const JobState&) const = default;
    bool supply_unsteady() const { return losses >= 3; }              ///< no wait can end
    const Answer* answer(const std::string& check) const;             ///< the latest, before repair or after
    const Answer* answer_after_repair(const std::string& check) const;
};

/// The definition: amendments and voids first, then every entry in causal order.
JobState fold(const profile::Profile&, const std::vector<journal::Entry>&);
/// The optimisation: same result as fold() of one more entry, where the entry knew all others (own writes in order).
void apply(const profile::Profile&, JobState&, const journal::Entry&);
/// The first stage that is not over.
Stage stage_of_state(const profile::Profile&, const JobState&);

} // namespace chockside::job
