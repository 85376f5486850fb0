#pragma once
// The wire over Qt's network classes, on a thread of its own: TLS 1.3 with the shop's pinned keys, no redirects, no decompression, no
// cookies, 20 s without a byte ends a request. Plain HTTP reaches a loopback address only.

#include <core/sync/wire.h>

#include <QObject>
#include <QThread>

#include <functional>
#include <string>
#include <vector>

namespace chockside::net {

struct Shop {
    std::string url;               ///< scheme, host and port; a path before /v1 is kept
    std::vector<std::string> pins; ///< base64 of SHA-256 of a SubjectPublicKeyInfo (RFC 7469, section 2.4)
    int stall_ms = 20'000;
};

/// Empty, or why that address is not used: "bad_url", "plain_http" (anything but loopback), "no_pin" (TLS without one).
std::string flaw(const Shop&);

class NetWorker;

class NetWire final : public sync::Wire {
public:
    using Tell = std::function<void(std::uint64_t, sync::WireAnswer)>;
    /// `tell` is called on the thread of `context`, from its event loop, and never after this object has gone.
    NetWire(Shop, QObject* context, Tell tell);
    ~NetWire() override;
    void send(std::uint64_t id, sync::Request, std::size_t most) override;
    void cancel(std::uint64_t id) override;

private:
    QThread thread_;
    NetWorker* worker_;
    QObject bell_; ///< lives on the thread of `context`; with it go the answers that still wait
};

} // namespace chockside::net
