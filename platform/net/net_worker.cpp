#include <platform/net/net_worker.h>

#include <core/trust/trust.h>

#include <QSslCertificate>
#include <QSslConfiguration>
#include <QSslKey>
#include <QUrl>

#include <algorithm>

namespace chockside::net {

using sync::WireFault;

void NetWorker::send(std::uint64_t id, const sync::Request& r, std::size_t most)
{
    if (!manager_) {
        manager_ = std::make_unique<QNetworkAccessManager>();
        manager_->setRedirectPolicy(QNetworkRequest::ManualRedirectPolicy);
        manager_->setAutoDeleteReplies(false);
    }
    QNetworkRequest request(QUrl::fromEncoded(QByteArray::fromStdString(shop_.url + r.target), QUrl::StrictMode));
    request.setTransferTimeout(shop_.stall_ms);
    request.setAttribute(QNetworkRequest::Http2AllowedAttribute, false);
    request.setAttribute(QNetworkRequest::CookieLoadControlAttribute, QNetworkRequest::Manual);
    request.setAttribute(QNetworkRequest::CookieSaveControlAttribute, QNetworkRequest::Manual);
    request.setAttribute(QNetworkRequest::CacheLoadControlAttribute, QNetworkRequest::AlwaysNetwork);
    request.setAttribute(QNetworkRequest::CacheSaveControlAttribute, false);
    request.setRawHeader("Accept-Encoding", "identity"); // a given value keeps Qt from unpacking answers
    QSslConfiguration tls = QSslConfiguration::defaultConfiguration();
    tls.setProtocol(QSsl::TlsV1_3OrLater);
    request.setSslConfiguration(tls);
    for (const auto& [name, value] : r.headers) request.setRawHeader(QByteArray::fromStdString(name), QByteArray::fromStdString(value));
    if (!r.body.empty() && r.headers.find("content-type") == r.headers.end()) request.setHeader(QNetworkRequest::ContentTypeHeader, "application/octet-stream");
    const QByteArray body = QByteArray::fromStdString(r.body);
    QNetworkReply* reply = r.method == "GET" ? manager_->get(request) : r.method == "HEAD" ? manager_->head(request) : manager_->sendCustomRequest(request, QByteArray::fromStdString(r.method), body);
    open_[id] = {reply, most};
    connect(reply, &QNetworkReply::encrypted, this, [this, id] { look_at_key(id); });
    connect(reply, &QNetworkReply::sslErrors, this, [this, id, reply](const QList<QSslError>&) {
        // Dates and names don't matter where the key is the pinned one, and only there.
        if (pinned(*reply)) reply->ignoreSslErrors();
        else if (const auto o = open_.find(id); o != open_.end()) o->second.fault = WireFault::not_shop;
    });
    connect(reply, &QNetworkReply::readyRead, this, [this, id] { take(id); });
    connect(reply, &QNetworkReply::finished, this, [this, id] { finish(id); });
}

bool NetWorker::pinned(const QNetworkReply& reply) const
{
    const QByteArray key = reply.sslConfiguration().peerCertificate().publicKey().toDer();
    if (key.isEmpty()) return false;
    const std::string pin = to_base64(trust::sha256(as_bytes({key.constData(), static_cast<std::size_t>(key.size())})));
    return std::find(shop_.pins.begin(), shop_.pins.end(), pin) != shop_.pins.end();
}

/// Before a byte of the request has left.
void NetWorker::look_at_key(std::uint64_t id)
{
    const auto o = open_.find(id);
    if (o == open_.end() || pinned(*o->second.reply)) return;
    o->second.fault = WireFault::not_shop;
    o->second.reply->abort();
}

void NetWorker::take(std::uint64_t id)
{
    const auto o = open_.find(id);
    if (o == open_.end()) return;
    const QByteArray bytes = o->second.reply->readAll();
    o->second.body.append(bytes.constData(), static_cast<std::size_t>(bytes.size()));
    if (o->second.body.size() <= o->second.most) return;
    o->second.fault = WireFault::too_long;
    o->second.reply->abort();
}

namespace {

std::optional<WireFault> fault_of(const QNetworkReply& reply, bool has_status)
{
    using Error = QNetworkReply::NetworkError;
    switch (reply.error()) {
    case Error::NoError: return {};
    case Error::SslHandshakeFailedError: return WireFault::not_shop;
    case Error::TimeoutError:
    case Error::OperationCanceledError: return WireFault::stalled; // what setTransferTimeout() ends
    case Error::RemoteHostClosedError: return WireFault::cut;
    case Error::ConnectionRefusedError:
    case Error::HostNotFoundError:
    case Error::TemporaryNetworkFailureError:
    case Error::NetworkSessionFailedError:
    case Error::UnknownNetworkError: return WireFault::no_route;
    default: return has_status && reply.error() >= Error::ContentAccessDenied ? std::optional<WireFault>() : std::optional<WireFault>(WireFault::cut);
    }
}

} // namespace

void NetWorker::finish(std::uint64_t id)
{
    take(id);
    const auto o = open_.find(id);
    if (o == open_.end()) return;
    QNetworkReply* reply = o->second.reply;
    const QVariant status = reply->attribute(QNetworkRequest::HttpStatusCodeAttribute);
    sync::WireAnswer a;
    a.fault = o->second.fault ? o->second.fault : fault_of(*reply, status.isValid());
    if (!a.fault && !status.isValid()) a.fault = WireFault::cut;
    a.answer.status = status.toInt();
    for (const auto& [name, value] : reply->rawHeaderPairs()) a.answer.headers[name.toLower().toStdString()] = value.toStdString();
    a.answer.body = std::move(o->second.body);
    open_.erase(o);
    reply->deleteLater();
    emit answered(id, std::move(a));
}

void NetWorker::cancel(std::uint64_t id)
{
    const auto o = open_.find(id);
    if (o == open_.end()) return;
    QNetworkReply* reply = o->second.reply;
    open_.erase(o);
    reply->abort();
    reply->deleteLater();
}

void NetWorker::end()
{
    while (!open_.empty()) cancel(open_.begin()->first);
    manager_.reset();
}

} // namespace chockside::net
