#include <platform/desk/desk_worker.h>
#include <platform/desk/file_names.h>
#include <platform/report/pdf.h>

#include <core/record/report.h>

#include <chrono>
#include <future>

namespace chockside::desk {

/// What the line said up to now is in the files; a disk that doesn't answer holds nobody up.
void DeskWorker::save_capture()
{
    constexpr std::chrono::seconds patience{5};
    if (!link_) return;
    const auto saved = std::make_shared<std::promise<void>>();
    QMetaObject::invokeMethod(link_, [w = link_, saved] { w->save_capture([saved] { saved->set_value(); }); });
    (void)saved->get_future().wait_for(patience);
}

/// What the line said, as ordinary network analysers read it.
Status DeskWorker::export_captures(const std::string& to)
{
    constexpr std::uint64_t segment_most = 64u << 20;
    const std::string from = options_.data_folder + "/captures/" + engine_->state().job, ending = trust::SealingDisk::ending;
    const auto names = disk_.list(from);
    if (!names) return names.error().code == "not_found" ? Status{} : Status(Unexpected{names.error()});
    if (auto made = disk_.make_folder(to); !made) return made;
    save_capture();
    for (const std::string& name : *names) {
        if (!name.ends_with(ending)) continue;
        const auto sealed = disk_.read(from + "/" + name, segment_most);
        const auto plain = sealed ? engine_->store().unseal_file(*sealed) : Result<trust::Unsealed>(Unexpected{sealed.error()});
        if (!plain) return Unexpected{plain.error()};
        if (auto kept = disk_.write_whole(to + "/" + name.substr(0, name.size() - ending.size()), plain->bytes); !kept) return kept;
    }
    return {};
}

void DeskWorker::export_to(const QString& folder)
{
    if (barred() || !engine_->has_job()) return;
    const std::string base = folder.toStdString() + "/" + export_stem(engine_->state().tail, engine_->state().job);
    if (auto made = disk_.make_folder(folder.toStdString()); !made) {
        emit problem(made.error());
        return;
    }
    const std::string head = engine_->entries().empty() ? "" : engine_->entries().back().hash;
    const record::Report report = record::make_report(engine_->profile(), engine_->state(), engine_->view(), head);
    for (const auto& [paper, suffix] : {std::pair{report::Paper::a4, "-a4.pdf"}, std::pair{report::Paper::letter, "-letter.pdf"}})
        if (auto ok = report::write_pdf(report, paper, disk_, base + suffix); !ok) {
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
    if (auto ok = export_captures(base + "-captures"); !ok) {
        emit problem(ok.error());
        return;
    }
    emit exported(QString::fromStdString(base + "-a4.pdf"), QString::fromStdString(base + ".jsonl"));
}

} // namespace chockside::desk
