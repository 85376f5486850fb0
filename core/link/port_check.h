#pragma once
// "Why does nobody talk to me?" in the order a person would try it: from the port to the right unit. Pure reasoning over what was seen.

#include <core/base/problem.h>
#include <core/codec/observation.h>
#include <core/profile/model.h>

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

namespace chockside::link {

/// What was seen of a port; what was not tried is left out.
struct PortFacts {
    std::string port;
    std::string open_code;               ///< code of ByteChannel::open, empty: it opened
    Problem::Args open_args;             ///< and what it said
    double listened_s = 0;
    std::uint64_t bytes = 0;
    std::uint64_t line_errors = 0;       ///< framing and parity errors, where the port tells them
    codec::Counters counters;            ///< of the profile's decoder over these bytes
    std::uint64_t good_frames = 0;       ///< frames that passed every test
    std::optional<bool> echoed;          ///< what was sent came back as it was
    std::optional<bool> answered;        ///< a read request got its reply
    std::string part;                    ///< as the unit names itself
    std::optional<int> rate_that_fits;   ///< found by identify(), where it was run
};

struct PortStep {
    enum class State : std::uint8_t { good, gap, not_tried };
    std::string id;      ///< port rights free open bytes echo rate frames reply unit
    State state = State::not_tried;
    Problem seen;        ///< code and arguments for the words; of a gap: what to do next is its mend
    double minutes = 0;  ///< what the next thing to do takes, about (common practice, no source)
};
const char* name_of(PortStep::State);

/// All steps in order. The first gap is what to work on; steps behind it that rest on it are not tried.
std::vector<PortStep> check_port(const PortFacts& facts, const profile::Profile& profile);
/// The first gap, or nothing.
const PortStep* first_gap(const std::vector<PortStep>& steps);

} // namespace chockside::link
