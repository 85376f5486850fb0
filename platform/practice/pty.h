#pragma once
// The unit's end of a pseudo-terminal: the tool opens the other end like any serial port.

#include <core/base/bytes.h>
#include <core/base/result.h>

#include <memory>
#include <string>

namespace chockside::practice {

class Pty {
public:
    /// Makes the pair and, unless `link` is empty, a symbolic link to the slave (a link of that name is replaced, a file is not).
    /// Codes: pty_failed, pty_link (place = path).
    static Result<std::unique_ptr<Pty>> open(const std::string& link);
    ~Pty();
    Pty(const Pty&) = delete;
    Pty& operator=(const Pty&) = delete;

    int fd() const { return master_; }
    const std::string& path() const { return link_.empty() ? slave_ : link_; }
    /// Whether somebody has the other end open.
    bool listened() const;
    /// Speed that the other end set, bit/s; 0 when it is none of the usual ones.
    double rate() const;
    /// Whatever has arrived; empty when nothing has.
    Bytes read();
    /// Bytes taken by the terminal, from the front.
    std::size_t write(ByteView bytes);

private:
    Pty() = default;
    int master_ = -1;
    std::string slave_, link_;
};

} // namespace chockside::practice
