#include <platform/shop/sql.h>

namespace chockside::shop {

std::string cut(std::string_view text, std::size_t most)
{
    std::string out(text.substr(0, most));
    std::erase(out, '\0');
    while (!out.empty() && !is_utf8(out)) out.pop_back();
    return out;
}

std::int64_t Rows::number(std::size_t row, std::size_t column) const
{
    const auto* n = std::get_if<std::int64_t>(&cell(row, column));
    return n ? *n : 0;
}

const std::string& Rows::text(std::size_t row, std::size_t column) const
{
    static const std::string none;
    const auto* t = std::get_if<std::string>(&cell(row, column));
    return t ? *t : none;
}

} // namespace chockside::shop
