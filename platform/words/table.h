#pragma once

#include <string>
#include <vector>

namespace chockside::words {

struct Row {
    std::string code, message, mend;
};
const std::vector<Row>& table();

} // namespace chockside::words
