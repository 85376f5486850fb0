// Earlier readings of the open job: a worker on a thread of its own while somebody looks at them, gone with the job and with the lock.
#include <platform/desk/desk_worker.h>
#include <platform/desk/file_names.h>
#include <platform/desk/history_worker.h>

namespace chockside::desk {

Status DeskWorker::make_history()
{
    const auto plan = codec::Plan::compile(engine_->profile().unit);
    if (!plan) return Unexpected{plan.error()};
    auto vault = engine_->store().reading_vault();
    if (!vault) return Unexpected{vault.error()};
    history_ = new HistoryWorker({options_.data_folder + "/captures/" + engine_->state().job, *plan, std::move(*vault), &disk_});
    history_thread_ = std::make_unique<QThread>();
    history_thread_->setObjectName("files");
    history_->moveToThread(history_thread_.get());
    connect(history_, &HistoryWorker::seen, this, &DeskWorker::history);
    connect(history_, &HistoryWorker::saved, this, &DeskWorker::history_saved);
    connect(history_, &HistoryWorker::problem, this, &DeskWorker::problem);
    connect(history_thread_.get(), &QThread::finished, history_, &QObject::deleteLater);
    history_thread_->start(QThread::LowPriority);
    return {};
}

void DeskWorker::ask_history(const trend::Ask& ask)
{
    if (barred() || !engine_->has_job()) return;
    if (!history_)
        if (auto ok = make_history(); !ok) {
            emit problem(ok.error());
            return;
        }
    QMetaObject::invokeMethod(history_, [w = history_, ask] { w->ask(ask); });
}

void DeskWorker::watch_history(bool on)
{
    if (history_) QMetaObject::invokeMethod(history_, [w = history_, on] { w->watch(on); });
}

void DeskWorker::save_history(const QString& folder)
{
    if (barred() || !history_) return;
    if (auto made = disk_.make_folder(folder.toStdString()); !made) {
        emit problem(made.error());
        return;
    }
    const QString path = folder + "/" + QString::fromStdString(export_stem(engine_->state().tail, engine_->state().job) + "-readings.csv");
    QMetaObject::invokeMethod(history_, [w = history_, path] { w->save(path); });
}

void DeskWorker::drop_history()
{
    if (!history_thread_) return;
    disconnect(history_, nullptr, this, nullptr);
    history_thread_->quit();
    history_thread_->wait();
    history_thread_.reset();
    history_ = nullptr;
}

} // namespace chockside::desk
