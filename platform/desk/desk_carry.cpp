#include <platform/desk/desk_worker.h>

#include <core/sync/carry.h>

namespace chockside::desk {

namespace {

/// In the file, and in the series: 300 symbols are read in two minutes.
constexpr std::size_t file_most = 64u << 20, symbol_bytes = 600, series_most = 300 * symbol_bytes;

/// The second ending is that of pages before AUTHOR-SEQ.receipts.
bool comes_back(const std::string& name)
{
    return name.ends_with(".receipts") || name.ends_with(".chockside-receipts");
}

Problem told_of(const std::string& name, const Problem& p)
{
    if (p.code == "message_malformed") return {"bad_receipts", name, {}};
    return p.code == "not_shop" ? Problem{"other_shop", name, {}} : p;
}

} // namespace

void DeskWorker::carry(const QString& folder)
{
    if (barred()) return;
    const auto all = shop_->carry(file_most);
    const auto few = all ? shop_->carry(series_most - 1000) : all; // the file's first line takes the rest
    const auto symbols = few ? sync::symbols_of(sync::text(few->handover), symbol_bytes) : Result<std::vector<std::string>>(Unexpected{few.error()});
    if (!symbols) {
        emit problem(symbols.error());
        return;
    }
    const std::string base = folder.toStdString(), path = base + "/" + engine_->store().author().substr(0, 8) + "-" + std::to_string(all->first) + "-" + std::to_string(all->last) + ".chockside";
    Status kept = disk_.make_folder(base);
    if (kept) kept = disk_.write_whole(path, as_bytes(sync::text(all->handover)));
    if (!kept) {
        emit problem(kept.error());
        return;
    }
    Carrying c{QString::fromStdString(path), all->first, all->last, few->last, {}};
    for (const auto& s : *symbols) c.symbols.append(QString::fromStdString(s));
    emit carried(c);
}

void DeskWorker::take_back(const QString& folder)
{
    if (!shop_) {
        barred();
        emit taken_back(0); // who asked is told, whatever stood in the way
        return;
    }
    if (shop_->view().busy) {
        back_from_ = folder;
        return;
    }
    const std::string base = folder.toStdString();
    const auto names = disk_.list(base);
    if (!names && names.error().code != "not_found") {
        emit problem(names.error());
        return;
    }
    int files = 0;
    std::optional<Problem> bad; // one of many keeps no other from being read
    for (const std::string& name : names ? *names : std::vector<std::string>()) {
        if (!comes_back(name)) continue;
        const auto bytes = disk_.read(base + "/" + name, sync::limits::answer);
        const auto ok = bytes ? shop_->take_back(to_text(*bytes)) : Status(Unexpected{bytes.error()});
        if (ok) ++files;
        else bad = told_of(name, ok.error());
    }
    emit taken_back(files);
    if (bad) emit problem(*bad);
}

} // namespace chockside::desk
