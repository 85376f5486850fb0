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
    bool counts = true;            ///< false: a later item of the same state stands for it
    bool leads = true;             ///< false: another item of its group is stronger and stands for it
    double strength = 0;           ///< how far it parts the hypotheses; only where it has a group
    std::vector<double> log_l;     ///< per hypothesis, whole

    double weight() const { return !counts ? 0 : leads ? 1 : 0.2; }
};

/// Log prior plus every item that counts, per hypothesis; kept up to date item by item.
class Weights {
public:
    explicit Weights(const Rows&);
    /// `all`: the evidence up to and with this one, at index `at`. Codes: unknown_check, unknown_outcome, bad_certainty.
    Status add(const Rows&, std::span<const Evidence> all, std::size_t at);
    const std::vector<Item>& items() const { return items_; }
    const std::vector<double>& logs() const { return logs_; }

private:
    bool one_leader(const Rows&, std::size_t newest);
    void rebuild(const Rows&);
    std::vector<Item> items_;
    std::vector<double> logs_;
};

Result<Weights> weigh(const Rows&, std::span<const Evidence>);

/// Logarithms turned into probabilities that sum to 1.
std::vector<double> normalised(std::vector<double> logs);
/// log of the sum of exponentials.
double log_sum(std::span<const double> logs);

/// 0 .. 1: how odd the evidence is under the listed causes that it makes likely.
double misfit(const Rows&, std::span<const Item>, std::span<const Evidence>, std::span<const double> p);

} // namespace chockside::isolate::detail
