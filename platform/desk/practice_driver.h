#pragma once
// Starts the practice aircraft as a process of its own and speaks with its hands-and-eyes socket, without ever blocking the caller.

#include <core/base/json.h>

#include <QLocalSocket>
#include <QObject>
#include <QProcess>
#include <QString>

#include <deque>
#include <functional>
#include <memory>

namespace chockside::desk {

class PracticeDriver : public QObject {
    Q_OBJECT
public:
    using Answer = std::function<void(const json::Value&)>;

    explicit PracticeDriver(QObject* parent = nullptr);
    ~PracticeDriver() override;

    /// `program`: the command line tool beside the app. `folder` takes the socket and the link to the pseudo-terminal.
    /// `seed` draws the fault, where none is named, and how strong it is; it stays inside that process.
    void start(const QString& program, const QString& profile, const QString& folder, std::uint64_t seed, const QString& fault, double scale);
    /// The aircraft that an earlier run of the app left standing in `folder`: it goes on as it is. `failed` where there is none.
    void attach(const QString& folder);
    void stop();
    bool running() const { return socket_ && socket_->state() == QLocalSocket::ConnectedState; }
    /// One request of the protocol; the answer comes later, in order.
    void ask(const json::Value& request, Answer answer = {});

signals:
    /// {"pty", "socket", "seed"}: the port may be opened now.
    void ready(const chockside::json::Value& where);
    void failed(const QString& why);

private:
    void connect_to(const json::Value& where);
    void read_process();
    void read_socket();

    std::unique_ptr<QProcess> process_;
    std::unique_ptr<QLocalSocket> socket_;
    std::deque<Answer> waiting_;
    QByteArray line_;
    json::Value where_;
};

} // namespace chockside::desk
