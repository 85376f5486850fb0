#include <platform/net/net_wire.h>

#include <platform/net/net_worker.h>

#include <QHostAddress>
#include <QUrl>

namespace chockside::net {

std::string flaw(const Shop& s)
{
    const QUrl url(QString::fromStdString(s.url), QUrl::StrictMode);
    if (!url.isValid() || url.host().isEmpty() || url.hasQuery() || url.hasFragment()) return "bad_url";
    if (url.scheme() == "https") return s.pins.empty() ? "no_pin" : "";
    if (url.scheme() != "http") return "bad_url";
    const QHostAddress address(url.host());
    return url.host() == "localhost" || (!address.isNull() && address.isLoopback()) ? "" : "plain_http";
}

NetWire::NetWire(Shop shop, QObject* context, Tell tell) : worker_(new NetWorker(std::move(shop)))
{
    qRegisterMetaType<sync::WireAnswer>("chockside::sync::WireAnswer");
    bell_.moveToThread(context->thread());
    worker_->moveToThread(&thread_);
    QObject::connect(worker_, &NetWorker::answered, &bell_, [tell = std::move(tell)](quint64 id, const sync::WireAnswer& a) { tell(id, a); });
    QObject::connect(&thread_, &QThread::finished, worker_, &QObject::deleteLater);
    thread_.setObjectName("sync");
    thread_.start();
}

NetWire::~NetWire()
{
    QMetaObject::invokeMethod(worker_, [w = worker_] { w->end(); }, Qt::BlockingQueuedConnection);
    thread_.quit();
    thread_.wait();
}

void NetWire::send(std::uint64_t id, sync::Request r, std::size_t most)
{
    QMetaObject::invokeMethod(worker_, [w = worker_, id, r = std::move(r), most] { w->send(id, r, most); }, Qt::QueuedConnection);
}

void NetWire::cancel(std::uint64_t id)
{
    QMetaObject::invokeMethod(worker_, [w = worker_, id] { w->cancel(id); }, Qt::QueuedConnection);
}

} // namespace chockside::net
