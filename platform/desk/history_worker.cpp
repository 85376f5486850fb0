#include <platform/desk/history_worker.h>

#include <core/trend/csv.h>
#include <core/trust/sealed_file.h>
#include <core/trust/sealing_disk.h>

#include <algorithm>

namespace chockside::desk {

namespace {

constexpr std::uint64_t segment_most = 64u << 20;
constexpr int look_every_ms = 1000;

} // namespace

HistoryWorker::HistoryWorker(HistoryOptions options) : options_(std::move(options)) {}

void HistoryWorker::watch(bool on)
{
    watched_ = on;
    if (!timer_) {
        timer_ = std::make_unique<QTimer>();
        timer_->setSingleShot(true);
        connect(timer_.get(), &QTimer::timeout, this, &HistoryWorker::turn);
    }
    on ? timer_->start(0) : timer_->stop();
}

void HistoryWorker::ask(const trend::Ask& ask)
{
    if (!viewer_) {
        auto opened = trend::Trend::open(":memory:", trend::series_of(*options_.plan), {64, 1u << 20});
        if (!opened) {
            emit problem(opened.error());
            return;
        }
        trend_ = std::move(*opened);
        growing_ = std::make_unique<trend::Growing>(*trend_, options_.plan);
        viewer_ = std::make_unique<trend::Viewer>(*trend_);
    }
    tell(viewer_->answer(ask));
}

void HistoryWorker::tell(trend::Seen seen)
{
    seen.taken_in = segments_ == 0 ? 1 : static_cast<double>(read_) / static_cast<double>(segments_);
    seen.trouble = trouble_;
    seen.left_out = left_out_;
    last_ = seen;
    emit this->seen(std::make_shared<const trend::Seen>(std::move(seen)));
}

void HistoryWorker::turn()
{
    if (!watched_ || !viewer_) return;
    const bool more = next_segment();
    timer_->start(more ? 0 : look_every_ms);
}

/// True: another one waits.
bool HistoryWorker::next_segment()
{
    const auto listed = options_.disk->list(options_.folder);
    if (!listed) return false;
    std::vector<std::string> names;
    std::ranges::copy_if(*listed, std::back_inserter(names), [](const std::string& n) { return n.ends_with(trust::SealingDisk::ending); });
    std::ranges::sort(names);
    const std::size_t before = names.size() - std::min(names.size(), options_.most_segments);
    if (current_.empty()) left_out_ = before;
    names.erase(names.begin(), names.begin() + static_cast<std::ptrdiff_t>(left_out_));
    segments_ = names.size();
    const auto at = std::ranges::lower_bound(names, current_);
    if (at == names.end()) return false;
    const bool last = at + 1 == names.end();
    const auto file = options_.disk->read(options_.folder + "/" + *at, segment_most);
    if (file && last && *at == current_ && file->size() == size_) return false;
    size_ = file ? file->size() : 0;
    const auto plain = file ? trust::unseal_file(*options_.vault, *file) : Result<trust::Unsealed>(Unexpected{file.error()});
    const auto took = plain ? growing_->take(at->substr(0, at->find('.')), plain->bytes) : Result<bool>(Unexpected{plain.error()});
    if (!took) trouble_ = took.error().code;
    read_ = static_cast<std::size_t>(at - names.begin()) + 1;
    current_ = last ? *at : *(at + 1);
    viewer_->grew();
    tell(viewer_->answer({}));
    return !last;
}

void HistoryWorker::save(const QString& path)
{
    if (!viewer_) return;
    if (auto ok = write_csv(path.toStdString()); !ok) {
        emit problem(ok.error());
        return;
    }
    emit saved(path);
}

Status HistoryWorker::write_csv(const std::string& path) const
{
    std::vector<trend::SeriesId> ids;
    for (const auto& lane : last_.lanes) ids.push_back(lane.plot.series);
    (void)options_.disk->remove(path);
    auto file = options_.disk->append_to(path);
    if (!file) return Unexpected{file.error()};
    std::string waiting;
    const auto put = [&](std::string_view text) -> Status {
        waiting += text;
        if (waiting.size() < (256u << 10)) return {};
        auto kept = (*file)->append(as_bytes(waiting));
        waiting.clear();
        return kept;
    };
    const auto& w = last_.window;
    if (const auto done = trend::write_csv(*trend_, ids, w.from_ns, w.to_ns, put); !done) return Unexpected{done.error()};
    if (auto kept = (*file)->append(as_bytes(waiting)); !kept) return kept;
    return (*file)->sync();
}

} // namespace chockside::desk
