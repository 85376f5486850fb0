// Why is nothing heard? The port check beside the desk's own line, which lets go of the port for it.
#include <platform/desk/desk_worker.h>
#include <platform/desk/port_look.h>

namespace chockside::desk {

void DeskWorker::check_port()
{
    constexpr double listen_s = 3;
    if (barred() || !engine_->has_job() || (check_thread_ && check_thread_->isRunning())) return;
    if (port_.isEmpty()) {
        emit problem(Problem{"port_not_chosen", "port", {}});
        return;
    }
    const auto profile = engine_->shared_profile();
    const auto plan = codec::Plan::compile(profile->unit);
    if (!plan) {
        emit problem(plan.error());
        return;
    }
    if (pending_ && pending_->verb == "link") pending_.reset();
    if (link_) QMetaObject::invokeMethod(link_, &LinkWorker::close, Qt::BlockingQueuedConnection);
    check_thread_.reset(QThread::create([this, port = port_, plan = *plan, profile] {
        const link::PortFacts facts = look_at_port(port, plan, listen_s);
        PortChecked checked{port, link::check_port(facts, *profile), static_cast<qint64>(facts.bytes), static_cast<qint64>(facts.good_frames), QString::fromStdString(facts.part)};
        QMetaObject::invokeMethod(this, [this, checked] { emit port_checked(checked); });
    }));
    check_thread_->start();
    publish();
}

} // namespace chockside::desk
