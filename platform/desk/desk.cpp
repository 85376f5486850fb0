#include <platform/desk/desk.h>
#include <platform/desk/desk_worker.h>

namespace chockside::desk {

Desk::Desk(DeskOptions options, QObject* parent) : QObject(parent), thread_(std::make_unique<QThread>()), worker_(new DeskWorker(std::move(options)))
{
    thread_->setObjectName("engine");
    worker_->moveToThread(thread_.get());
    connect(thread_.get(), &QThread::finished, worker_, &QObject::deleteLater);
    connect(worker_, &DeskWorker::rows, this, &Desk::rows);
    connect(worker_, &DeskWorker::saved, this, &Desk::saved);
    connect(worker_, &DeskWorker::problem, this, &Desk::problem);
    connect(worker_, &DeskWorker::exported, this, &Desk::exported);
    connect(worker_, &DeskWorker::people, this, &Desk::people);
    connect(worker_, &DeskWorker::key_kept, this, &Desk::key_kept);
    connect(worker_, &DeskWorker::queue, this, &Desk::queue);
    connect(worker_, &DeskWorker::carried, this, &Desk::carried);
    connect(worker_, &DeskWorker::taken_back, this, &Desk::taken_back);
    connect(worker_, &DeskWorker::locked, this, &Desk::locked);
    connect(worker_, &DeskWorker::here, this, &Desk::here);
    connect(worker_, &DeskWorker::counted, this, &Desk::counted);
    connect(worker_, &DeskWorker::profiles, this, &Desk::profiles);
    connect(worker_, &DeskWorker::from_shop, this, &Desk::from_shop);
    connect(worker_, &DeskWorker::port_checked, this, &Desk::port_checked);
    connect(worker_, &DeskWorker::history, this, &Desk::history);
    connect(worker_, &DeskWorker::history_saved, this, &Desk::history_saved);
    connect(worker_, &DeskWorker::view_changed, this, [this](std::shared_ptr<const job::JobView> view) {
        view_ = view;
        emit view_changed(view);
    });
    connect(worker_, &DeskWorker::live_changed, this, [this](std::shared_ptr<const watch::LiveSnapshot> live) {
        live_ = live;
        emit live_changed(live);
    });
    thread_->start();
}

Desk::~Desk()
{
    QMetaObject::invokeMethod(worker_, &DeskWorker::stop, Qt::BlockingQueuedConnection);
    thread_->quit();
    thread_->wait(5000);
}

void Desk::start()
{
    QMetaObject::invokeMethod(worker_, &DeskWorker::start);
}

void Desk::lock(bool idle)
{
    QMetaObject::invokeMethod(worker_, [w = worker_, idle] { w->lock(idle); });
}

void Desk::unlock(const QString& person, const QString& pin)
{
    QMetaObject::invokeMethod(worker_, [w = worker_, person, pin] { w->unlock(person, pin); });
}

void Desk::enrol_at_shop(const QString& code)
{
    QMetaObject::invokeMethod(worker_, [w = worker_, code] { w->enrol_at_shop(code); });
}

void Desk::carry(const QString& folder)
{
    QMetaObject::invokeMethod(worker_, [w = worker_, folder] { w->carry(folder); });
}

void Desk::take_back(const QString& folder)
{
    QMetaObject::invokeMethod(worker_, [w = worker_, folder] { w->take_back(folder); });
}

void Desk::try_shop()
{
    QMetaObject::invokeMethod(worker_, [w = worker_] { w->try_shop(); });
}

void Desk::check_port()
{
    QMetaObject::invokeMethod(worker_, &DeskWorker::check_port);
}

void Desk::list()
{
    QMetaObject::invokeMethod(worker_, &DeskWorker::publish_rows);
}

void Desk::search(const QString& words)
{
    QMetaObject::invokeMethod(worker_, [w = worker_, words] { w->search(words); });
}

void Desk::list_profiles()
{
    QMetaObject::invokeMethod(worker_, &DeskWorker::list_profiles);
}

void Desk::open_new(const job::Opening& opening, const QString& person, const QString& profile)
{
    QMetaObject::invokeMethod(worker_, [w = worker_, opening, person, profile] { w->open_new(opening, person, profile); });
}

void Desk::open_job(const QString& job)
{
    QMetaObject::invokeMethod(worker_, [w = worker_, job] { w->open_job(job); });
}

void Desk::set_port(const QString& port)
{
    QMetaObject::invokeMethod(worker_, [w = worker_, port] { w->set_port(port); });
}

void Desk::set_person(const QString& person)
{
    QMetaObject::invokeMethod(worker_, [w = worker_, person] { w->set_person(person); });
}

void Desk::press(const QString& prompt_id, const QString& answer, const json::Value& extra)
{
    QMetaObject::invokeMethod(worker_, [w = worker_, prompt_id, answer, extra] { w->press(prompt_id, answer, extra); });
}

void Desk::take_check(const QString& check)
{
    QMetaObject::invokeMethod(worker_, [w = worker_, check] { w->take_check(check); });
}

void Desk::submit(const job::Command& command)
{
    QMetaObject::invokeMethod(worker_, [w = worker_, command] { w->submit(command); });
}

void Desk::flex_mark(const QString& place)
{
    QMetaObject::invokeMethod(worker_, [w = worker_, place] { w->flex_mark(place); });
}

void Desk::ask_history(const trend::Ask& ask)
{
    QMetaObject::invokeMethod(worker_, [w = worker_, ask] { w->ask_history(ask); });
}

void Desk::watch_history(bool on)
{
    QMetaObject::invokeMethod(worker_, [w = worker_, on] { w->watch_history(on); });
}

void Desk::save_history(const QString& folder)
{
    QMetaObject::invokeMethod(worker_, [w = worker_, folder] { w->save_history(folder); });
}

void Desk::export_to(const QString& folder)
{
    QMetaObject::invokeMethod(worker_, [w = worker_, folder] { w->export_to(folder); });
}

void Desk::stop()
{
    QMetaObject::invokeMethod(worker_, &DeskWorker::stop);
}

} // namespace chockside::desk
