#include <core/profile/lint.h>

#include <algorithm>

namespace chockside::profile {

const std::vector<std::string>& abilities()
{
    static const std::vector<std::string> list{"arinc429", "paging", "text_lines", "cobs", "carried_length", "gap", "crc_parameters", "optional_fields", "open_repeats"};
    return list;
}

Complaints lint_whole(const Profile& p)
{
    Complaints out;
    const auto complain = [&](std::string pointer, const char* code, Problem::Args args) {
        out.push_back({{}, std::move(pointer), 0, 0, Severity::error, code, std::move(args), {}});
    };
    if (p.format > 1) complain("/format", "newer_format", {{"format", std::to_string(p.format)}});
    for (std::size_t i = 0; i < p.needs.size(); ++i)
        if (std::find(abilities().begin(), abilities().end(), p.needs[i]) == abilities().end())
            complain("/needs/" + std::to_string(i), "unknown_ability", {{"ability", p.needs[i]}});
    if (!p.practice && p.sources.empty()) complain("", "no_sources", {});
    return out;
}

} // namespace chockside::profile
