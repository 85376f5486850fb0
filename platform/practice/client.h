#pragma once

#include <core/base/json.h>
#include <core/base/result.h>

#include <memory>
#include <string>

namespace chockside::practice {

/// Speaks with a practice aircraft over its socket and waits for each answer, at most five seconds.
class Client {
public:
    /// Code: no_practice (place = path).
    static Result<std::unique_ptr<Client>> connect(const std::string& socket_path);
    ~Client();
    Client(const Client&) = delete;
    Client& operator=(const Client&) = delete;

    /// Codes: practice_gone, practice_silent, json_*.
    Result<json::Value> ask(const json::Value& request);

private:
    Client() = default;
    int fd_ = -1;
    std::string in_;
};

} // namespace chockside::practice
