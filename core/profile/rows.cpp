#include <core/profile/rows.h>

#include <algorithm>
#include <cctype>

namespace chockside::profile {

namespace {

std::string with_place(std::string text, const std::string& place)
{
    const std::string mark = "{place}";
    for (auto at = text.find(mark); at != std::string::npos; at = text.find(mark, at + place.size())) text.replace(at, mark.size(), place);
    return text;
}

bool ends_at(const std::string& end, const Place& place)
{
    const std::string plug = end.substr(0, end.find('-'));
    return plug == place.label || plug == place.id;
}

/// Metres of wire in a segment, wire ends at a connector.
double amount(const Installation& in, const Place& place)
{
    double sum = 0;
    for (const Wire& w : in.wires) {
        if (place.kind == "segment") sum += w.segment == place.id ? w.length_m : 0;
        else sum += (ends_at(w.from, place) ? 1 : 0) + (ends_at(w.to, place) ? 1 : 0);
    }
    return sum;
}

Cause cause_at(const WiringCause& kind, const Place& place, double share)
{
    Cause c;
    c.id = kind.id + "_" + place.id;
    c.cause_class = kind.cause_class;
    c.at = place.id;
    c.weight = kind.weight * share;
    for (const auto& [complaint, weight] : kind.weight_by_complaint) c.weight_by_complaint[complaint] = weight * share;
    c.mode = kind.mode;
    c.says = kind.says;
    for (auto& [language, text] : c.says.by_language) text = with_place(text, place.label);
    c.repair = with_place(kind.repair.in(), place.id);
    c.kind = kind.id;
    c.ref = kind.ref;
    return c;
}

} // namespace

const CheckRow* row_for(const std::vector<CheckRow>& rows, const Cause& c)
{
    const std::string patterns[] = {c.id, "at:" + c.at, "kind:" + c.kind, std::string("class:") + name_of(c.cause_class), "*"};
    for (const std::string& pattern : patterns)
        for (const CheckRow& row : rows)
            if (row.of == pattern) return &row;
    return nullptr;
}

void add_wiring_causes(Installation& in)
{
    for (const WiringCause& kind : in.wiring_causes) {
        std::vector<const Place*> places;
        double all = 0;
        for (const std::string& id : kind.at)
            if (const Place* place = find(in.places, id)) {
                places.push_back(place);
                all += amount(in, *place);
            }
        for (const Place* place : places)
            in.causes.push_back(cause_at(kind, *place, all > 0 ? amount(in, *place) / all : 1.0 / static_cast<double>(places.size())));
    }
}

} // namespace chockside::profile
