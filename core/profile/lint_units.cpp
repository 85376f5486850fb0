// Units that contradict what is measured.
#include <core/profile/detail/node.h>
#include <core/profile/lint.h>

#include <algorithm>
#include <map>

namespace chockside::profile {

namespace {

using Units = std::map<std::string, std::vector<std::string>>;

bool fits(const Units& table, const std::string& what, const std::string& unit)
{
    const auto found = table.find(what);
    return found == table.end() || unit.empty() || std::find(found->second.begin(), found->second.end(), unit) != found->second.end();
}

Objection mismatch(std::string pointer, const std::string& of, const std::string& unit, const std::string& wanted)
{
    return {{}, std::move(pointer), 0, 0, Severity::error, "unit_mismatch", {{"of", of}, {"unit", unit}, {"wanted", wanted}}, {}};
}

std::string first_of(const Units& table, const std::string& what)
{
    return table.at(what).front();
}

const Units& by_meter()
{
    static const Units table{{"volts", {"V", "mV"}}, {"ohms", {"ohm", "mohm", "kohm"}}, {"megohms", {"Mohm"}}, {"amps", {"A", "mA"}},
        {"degrees", {"deg"}}, {"celsius", {"degC"}}};
    return table;
}

const Units& by_quantity()
{
    static const Units table{{"heading_magnetic", {"deg", "rad"}}, {"heading_true", {"deg", "rad"}}, {"heading_uncorrected", {"deg", "rad"}},
        {"pitch", {"deg", "rad"}}, {"roll", {"deg", "rad"}}, {"field_horizontal", {"nT", "uT", "G"}}, {"field_vertical", {"nT", "uT", "G"}},
        {"turn_rate", {"deg/s", "rad/s"}}, {"altitude", {"ft", "m"}}, {"airspeed", {"kt", "m/s", "km/h"}}};
    return table;
}

std::string word_of(const Check& c)
{
    return c.from.starts_with("word:") ? c.from.substr(5, c.from.find('.') - 5) : std::string();
}

} // namespace

Complaints lint_word_units(const Unit& unit)
{
    Complaints out;
    for (const Word& w : unit.words)
        if (!fits(by_quantity(), w.quantity, w.unit))
            out.push_back(mismatch(detail::below("/words", w.name) + "/unit", w.quantity, w.unit, first_of(by_quantity(), w.quantity)));
    return out;
}

Complaints lint_check_units(const Profile& p)
{
    Complaints out;
    for (const Check& c : p.installation.checks) {
        const std::string at = detail::below("/checks", c.id) + "/unit";
        if (!fits(by_meter(), c.meter, c.unit)) out.push_back(mismatch(at, c.meter, c.unit, first_of(by_meter(), c.meter)));
        for (const Word& w : p.unit.words)
            if (w.name == word_of(c) && !c.unit.empty() && !w.unit.empty() && c.unit != w.unit) out.push_back(mismatch(at, c.from, c.unit, w.unit));
    }
    return out;
}

} // namespace chockside::profile
