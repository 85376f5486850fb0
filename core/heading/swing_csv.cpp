#include <core/heading/swing_csv.h>

#include <core/units/decimal.h>

#include <algorithm>
#include <array>

namespace chockside::heading {
namespace {

constexpr std::array<std::string_view, 3> columns{"reference_deg", "indicated_deg", "sigma_deg"};
constexpr std::string_view byte_order_mark = "\xEF\xBB\xBF";

using Fields = std::vector<std::string_view>;

Unexpected<Problem> at_line(const char* code, int line, Problem::Args more = {})
{
    more.insert(more.begin(), {"line", std::to_string(line)});
    return fail(code, {}, std::move(more));
}

std::string_view trim(std::string_view text)
{
    const auto first = text.find_first_not_of(" \t\r");
    return first == std::string_view::npos ? std::string_view() : text.substr(first, text.find_last_not_of(" \t\r") - first + 1);
}

Fields split(std::string_view line, char at)
{
    Fields fields;
    for (std::size_t from = 0; from <= line.size();) {
        const auto end = std::min(line.find(at, from), line.size());
        fields.push_back(trim(line.substr(from, end - from)));
        from = end + 1;
    }
    return fields;
}

Result<Fields> read_header(std::string_view line, int number)
{
    if (line.find(';') != std::string_view::npos) return at_line("semicolon", number);
    const Fields names = split(line, ',');
    for (std::size_t k = 0; k < names.size(); ++k)
        if (k >= columns.size() || names[k] != columns[k]) {
            if (k == 0) return at_line("no_header", number);
            return at_line("unknown_column", number, {{"column", std::string(names[k])}});
        }
    return names.size() < 2 ? Result<Fields>(at_line("no_header", number)) : Result<Fields>(names);
}

bool is_whole(std::string_view field)
{
    while (field.starts_with('"')) field.remove_prefix(1); // "12,5" in quotes came apart too
    while (field.ends_with('"')) field.remove_suffix(1);
    const auto digits = field.substr(field.starts_with('-') || field.starts_with('+') ? 1 : 0);
    return !digits.empty() && digits.find_first_not_of("0123456789") == std::string_view::npos;
}

/// 12,5,13,0 for 12.5 and 13.0: fields of whole numbers alone, and too many of them.
bool looks_decimal_comma(const Fields& fields, std::size_t expected)
{
    if (fields.size() <= expected || fields.size() > 2 * expected) return false;
    for (const auto field : fields)
        if (!is_whole(field)) return false;
    return true;
}

Unexpected<Problem> wrong_count(const Fields& fields, std::size_t expected, int line)
{
    if (looks_decimal_comma(fields, expected)) return at_line("decimal_comma", line);
    return at_line("wrong_field_count", line, {{"fields", std::to_string(fields.size())}, {"expected", std::to_string(expected)}});
}

/// The line's numbers, in range.
Result<std::array<double, 3>> read_numbers(const Fields& fields, int line)
{
    std::array<double, 3> numbers{};
    for (std::size_t k = 0; k < fields.size(); ++k) {
        const Problem::Args at{{"column", std::string(columns[k])}, {"text", std::string(fields[k])}};
        const auto number = read_decimal(fields[k]);
        if (!number) return at_line("not_a_number", line, at);
        numbers[k] = number->to_double();
        if (k < 2 && !(numbers[k] >= 0 && numbers[k] <= 360)) return at_line("heading_out_of_range", line, at);
        if (k == 2 && !(numbers[k] > 0)) return at_line("bad_sigma", line, {at[1]});
    }
    return numbers;
}

Result<SwingPoint> read_point(std::string_view text, std::size_t expected, int line)
{
    if (text.find(';') != std::string_view::npos) {
        const bool comma = text.find(',') != std::string_view::npos;
        return at_line(comma ? "decimal_comma" : "semicolon", line);
    }
    const Fields fields = split(text, ',');
    if (fields.size() != expected) return wrong_count(fields, expected, line);
    const auto numbers = read_numbers(fields, line);
    if (!numbers) return Unexpected{numbers.error()};
    SwingPoint point{(*numbers)[0], (*numbers)[1], {}};
    if (expected == 3) point.sigma_deg = (*numbers)[2];
    return point;
}

} // namespace

Result<std::vector<SwingPoint>> read_swing_csv(std::string_view text)
{
    if (text.starts_with(byte_order_mark)) text.remove_prefix(byte_order_mark.size());
    std::vector<SwingPoint> points;
    std::size_t expected = 0;
    int number = 0;
    for (const auto raw : split(text, '\n')) {
        const auto line = trim(raw);
        ++number;
        if (line.empty() || line.starts_with('#')) continue;
        if (expected == 0) {
            const auto header = read_header(line, number);
            if (!header) return Unexpected{header.error()};
            expected = header->size();
            continue;
        }
        auto point = read_point(line, expected, number);
        if (!point) return Unexpected{point.error()};
        points.push_back(*point);
    }
    if (expected == 0) return at_line("no_header", number);
    if (points.empty()) return at_line("no_points", number);
    return points;
}

} // namespace chockside::heading
