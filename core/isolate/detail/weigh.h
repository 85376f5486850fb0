#pragma once
// Evidence as numbers: which items count, and what each says about every hypothesis.

#include <core/isolate/detail/rows.h>

namespace chockside::isolate::detail {

struct Item {
    std::size_t evidence = 0;      ///< index in the evidence as given
    std::size_t check = 0;
    Presence presence = Presence::unknown;
    std::optional<std::size_t> outcome;
    double number = 0;
    bool leads = true;             ///< false: another item of its group is stronger and stands for it
    std::vector<double> log_l;     ///< per hypothesis
};

Result<std::vector<Item>> weigh(const Rows&, std::span<const Evidence>);

constexpr double followers_weigh = 0.2; ///< items of a group beside the one that leads it

/// One item by itself, whatever came before it. Codes: unknown_check, unknown_outcome.
Result<Item> read(const Rows&, const Evidence&, std::size_t index);
/// How far an item parts the hypotheses: variance of its logarithm under the prior.
double strength(const Rows&, const Item&);

/// Logarithms turned into probabilities that sum to 1.
std::vector<double> normalised(std::vector<double> logs);
/// log of the sum of exponentials.
double log_sum(std::span<const double> logs);
/// Log prior plus every item, per hypothesis; not normalised.
std::vector<double> log_joint(const Rows&, std::span<const Item>);

/// 0 .. 1: how odd the evidence is under the listed causes that it makes likely.
double misfit(const Rows&, std::span<const Item>, std::span<const Evidence>, std::span<const double> p);

} // namespace chockside::isolate::detail
