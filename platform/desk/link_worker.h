#pragma once
// The line of one job on its own thread: port, capture, decoder, requests, ground-test session, live state, recorder.
// Move it to a thread, then use slots and signals only (queued). Nothing here blocks on a disk.

#include <core/base/disk.h>
#include <core/base/json.h>
#include <core/base/time.h>
#include <core/codec/plan.h>
#include <core/link/permission.h>
#include <core/watch/recorder.h>

#include <QObject>
#include <QString>
#include <QVariantMap>

#include <functional>
#include <memory>
#include <string>

namespace chockside::desk {

struct LinkOptions {
    std::shared_ptr<const codec::Plan> plan;
    Disk* disk = nullptr;         ///< outlives the worker; used on the worker's own file thread only
    std::string capture_folder;   ///< made if missing; empty: no capture (tests of other things only)
    double time_scale = 1;        ///< practice: unit time runs this much faster than the wall
    link::Permission permission;
    bool reopen = true;           ///< try again, with growing pauses, after the port went away by itself
};

class LinkWorker : public QObject {
    Q_OBJECT
public:
    explicit LinkWorker(LinkOptions options, QObject* parent = nullptr);
    ~LinkWorker() override;

public slots:
    /// A name (ttyUSB0), a typed path or a symbolic link. Answers by `snapshot` (link silent, then good) or by `problem`.
    void open(const QString& port);
    void close();
    /// A request of the profile by name. Answers once by `answered` with the same tag.
    void request(const QString& name, const QVariantMap& args, const QString& tag);
    /// What a technician wants saved at once: identity, configuration and stored faults, as far as the profile has such requests.
    void read_all();
    void enter_session(const QString& channel);
    void leave_session();
    void set_permission(const chockside::link::Permission& permission);
    /// Flex test: the place that is being moved from now on; empty: hands off.
    void mark(const QString& place);
    void start_flex();
    void stop_flex();
    /// A remark into the capture.
    void comment(const QString& text);
    /// `then` is called, on any thread, as soon as the capture so far is on the disk.
    void save_capture(const std::function<void()>& then);
    /// Closes session, port and capture in this order; `stopped` when all is on the disk.
    void stop();

signals:
    void snapshot(std::shared_ptr<const chockside::watch::LiveSnapshot> now);
    void noted(chockside::watch::Noted note);
    /// outcome: {request, result: ok|refused|timed_out|not_allowed|failed, reason, mend, tries, pages:[{field: text}]}
    void answered(QString tag, chockside::json::Value outcome);
    /// A capture segment is complete: {path, sha256, bytes, packets}
    void sealed(chockside::json::Value segment);
    void problem(chockside::Problem what);
    void stopped();

private:
    class Impl;
    std::unique_ptr<Impl> impl_;
};

} // namespace chockside::desk
