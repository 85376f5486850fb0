#pragma once
// Causes that one act cures: what a decision is between.

#include <core/isolate/isolate.h>

namespace chockside::isolate::detail {

struct Remedy {
    std::string cause_class;
    std::vector<std::size_t> causes;
};

/// Units, or sensors, of one place are one remedy, whatever inside them failed; so are all of class "none", and all of class "unlisted". Any other cause stands alone.
std::vector<Remedy> remedies(const Model&);

} // namespace chockside::isolate::detail
