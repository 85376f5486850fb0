#pragma once

#include <core/practice/scenario.h>

#include <string>
#include <string_view>
#include <vector>

namespace chockside::practice {

/// What is still wrong. Sub-models ask by kind; a repair takes away what it cures and nothing else.
class Defects {
public:
    explicit Defects(std::vector<Effect> effects = {}) : effects_(std::move(effects)) {}

    const Effect* find(std::string_view kind) const;
    const Effect* find(std::string_view kind, std::string_view key, std::string_view word) const;
    const Effect* find(std::string_view kind, int channel) const;
    const std::vector<Effect>& all() const { return effects_; }
    /// How many effects the repair removed.
    int repair(std::string_view what);

private:
    std::vector<Effect> effects_;
};

} // namespace chockside::practice
