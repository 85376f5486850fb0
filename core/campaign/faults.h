#pragma once
// The book of troubles: each sets the physical state of the whole aircraft, with a spread by seed. Shares are the campaign's own.

#include <core/base/random.h>
#include <core/campaign/truth.h>

#include <optional>
#include <span>
#include <string>
#include <vector>

namespace chockside::campaign {

struct Fault {
    std::string id, cause_class;
    char mode = 'h';                 ///< h there whenever looked at, i comes and goes, c under a condition
    std::string work;                ///< work that leaves it behind; empty: none
    double share = 1;                ///< relative, within its kind of job
    void (*set)(Truth&, SeededRandom&);
};
std::span<const Fault> faults();
const Fault* find_fault(const std::string& id);

enum class Kind { hard, intermittent, absent, after_work, two_causes, unlisted, count };
const char* name_of(Kind);

/// One practice job: the aircraft when it was written up and as it stands at arrival.
struct Job {
    Truth then, now;
    std::string complaint;                  ///< kind, as the profile names it
    Kind kind = Kind::hard;
    std::vector<std::string> causes, classes;
    bool misleading = false;                ///< wrong with no flag
    bool real = true;                       ///< something on the aircraft is to be put right
    bool showed_on_arrival = true;
};

/// The kind of complaint that this state of the aircraft would have a crew write up.
std::string complaint_of(const Truth& then, SeededRandom&);
bool is_misleading(const std::string& complaint);
/// The setting among those of a day's flying in which it shows most.
Setting worst_setting(const Truth&);
/// Lost or wrong for as long as one looks.
bool shows(const Truth&, const Setting&);

/// A job of that kind; `id` draws the cause where it is empty.
Job make_job(Kind, SeededRandom&, const std::string& id = {});
Kind draw_kind(SeededRandom&);
/// A kind of job that this trouble belongs to, alone: drawn by the shares of both.
Kind draw_kind(const Fault&, SeededRandom&);

} // namespace chockside::campaign
