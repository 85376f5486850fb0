#pragma once
// What a Reasoner holds: rows shared between branches, weights of its own.

#include <core/isolate/detail/weigh.h>

namespace chockside::isolate {

struct Reasoner::Inner {
    struct Ground {
        Model model;
        detail::Rows rows; ///< points into `model`
    };
    std::shared_ptr<const Ground> ground;
    detail::Weights weights;
    std::vector<Evidence> evidence;
};

} // namespace chockside::isolate
