#pragma once

#include <platform/net/net_wire.h>

#include <QNetworkAccessManager>
#include <QNetworkReply>

#include <map>
#include <memory>

namespace chockside::net {

/// Lives on the network thread.
class NetWorker final : public QObject {
    Q_OBJECT
public:
    explicit NetWorker(Shop shop) : shop_(std::move(shop)) {}

    void send(std::uint64_t id, const sync::Request&, std::size_t most);
    void cancel(std::uint64_t id);
    void end();

signals:
    void answered(quint64 id, chockside::sync::WireAnswer answer);

private:
    struct Open {
        QNetworkReply* reply = nullptr;
        std::size_t most = 0;
        std::string body = {};
        std::optional<sync::WireFault> fault = {};
    };
    void take(std::uint64_t id);
    void finish(std::uint64_t id);
    void look_at_key(std::uint64_t id);
    bool pinned(const QNetworkReply&) const;

    Shop shop_;
    std::unique_ptr<QNetworkAccessManager> manager_;
    std::map<std::uint64_t, Open> open_;
};

} // namespace chockside::net
