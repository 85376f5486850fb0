#pragma once
// A request and its answer as the rooms of the receiver see them, and what they say before a body is read.

#include <cstdint>
#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace chockside::shop {

using Fields = std::vector<std::pair<std::string, std::string>>;

/// What stands before the body. Names of fields are in lower case; a name that came twice has its values joined by ", ", except where that
/// is refused (host, content-length, authorization, cookie count once).
struct Head {
    std::string method;  ///< as sent, or as X-HTTP-Method-Override says where the route allows it
    std::string target;  ///< path and query as sent
    std::string path;    ///< percent-decoded; "" where it is malformed, or has a dot segment, a NUL or a backslash
    std::string query;   ///< as sent, without "?"
    Fields fields;
    std::string peer;    ///< address of the other end; behind a proxy what it says
    bool secure = false; ///< TLS here, or said by the trusted proxy
    std::optional<std::uint64_t> length; ///< Content-Length

    const std::string& field(std::string_view name) const;
    bool has(std::string_view name) const;
    /// A value of the query, percent-decoded; empty where it lacks, is malformed or comes twice.
    std::string value(std::string_view name) const;
};

struct Request : Head {
    std::string body;
};

/// An open file to send: read at its own place, closed with the last owner.
struct FileBody {
    std::shared_ptr<const int> fd;
    std::uint64_t offset = 0, length = 0;
};

struct Response {
    int status = 200;
    Fields fields;
    std::string body;
    std::optional<FileBody> file;
    bool close = false;          ///< end the connection after it
    std::uint64_t head_length = 0; ///< Content-Length of an answer to HEAD

    Response& set(std::string name, std::string value)
    {
        fields.emplace_back(std::move(name), std::move(value));
        return *this;
    }
};

Response plain(int status, std::string text = {});
Response json_answer(int status, std::string text);
const char* reason(int status);

/// Answers once; calls after the first are dropped. May be called on any thread.
using Reply = std::function<void(Response)>;

/// Takes a body as it comes. All calls come one after another.
class Sink {
public:
    virtual ~Sink() = default;
    /// Calls `next` (any thread) when it can take more; true: go on reading. False: an answer was given and the rest is not wanted.
    virtual void write(std::string bytes, std::function<void(bool)> next) = 0;
    /// The whole body came.
    virtual void end() = 0;
    /// It did not: the connection ended or stalled.
    virtual void broken() = 0;
};

/// What is decided when the head of a request is there.
struct Intake {
    std::optional<Response> refuse = {};                      ///< answered at once
    std::uint64_t most = 0;                                ///< body, bytes; more is 413
    std::shared_ptr<Sink> sink = {};                        ///< takes the body; else it is collected
    std::function<void(Request&&, Reply)> handle = {};        ///< with the body collected
};

/// Ends the connection that a request came by, from any thread; nothing where it has ended.
using Hangup = std::function<void()>;

class Application {
public:
    virtual ~Application() = default;
    /// On the thread of the connections: must not block. A sink answers by `reply`.
    virtual Intake begin(const Head&, Reply reply, Hangup) = 0;
    /// One line for the access log and the figures.
    virtual void done(const Head&, int status, std::uint64_t bytes) = 0;
};

/// Percent-decodes; nothing where the text is malformed. `plus` turns "+" into a space (forms).
std::optional<std::string> percent_decoded(std::string_view text, bool plus = false);
/// Everything but letters, digits, "-", ".", "_" and "~" as %XX.
std::string percent_encoded(std::string_view text);
/// Of secrets: takes as long wherever they differ; the length may be told.
bool same(std::string_view a, std::string_view b);
/// Names and values of application/x-www-form-urlencoded; nothing where it is malformed or has more than 200.
std::optional<Fields> form_fields(std::string_view body);
/// Names and values of multipart/form-data, names of files left out; nothing where it is malformed, has more than 20 parts or one with a transfer
/// encoding.
std::optional<Fields> multipart_fields(std::string_view content_type, std::string_view body);
/// RFC 9110's IMF-fixdate: "Sun, 06 Nov 1994 08:49:37 GMT".
std::string http_date(std::int64_t utc_ms);
/// The value of a cookie in a Cookie field; empty where it lacks or comes twice.
std::string cookie(std::string_view field, std::string_view name);

} // namespace chockside::shop
