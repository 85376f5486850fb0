#pragma once
// A model made ready for arithmetic: rows with slip and floor in, hypotheses (single causes, pairs where allowed), densities pooled.

#include <core/isolate/isolate.h>

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
    std::optional<Density> foot; ///< the lowest of its rows, where all are lognormal
    std::map<std::pair<std::size_t, std::size_t>, std::vector<double>> together; ///< as Check::together
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
    /// Density of a number under a hypothesis, slip in; 1 where the cause has no density for it.
    double density(std::size_t check, Presence, const Hypothesis&, double x) const;
    /// Logarithm of one outcome, or of a number's density, under every hypothesis.
    std::vector<double> log_outcome(std::size_t check, Presence, std::size_t outcome) const;
    std::vector<double> log_number(std::size_t check, Presence, double x) const;
    /// Outcomes under every cause alone, [cause * outcomes + outcome]; of a number: shares of `bins` cells that cover what it may read.
    std::vector<double> table(std::size_t check, Presence, std::size_t bins) const;
    const std::optional<Density>& number(std::size_t check, Presence, std::size_t cause) const;
    bool has_number(std::size_t check) const;
    /// Of a number that a slip reads.
    double slip_density(std::size_t check, double x) const;
    /// The number as it is scored: a reading at the foot of a lognormal scale stands where the lowest row does.
    double scored(std::size_t check, double x) const;
    const std::map<std::pair<std::size_t, std::size_t>, std::vector<double>>& together(std::size_t check) const { return checks_[check].together; }

private:
    double showing(Presence, std::size_t cause) const;
    std::vector<double> cells(std::size_t check, Presence, std::size_t bins) const;
    std::vector<double> outcomes_of(std::size_t check, Presence, std::size_t cause) const;
    double density_of(std::size_t check, Presence, std::size_t cause, double x) const;

    const Model* model_ = nullptr;
    std::vector<CleanCheck> checks_;
    std::vector<Hypothesis> hypotheses_;
    std::map<std::string, std::size_t> by_id_;
};

/// P(outcome) of two causes together: the more abnormal of two draws. `before`: chance of a more abnormal outcome.
inline double more_abnormal(double before_a, double p_a, double before_b, double p_b)
{
    const double rest_a = 1 - before_a, rest_b = 1 - before_b;
    return rest_a * rest_b - (rest_a - p_a) * (rest_b - p_b);
}

double density_at(const Density&, double x);
/// Chance of a reading below x.
double below_at(const Density&, double x);
/// The value at a standard score.
double value_at(const Density&, double z);

} // namespace chockside::isolate::detail
