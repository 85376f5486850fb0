#pragma once
// Odd answers that the likeliest explanation does not account for: either misread, or a second thing is wrong. Both are worth a second look
// before the job is called done.

#include <core/isolate/isolate.h>

namespace chockside::isolate {

struct Unexplained {
    std::string evidence, check;
    std::string cause;       ///< listed, would show it; the likeliest of those that would
    double told = 0;         ///< chance of that answer by the explanation; of a number, of one as far off or farther
};

/// An outcome counts as odd where the explanation gives it less than 0.05 and a cause beside it 0.5 or more; a number where it lies beyond
/// three standard deviations of the explanation's density and within two of another cause's. Of repeats the latest stands.
std::vector<Unexplained> unexplained(const Reasoner&);

} // namespace chockside::isolate
