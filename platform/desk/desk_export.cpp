#include <platform/desk/desk_worker.h>
#include <platform/report/pdf.h>

#include <core/record/report.h>

namespace chockside::desk {

void DeskWorker::export_to(const QString& folder)
{
    if (!engine_ || !engine_->has_job()) return;
    const std::string base = folder.toStdString() + "/" + engine_->state().job;
    if (auto made = disk_.make_folder(folder.toStdString()); !made) {
        emit problem(made.error());
        return;
    }
    const std::string head = engine_->entries().empty() ? "" : engine_->entries().back().hash;
    const record::Report report = record::make_report(engine_->profile(), engine_->state(), engine_->view(), head);
    for (const auto& [paper, suffix] : {std::pair{report::Paper::a4, "-a4.pdf"}, std::pair{report::Paper::letter, "-letter.pdf"}})
        if (auto ok = report::write_pdf(report, paper, base + suffix); !ok) {
            emit problem(ok.error());
            return;
        }
    auto lines = engine_->store().export_job(engine_->state().job);
    if (!lines) {
        emit problem(lines.error());
        return;
    }
    if (auto ok = disk_.write_whole(base + ".jsonl", as_bytes(*lines)); !ok) {
        emit problem(ok.error());
        return;
    }
    emit exported(QString::fromStdString(base + "-a4.pdf"), QString::fromStdString(base + ".jsonl"));
}

} // namespace chockside::desk
