#pragma once
// From answered checks to what is likely, what to look at next, and what may be said about it. Plain structs in and out; nothing here
// knows a profile, a unit or a clock. It advises: the technician decides, the manual rules.

#include <core/base/result.h>

#include <cstddef>
#include <map>
#include <memory>
#include <optional>
#include <set>
#include <span>
#include <string>
#include <utility>
#include <vector>

namespace chockside::isolate {

/// Whether the fault showed while a check was done.
enum class Presence { unknown, showing, absent };

/// How often a cause of that mode shows while somebody looks: 0.95 of hard ones, 0.5 of others (practice values).
double shows(const std::string& mode);

struct Cause {
    std::string id;
    std::string cause_class;
    std::string place;         ///< place along the harness, may be empty
    double prior = 0;          ///< > 0; the sum over all causes need not be 1
    std::string mode = "hard"; ///< hard intermittent conditional
};

/// normal: mean and standard deviation; lognormal: median and factor (one standard deviation of the logarithm).
struct Density {
    enum class Kind { normal, lognormal } kind = Kind::normal;
    double a = 0, b = 1;
};

/// Standard score of x: (x - mean) / deviation, in logarithms for lognormal.
double score(const Density&, double x);

/// What one check shows under one cause: probabilities of its outcomes, or a density of its number, or both.
struct Row {
    std::vector<double> outcomes;
    std::optional<Density> number;
};

struct Check {
    std::string id;
    std::vector<std::string> outcomes; ///< from most to least abnormal
    std::vector<Row> given;            ///< fault showing: one per cause, in the order of Model::causes
    std::vector<Row> absent;           ///< fault absent at that moment; empty: as `given`
    double minutes = 0;
    double access_minutes = 0;
    std::string panel;
    bool needs_power_on = false, needs_power_off = false, needs_warm = false;
    int people = 1;
    int disturbs = 0;                      ///< 0 nothing, 1 may hide an intermittent, 2 destroys evidence
    std::vector<std::string> disturbs_at;
    bool lasting = false;                  ///< what it looks at stays: its good reading keeps its weight at a place disturbed before
    std::string group;                     ///< items of one event: the strongest counts once, the others little
    bool automatic = false;
    std::vector<std::string> after;        ///< makes sense only once one of these is answered; empty: at any time
    std::vector<std::string> tools;        ///< none: a check without one of them in the bag is left out
    /// Outcomes when two causes work together, where they are not the more abnormal of two draws: (lower, higher index) -> probabilities.
    std::map<std::pair<std::size_t, std::size_t>, std::vector<double>> together;
};

struct Model {
    std::vector<Cause> causes;
    std::vector<Check> checks;
    double slip = 0.02;        ///< share of every row that a slip of the person explains
    double floor = 0.002;      ///< least probability of any outcome: nothing is impossible
    double pair_share = 0;     ///< prior odds of two causes together against one; 0: singles only
};

struct Evidence {
    std::string id;                           ///< unique, for example an entry's hash
    std::string check;
    std::string outcome;                      ///< empty where `number` stands
    std::optional<double> number;
    Presence presence = Presence::unknown;
    std::vector<std::string> disturbed_before; ///< places disturbed before it was taken
    double certainty = 1;                      ///< 0 .. 1: at less than 1 the rest says nothing, as if any answer had been as likely
};

/// What this evidence, taken after the ones before it, does to the odds of the cause against the rest (natural logarithm).
/// The sum over all evidence is the posterior log odds minus the prior log odds.
struct Contribution {
    std::string evidence, check, cause;
    double log_odds = 0;
};

struct Likelihood {
    std::vector<std::string> causes; ///< one, or two together
    double p = 0;
};

struct ClassLikelihood {
    std::string cause_class;
    double p = 0;
};

struct PlaceLikelihood {
    std::string place;
    double p = 0;
};

/// Causes that one act cures: units, or sensors, of one place count together, so do "none" and "unlisted"; any other cause alone.
struct RemedyLikelihood {
    std::string cause_class;
    std::string cause;                  ///< likeliest within it
    double p = 0;                       ///< that the act cures something: alone or one of two
};

struct Posterior {
    std::vector<Likelihood> likelihood; ///< sorted, likeliest first; sums to 1 - rest
    double rest = 0;                    ///< pairs not listed: each below 1e-6, only where there are more than 4000 hypotheses
    std::vector<Likelihood> causes;     ///< each cause, alone or one of two, in the order of the model
    std::vector<RemedyLikelihood> remedies; ///< sorted, likeliest first
    std::vector<ClassLikelihood> classes;
    std::vector<PlaceLikelihood> places;
    std::vector<Contribution> contributions;
    double unlisted = 0, unlisted_prior = 0;
    double misfit = 0;                  ///< 0 .. 1: chance that evidence drawn from the likely listed causes would be less odd
    bool fits_nothing = false;          ///< misfit beyond 0.99 (from four items on), or "unlisted" beyond 0.5
};

/// Exact over single causes, and over pairs where the model allows them. Kept in logarithms; every row carries the slip, every outcome
/// the floor. Of repeats of one check in one state (presence, places disturbed) the latest counts. A good reading at a place that was
/// disturbed before weighs a fifth against the contacts and wires there. On a scale that is lognormal throughout, a reading three deviations
/// below the lowest row (nothing, or less) says "at most what that row reads". With presence unknown a row is the mixture of showing and absent
/// (0.95 showing for hard causes, 0.5 for others).
/// Codes: no_causes; bad_prior (cause); bad_row (check, cause): wrong length, not finite, negative or all zero; unknown_check,
/// unknown_outcome, bad_certainty (evidence).
Result<Posterior> posterior(const Model&, std::span<const Evidence>);

/// The same, answer by answer: log weights of every hypothesis are kept, so that one more answer costs one pass over them.
class Reasoner {
public:
    static Result<Reasoner> make(Model);
    Reasoner(Reasoner&&) noexcept;
    Reasoner& operator=(Reasoner&&) noexcept;
    Reasoner(const Reasoner&);              ///< shares the rows, copies the weights: a branch of a plan
    Reasoner& operator=(const Reasoner&);
    ~Reasoner();

    /// Codes: unknown_check, unknown_outcome, bad_certainty; then nothing has changed.
    Status add(Evidence);
    const Model& model() const;
    const std::vector<Evidence>& evidence() const;
    std::vector<double> causes() const;     ///< as Posterior::causes, numbers alone
    std::vector<RemedyLikelihood> remedies() const;
    Posterior posterior(bool with_contributions = true) const;

    struct Inner;
    const Inner& inner() const { return *inner_; }

private:
    Reasoner();
    std::unique_ptr<Inner> inner_;
};

struct Situation {
    bool power_on = false, warm = false;
    std::set<std::string> open_panels;
    int people = 1;
    double minutes_left = 1e9;          ///< to the decision point
    std::set<std::string> answered;
    std::optional<std::set<std::string>> tools; ///< in the bag; not told: every tool is there
    double power_down_min = 5, power_up_min = 8, warm_min = 3;
};

/// Costs of being wrong, in minutes.
struct Costs {
    double wrong_removal = 0, missed = 0, misleading = 0, deferral = 0;
};

struct NextCheck {
    std::string check;
    double minutes = 0;                 ///< all of the following together
    double own_minutes = 0, access_minutes = 0, power_minutes = 0, warm_minutes = 0;
    double worth = 0;                   ///< expected loss saved per minute, in minutes
    std::string why;                    ///< code: splits same_panel then late
    std::vector<std::string> with;      ///< checks behind the same panel, in the same power state, that are worth doing on the way
    std::string then;                   ///< why == then: the check that it is worth most together with
};

struct Plan {
    std::vector<NextCheck> checks;      ///< worth most first
    std::size_t hypotheses = 0;         ///< weighed: all of the likeliest causes, which hold 99.9 % at least
    double rest = 0;                    ///< share of the others: no worth can be off by more than this share of the dearest decision
};

/// Expected information about the cause from one more check, in bits, at the present evidence. Code: as posterior().
Result<double> information_gain(const Model&, std::span<const Evidence>, const std::string& check, Presence now);

/// Whether it can be done now and makes sense: not answered, not automatic, enough people, its tools in the bag, what it comes after answered.
bool possible(const Check&, const Situation&);

/// Checks not yet answered, worth most per minute first. The loss is that of acting on a cause drawn by its likelihood; a check that ends
/// after the decision point also costs a deferral. Left out: automatic ones, those for more people than are here, those whose tool is
/// not in the bag. The best eight are looked at two ahead: what a check saves with the best check after each of its outcomes, per minute of
/// both, where that beats every single one; panels opened and power changed by the first are then paid for.
Plan plan(const Reasoner&, const Situation&, const Costs&, Presence now, std::size_t most);
std::vector<NextCheck> next_checks(const Model&, std::span<const Evidence>, const Situation&, const Costs&, Presence now, std::size_t most);

/// What must be known before advice of a class may be given.
struct Gate {
    std::string id;
    std::vector<std::string> needs;                                ///< checks that must be answered, whatever they gave
    std::map<std::string, std::vector<std::string>> is;            ///< check -> outcomes that satisfy
    std::map<std::string, std::pair<double, double>> within;       ///< check -> limits that satisfy
    bool any = false;                                              ///< one row of `is` and `within` is enough
    std::vector<std::string> before;                               ///< classes that it guards
    /// Whole ways, each check -> outcomes: one way met in full is enough, beside everything above.
    std::vector<std::map<std::string, std::vector<std::string>>> ways{};
};

struct GateState {
    std::string id;
    bool met = false;
    std::vector<std::string> missing;   ///< checks not yet answered that may still meet it
};

enum class AdviceKind { gather, isolated, none_found, fits_nothing, not_proven };

struct Advice {
    AdviceKind kind = AdviceKind::gather;
    std::string cause_class;            ///< of the likeliest remedy
    std::string cause;                  ///< likeliest cause within it
    std::string also;                   ///< a second cause that is at work beside it more likely than not; empty: none
    double p = 0;                       ///< of the remedy, alone or one of two: units, or sensors, of one place count together, so does "none"; others alone
    std::vector<GateState> gates;       ///< those that guard cause_class
    std::vector<std::string> missing_gates;
    bool removal_offered = false;       ///< a unit or sensor may come off: threshold reached and every gate met
};

/// Gates that guard an advice ("unit", "none", "fixed", "deferral", "swap" ...), as they stand.
std::vector<GateState> gate_states(std::span<const Evidence>, std::span<const Gate>, const std::string& guarded);

/// isolated / none_found: threshold reached, gates met. not_proven: threshold reached, but a gate's checks are answered otherwise, or the
/// search ends (every check is answered, or `ends`: no time, nothing worth its minutes) and the threshold is not reached. fits_nothing before
/// either, and at the end where the evidence has raised "not listed" above its prior and nothing is isolated. Else gather.
Advice advise(const Model&, const Posterior&, std::span<const Evidence>, std::span<const Gate>, double threshold, bool ends = false);

} // namespace chockside::isolate
