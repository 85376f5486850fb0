#include <core/watch/pages.h>

#include <core/units/decimal.h>

#include <algorithm>
#include <cmath>
#include <cstdio>

namespace chockside::watch {

namespace {

int decimals_of(double scale)
{
    int n = 0;
    for (double s = std::abs(scale); n < 9 && s > 0 && std::abs(s - std::round(s)) > 1e-9 * s + 1e-12; s *= 10) ++n;
    return n;
}

std::string hex_text(std::uint64_t raw, int digits)
{
    char out[24];
    std::snprintf(out, sizeof out, "0x%0*llX", digits, static_cast<unsigned long long>(raw));
    return out;
}

int hex_digits(profile::FieldType type)
{
    using T = profile::FieldType;
    switch (type) {
    case T::u8: case T::i8: return 2;
    case T::u16: case T::i16: return 4;
    case T::u24: return 6;
    default: return 8;
    }
}

std::string text_of(const profile::Unit& unit, const profile::Field& field, const codec::Observation& o)
{
    if (field.show == "hex") return hex_text(o.raw, hex_digits(field.type));
    if (const auto names = unit.enums.find(field.enumeration); names != unit.enums.end())
        if (const auto name = names->second.find(o.raw); name != names->second.end()) return name->second;
    if (std::isnan(o.value)) return "";
    return fixed_text(o.value, decimals_of(field.scale));
}

const profile::Frame* frame_of(const profile::Unit& unit, std::string_view name)
{
    for (const auto& f : unit.frames)
        if (f.name == name) return &f;
    return nullptr;
}

/// Puts one observation of a fault row where it belongs, by the name of its field.
void fill(StoredFault& fault, const profile::Unit& unit, std::string_view field, const codec::Observation& o)
{
    if (field == unit.faults.code_field) {
        fault.code = hex_text(o.raw, 4);
        if (const auto said = unit.faults.table.find(o.raw); said != unit.faults.table.end()) fault.id = said->second.id;
    }
    if (std::isnan(o.value)) return;
    const auto whole = static_cast<std::int64_t>(std::llround(o.value));
    if (field == "count") fault.count = whole;
    if (field == "at") fault.at_s = whole;
    if (field == "power_up") fault.power_up = whole;
    if (field == "age") fault.age_s = whole;
    if (field == "active" || (field.size() > 7 && field.substr(field.size() - 7) == ".active")) fault.active = o.raw != 0;
}

} // namespace

std::map<std::string, std::string> page_of(const codec::Plan& plan, std::string_view frame, std::span<const codec::Observation> observations, const Texts& texts)
{
    std::map<std::string, std::string> page;
    const auto* shape = frame_of(plan.unit(), frame);
    if (!shape) return page;
    const std::size_t prefix = frame.size() + 1;
    for (const auto& [name, text] : texts) page[name.substr(std::min(prefix, name.size()))] = text;
    for (const auto& o : observations) {
        const std::string field = plan.signals()[o.signal].name.substr(prefix);
        const profile::Field* of = nullptr;
        for (const auto& f : shape->fields)
            if (f.name == field) of = &f;
        page[field] = of ? text_of(plan.unit(), *of, o) : std::to_string(o.raw);
    }
    return page;
}

std::vector<StoredFault> faults_of(const codec::Plan& plan, std::span<const codec::Observation> observations)
{
    std::vector<StoredFault> faults;
    const auto& unit = plan.unit();
    const std::string prefix = unit.faults.frame + "." + (unit.faults.group.empty() ? "" : unit.faults.group + ".");
    std::optional<codec::SignalId> first;
    for (const auto& o : observations) {
        const std::string& name = plan.signals()[o.signal].name;
        if (name.compare(0, prefix.size(), prefix) != 0) continue;
        if (!first) first = o.signal;
        if (o.signal == *first) faults.emplace_back();
        fill(faults.back(), unit, std::string_view(name).substr(prefix.size()), o);
    }
    return faults;
}

} // namespace chockside::watch
