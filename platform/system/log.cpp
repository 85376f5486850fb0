#include <platform/system/log.h>

#include <core/base/json.h>
#include <core/base/time.h>

namespace chockside::system {

Log::Log(Disk& disk, std::string path, std::uint64_t most) : disk_(disk), path_(std::move(path)), most_(most)
{
    (void)disk_.make_folder(path_.substr(0, path_.rfind('/')));
}

void Log::turn()
{
    file_.reset();
    if (const auto full = disk_.read(path_, 2 * most_)) (void)disk_.write_whole(path_ + ".1", *full);
    (void)disk_.remove(path_);
}

void Log::write(std::int64_t utc_ms, const std::string& event, const Problem::Args& args)
{
    json::Value line(json::Object{{"time", to_rfc3339(utc_ms)}, {"event", event}});
    for (const auto& [name, value] : args) line.at(name) = value;
    const std::string text = json::write(line) + "\n";
    if (file_ && file_->size() + text.size() > most_) turn();
    if (!file_)
        if (auto opened = disk_.append_to(path_)) file_ = std::move(*opened);
    if (file_) (void)file_->append(as_bytes(text));
}

void Log::write(std::int64_t utc_ms, const Problem& problem)
{
    Problem::Args args = problem.args;
    args.emplace_back("place", problem.place);
    write(utc_ms, problem.code, args);
}

} // namespace chockside::system
