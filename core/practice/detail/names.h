#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace chockside::practice::detail {

/// "REF 1", "ref_1" and "Ref-1" are one name: letters and digits count, case doesn't.
bool same_name(std::string_view a, std::string_view b);

/// Words between blanks; a mark at the end of a word ("J1-A,") is dropped.
std::vector<std::string> words_of(std::string_view text);

bool contains_name(std::string_view text, std::string_view name);

} // namespace chockside::practice::detail
