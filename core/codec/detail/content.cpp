#include <core/codec/detail/content.h>

#include <algorithm>

namespace chockside::codec::detail {

using profile::Field;

std::size_t repetitions(const FieldValue& v)
{
    if (const auto* groups = std::get_if<std::vector<FieldValues>>(&v.content)) return groups->size();
    if (const auto* words = std::get_if<std::vector<std::uint32_t>>(&v.content)) return words->size();
    return 1;
}

namespace {

std::string counter_of(const Field& f)
{
    return f.repeat_count.empty() ? f.length_field : f.repeat_count;
}

std::size_t counted(const FieldValue& v)
{
    const std::string* text = std::get_if<std::string>(&v.content);
    return text ? text->size() : repetitions(v);
}

} // namespace

Status add_counts(const std::vector<Field>& fields, FieldValues& values)
{
    for (const Field& f : fields) {
        const auto found = values.find(f.name);
        if (counter_of(f).empty() || found == values.end()) continue;
        const auto n = static_cast<double>(counted(found->second));
        const bool here = std::any_of(fields.begin(), fields.end(), [&](const Field& other) { return other.name == counter_of(f); });
        if (!here) continue;
        const auto [counter, made] = values.emplace(counter_of(f), FieldValue(n));
        const double* told = std::get_if<double>(&counter->second.content);
        if (!told || *told != n) return fail("count_mismatch", f.name);
    }
    return {};
}

} // namespace chockside::codec::detail
