#pragma once
// Heading swing: what the indicated heading is wrong by, all round, with how surely that is known.

#include <core/base/result.h>

#include <optional>
#include <span>
#include <string>
#include <vector>

namespace chockside::heading {

struct SwingPoint {
    double reference_deg;            ///< magnetic heading of the aircraft by the reference, 0 .. 360
    double indicated_deg;            ///< what the unit showed, 0 .. 360
    std::optional<double> sigma_deg; ///< one standard deviation of the pair; on every point or on none; > 0
};

enum class SwingResult { pass, fail, not_proven, no_tolerance };

struct SwingTerm {
    char name; ///< A .. E
    double value_deg;
    double se_deg;
};

/// The fitted deviation at one indicated heading with the simultaneous band that holds for all headings together.
struct SwingBand {
    double heading_deg, value_deg, lower_deg, upper_deg;
};

/// To fly the magnetic heading `for`, steer this indicated heading; both 0 .. 359.
struct CardRow {
    int for_deg;
    int steer_deg;
};

struct SwingOptions {
    std::string terms = "";              ///< "" chooses: ABCDE from 8 points on, ABC from 5; else A to E in that order, each once
    std::optional<double> tolerance_deg = {}; ///< largest allowed deviation either way, > 0; never invented
    double confidence = 0.95;            ///< of the band, 0.5 .. 0.9999
    bool robust = false;                 ///< bisquare M-estimate in place of least squares
    int card_step_deg = 30;              ///< divides 360
};

struct SwingFit {
    std::string terms;
    std::vector<SwingTerm> coefficients;
    double sigma_deg; ///< standard deviation of one point about the curve
    int degrees_of_freedom;
    std::vector<double> residuals_deg, leverage; ///< in the order of the points
    std::vector<int> outliers;                   ///< indices of points
    SwingBand worst;                             ///< where the fitted deviation is largest in size
    std::vector<SwingBand> band;                 ///< 0, 5 .. 355
    SwingResult result;
    std::optional<double> next_heading_deg;      ///< the indicated heading most worth adding; none once passed or failed
    std::vector<CardRow> card;                   ///< empty where the deviation turns faster than the heading: no single answer
};

/// Fits deviation = reference - indicated, wrapped to -180 .. 180 (east positive, so that indicated + deviation = magnetic), as
///     A + B sin t + C cos t + D sin 2t + E cos 2t,   t the indicated heading,
/// the exact coefficients of compass theory (NGA Handbook of Magnetic Compass Adjustment, 2004, chapter V; there t is the compass
/// heading too). Errors of the other sign (indicated minus actual, US Army TM 1-1500-204-23-4) are its negatives.
///
/// Least squares by QR; sigma from the residuals, and never below what the points' own sigma_deg states. Band: Scheffe's, sqrt(p F(p, dof))
/// times the standard error. pass: the whole band and every measured deviation lie inside the tolerance. fail: at some heading even the
/// band's inner edge is outside. Otherwise not_proven. Outliers: externally studentised residuals against Student's t at
/// (1 - confidence) shared out over the points (Bonferroni); a point is reported, never dropped.
///
/// Codes: too_few_points (points, needed: terms + 1), not_finite (point), heading_out_of_range (point), sigma_missing (point),
/// bad_sigma (point), bad_terms (terms), bad_tolerance, bad_confidence, bad_card_step, headings_do_not_span (rank, needed).
/// Points are numbered from 1 in problems.
Result<SwingFit> fit_swing(std::span<const SwingPoint> points, const SwingOptions& options);

/// The curve of a fit at an indicated heading, degrees.
double deviation_at(const SwingFit& fit, double indicated_deg);

/// "pass", "fail", "not_proven", "no_tolerance".
const char* to_text(SwingResult result);

} // namespace chockside::heading
