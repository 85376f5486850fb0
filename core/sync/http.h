#pragma once
// A request and its answer as the core sees them: what HTTP, the simulated wire, a file and a QR series carry alike.

#include <cstdint>
#include <map>
#include <string>
#include <string_view>

namespace chockside::sync {

/// Names in lower case; values without line breaks.
using Headers = std::map<std::string, std::string>;

struct Request {
    std::string method;  ///< GET HEAD PUT POST PATCH
    std::string target;  ///< path and query, from "/v1/"
    Headers headers;
    std::string body;
};

struct Answer {
    int status = 0;
    Headers headers;
    std::string body;
};

/// The value of a header, or empty.
const std::string& header(const Headers&, std::string_view name);

/// Path and query of a target; values are percent-decoded (a malformed one leaves `ok` false). A name that comes twice: not ok.
struct Target {
    std::string path;
    std::map<std::string, std::string> query;
    bool ok = true;
};
Target split_target(std::string_view target);

} // namespace chockside::sync
