#include <platform/cli/swing_command.h>

#include <core/base/json.h>
#include <core/heading/swing_csv.h>
#include <core/heading/swing_json.h>
#include <platform/cli/command.h>

#include <CLI/CLI.hpp>

#include <iomanip>
#include <iostream>

namespace chockside::cli {

namespace {

struct Options {
    std::string file;
    double tolerance = 0;
    heading::SwingOptions fit;
};

void print(const heading::SwingFit& fit)
{
    std::cout << std::fixed << std::setprecision(2);
    for (const heading::SwingTerm& t : fit.coefficients) std::cout << t.name << "  " << std::setw(7) << t.value_deg << " +- " << t.se_deg << " deg\n";
    std::cout << "one point: " << fit.sigma_deg << " deg; worst " << fit.worst.value_deg << " deg at " << fit.worst.heading_deg << " ("
              << fit.worst.lower_deg << " to " << fit.worst.upper_deg << ")\n";
    for (int i : fit.outliers) std::cout << "point " << i + 1 << " does not fit the others\n";
    std::cout << "result: " << heading::to_text(fit.result) << "\n";
    if (fit.next_heading_deg) std::cout << "next heading worth adding: " << *fit.next_heading_deg << " deg\n";
    for (const heading::CardRow& r : fit.card) std::cout << "for " << std::setw(3) << r.for_deg << " steer " << std::setw(3) << r.steer_deg << "\n";
}

int swing(const Options& o, const Run& run)
{
    const auto text = text_of(o.file);
    if (!text) return say(text.error(), run);
    const auto points = heading::read_swing_csv(*text);
    if (!points) return say(points.error(), run);
    heading::SwingOptions options = o.fit;
    if (o.tolerance > 0) options.tolerance_deg = o.tolerance;
    const auto fit = heading::fit_swing(*points, options);
    if (!fit) return say(fit.error(), run);
    if (run.json)
        std::cout << json::write(heading::swing_to_json(*fit)) << "\n";
    else
        print(*fit);
    return fit->result == heading::SwingResult::fail ? 1 : 0;
}

} // namespace

void add_swing_command(CLI::App& app, Run& run)
{
    const auto options = std::make_shared<Options>();
    CLI::App* c = app.add_subcommand("swing", "Deviation from a table reference_deg,indicated_deg[,sigma_deg]");
    add_json(*c, run);
    c->add_option("FILE", options->file, "The table, as CSV")->required();
    c->add_option("--tolerance", options->tolerance, "From the installation's data, degrees; without it none is stated")->check(CLI::PositiveNumber);
    c->add_option("--terms", options->fit.terms, "Which coefficients, for example ABC");
    c->add_flag("--robust", options->fit.robust, "Bisquare estimate instead of least squares");
    c->callback([options, &run] { run.code = swing(*options, run); });
}

} // namespace chockside::cli
