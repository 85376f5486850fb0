#pragma once
// A model made ready for arithmetic: rows with slip and floor in, hypotheses (single causes, pairs where allowed), densities pooled.

#include <core/isolate/isolate.h>

#include <cstdint>

namespace chockside::isolate::detail {

struct Hypothesis {
    std::size_t first = 0, second = 0; ///< indices of causes; equal for a single cause
    double log_prior = 0;
    bool single() const { return first == second; }
};

/// Rows of one check under one presence: [cause][outcome], and the density of its number with what a slip would read.
struct CleanRows {
    std::vector<std::vector<double>> outcomes;
    std::vector<std::optional<Density>> number;
};

struct CleanCheck {
    CleanRows given, absent;
    Density slip; ///< a wide density around all rows: a wrong pin may read anything that this check reads
};

class Rows {
public:
    static Result<Rows> make(const Model&);

    const Model& model() const { return *model_; }
    const std::vector<Hypothesis>& hypotheses() const { return hypotheses_; }
    std::optional<std::size_t> check(const std::string& id) const;
    std::optional<std::size_t> outcome(std::size_t check, const std::string& id) const;

    /// Probability of each outcome under a hypothesis.
    std::vector<double> outcomes(std::size_t check, Presence, const Hypothesis&) const;
    /// Probability of one outcome, for every hypothesis.
    std::vector<double> outcome_column(std::size_t check, Presence, std::size_t outcome) const;
    /// The same for a number's density.
    std::vector<double> density_column(std::size_t check, Presence, double x) const;
    /// Density of a number under a hypothesis, slip in; 1 where the cause has no density for it.
    double density(std::size_t check, Presence, const Hypothesis&, double x) const;
    const std::optional<Density>& number(std::size_t check, Presence, std::size_t cause) const;
    bool has_number(std::size_t check) const;
    /// Chance that the fault shows under a cause.
    double showing(Presence, std::size_t cause) const;
    /// Causes whose rows of a check are alike, under one number each.
    const std::vector<std::uint16_t>& alike_given(std::size_t check) const { return alike_[check].first; }
    const std::vector<std::uint16_t>& alike_absent(std::size_t check) const { return alike_[check].second; }
    std::vector<double> outcomes_of(std::size_t check, Presence, std::size_t cause) const;
    double density_of(std::size_t check, Presence, std::size_t cause, double x) const;

private:
    const Model* model_ = nullptr;
    std::vector<CleanCheck> checks_;
    std::vector<Hypothesis> hypotheses_;
    std::vector<std::pair<std::vector<std::uint16_t>, std::vector<std::uint16_t>>> alike_;
    std::map<std::string, std::size_t> by_id_;
};

/// Outcome probabilities of two causes at once: the more abnormal of two independent draws.
std::vector<double> more_abnormal(const std::vector<double>&, const std::vector<double>&);
double density_at(const Density&, double x);
/// Standard score of x: (x - mean) / sd, in logarithms for lognormal.
double score(const Density&, double x);
/// The value at a standard score.
double value_at(const Density&, double z);

} // namespace chockside::isolate::detail
