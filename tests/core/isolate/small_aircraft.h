#pragma once
// A model written for the tests alone: nine causes, eight checks. Likelihoods are common practice, no source.

#include <core/isolate/isolate.h>

namespace chockside::tests {

using isolate::Check;
using isolate::Density;
using isolate::Row;

inline Check asked(const std::string& id, std::vector<std::string> outcomes, const std::vector<std::vector<double>>& rows, double minutes = 5)
{
    Check c;
    c.id = id;
    c.outcomes = std::move(outcomes);
    for (const auto& r : rows) c.given.push_back({r, {}});
    c.minutes = minutes;
    return c;
}

/// The same rows whether the fault shows or not: a look, a lever, a memory.
inline Check lasting(Check c)
{
    c.absent = c.given;
    return c;
}

inline isolate::Model small_aircraft()
{
    isolate::Model m;
    m.causes = {{"unit", "unit", "box", 4, "hard"}, {"sensor", "sensor", "tip", 3, "hard"}, {"wet_plug", "contact", "p9", 4, "conditional"},
        {"loose_pin", "contact", "j1", 3, "intermittent"}, {"wire", "wiring", "w7", 3, "intermittent"}, {"feed", "supply", "", 3, "conditional"},
        {"data", "configuration", "box", 2, "hard"}, {"none", "none", "", 5, "hard"}, {"unlisted", "unlisted", "", 1, "hard"}};
    const std::vector<double> quiet{.03, .97}, loud{.90, .10}, even{.5, .5}, freak{.01, .99};
    Check flag = asked("flag", {"flag", "steady"}, {loud, loud, {.8, .2}, {.8, .2}, {.8, .2}, {.6, .4}, quiet, quiet, even}, 10);
    flag.absent = {{loud, {}}, {loud, {}}, {quiet, {}}, {quiet, {}}, {quiet, {}}, {quiet, {}}, {quiet, {}}, {quiet, {}}, {even, {}}};
    const std::vector<double> still{.02, .02, .96};
    Check flex = lasting(asked("flex", {"at_j1", "at_w7", "steady"}, {still, still, {.1, .1, .8}, {.8, .05, .15}, {.05, .8, .15}, still, still, still, {.33, .33, .34}}, 20));
    flex.panel = "rack";
    flex.access_minutes = 10;
    flex.people = 2;
    Check look = lasting(asked("look", {"wet", "dry"}, {quiet, quiet, loud, quiet, quiet, quiet, quiet, quiet, even}, 8));
    look.panel = "tip";
    look.access_minutes = 30;
    Check code = lasting(asked("code", {"each", "never"}, {loud, quiet, quiet, quiet, quiet, quiet, quiet, quiet, even}, 20));
    Check tail = lasting(asked("tail", {"other", "right"}, {freak, freak, freak, freak, freak, freak, {.98, .02}, freak, even}, 2));
    Check winding = lasting(asked("winding", {"unequal", "equal"}, {quiet, loud, quiet, quiet, quiet, quiet, quiet, quiet, even}, 15));
    Check volts;
    volts.id = "volts";
    volts.minutes = 15;
    volts.panel = "rack";
    volts.access_minutes = 10;
    for (const auto& cause : m.causes) volts.given.push_back({{}, Density{Density::Kind::normal, cause.id == "feed" ? 22.0 : 27.5, cause.id == "feed" ? 1.5 : 0.5}});
    Check history = lasting(asked("history", {"stored", "not"}, {even, loud, loud, loud, loud, quiet, quiet, quiet, even}, 6));
    m.checks = {flag, flex, look, code, tail, winding, volts, history};
    return m;
}

inline isolate::Evidence answer(const std::string& check, const std::string& outcome, isolate::Presence presence = isolate::Presence::showing, std::vector<std::string> disturbed = {})
{
    return {check + ":" + outcome, check, outcome, {}, presence, std::move(disturbed)};
}

inline double p_of(const isolate::Posterior& p, const std::string& cause)
{
    for (const auto& l : p.likelihood)
        if (l.causes.size() == 1 && l.causes.front() == cause) return l.p;
    return -1;
}

} // namespace chockside::tests
