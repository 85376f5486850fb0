#pragma once
// A local socket that takes one JSON object a line and answers with one.

#include <core/base/json.h>
#include <core/base/result.h>

#include <functional>
#include <memory>
#include <poll.h>
#include <string>
#include <vector>

namespace chockside::practice {

class LineSocket {
public:
    using Handler = std::function<json::Value(const json::Value&)>;

    /// Listens at `path`; a stale socket there is replaced. Codes: socket_failed, socket_path (longer than the system allows).
    static Result<std::unique_ptr<LineSocket>> listen(const std::string& path);
    ~LineSocket();
    LineSocket(const LineSocket&) = delete;
    LineSocket& operator=(const LineSocket&) = delete;

    const std::string& path() const { return path_; }
    bool heard() const { return !speakers_.empty(); }   ///< somebody is connected
    void add_to(std::vector<pollfd>& wanted) const;
    /// Accepts, reads, answers and writes whatever is possible without waiting. A line that isn't JSON is answered with an error; a
    /// speaker of more than 64 kB without an end of line is dropped.
    void serve(const Handler& handler);

private:
    struct Speaker {
        int fd = -1;
        std::string in, out;
        bool gone = false;
    };

    LineSocket() = default;
    void accept_all();
    void read_from(Speaker& speaker, const Handler& handler);
    void write_to(Speaker& speaker);

    int fd_ = -1;
    std::string path_;
    std::vector<Speaker> speakers_;
};

} // namespace chockside::practice
