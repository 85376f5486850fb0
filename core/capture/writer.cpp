#include <core/capture/writer.h>

#include <algorithm>
#include <cstdio>

namespace chockside::capture {

Writer::Writer(Disk& disk, WriterOptions options) : disk_(disk), options_(std::move(options)) {}

Writer::~Writer()
{
    if (file_) (void)finish();
}

std::string Writer::next_path()
{
    char number[16];
    std::snprintf(number, sizeof number, "-%04d", ++number_);
    return options_.folder + "/" + options_.stem + number + ".pcapng";
}

Status Writer::halt(const Problem& problem)
{
    stopped_ = problem.code;
    lost_ += buffer_.size();
    buffer_.clear();
    file_.reset();
    return Unexpected{problem};
}

Status Writer::start()
{
    if (const Status made = disk_.make_folder(options_.folder); !made) return halt(made.error());
    return begin_segment();
}

Status Writer::begin_segment()
{
    path_ = next_path();
    auto file = disk_.append_to(path_);
    // An older file of that name belongs to another run: it is evidence and is never continued.
    while (file && (*file)->size() > 0) {
        path_ = next_path();
        file = disk_.append_to(path_);
    }
    if (!file) return halt(file.error());
    file_ = std::move(*file);
    digest_ = std::make_unique<trust::Sha256>();
    in_segment_ = packets_ = 0;
    write_section(options_.about, buffer_);
    return flush(false);
}

Status Writer::add(const Packet& packet)
{
    if (!file_) {
        lost_ += packet.bytes.size();
        return fail(stopped_.empty() ? "capture_not_started" : stopped_, path_);
    }
    last_t_ns_ = packet.t_ns;
    write_packet(packet, buffer_);
    ++packets_;
    if (buffer_.size() >= options_.buffer_bytes)
        if (const Status out = flush(false); !out) return out;
    if (in_segment_ + buffer_.size() < options_.segment_bytes) return {};
    if (const Status ended = end_segment(); !ended) return ended;
    return begin_segment();
}

Status Writer::flush(bool sync)
{
    if (!file_) return stopped_.empty() ? Status{} : Status(fail(stopped_, path_));
    if (!buffer_.empty()) {
        if (const Status out = file_->append(buffer_); !out) return halt(out.error());
        digest_->add(buffer_);
        in_segment_ += buffer_.size();
        total_ += buffer_.size();
        buffer_.clear();
    }
    if (!sync) return {};
    if (const Status on_medium = file_->sync(); !on_medium) return halt(on_medium.error());
    return {};
}

Status Writer::end_segment()
{
    Packet last;
    last.t_ns = last_t_ns_;
    last.event = Event::complete;
    write_packet(last, buffer_);
    ++packets_;
    if (const Status out = flush(true); !out) return out;
    seals_.push_back({path_, to_hex(digest_->done()), in_segment_, packets_});
    file_.reset();
    return {};
}

Status Writer::finish()
{
    if (!file_) return stopped_.empty() ? Status{} : Status(fail(stopped_, path_));
    return end_segment();
}

std::vector<Seal> Writer::take_seals()
{
    return std::exchange(seals_, {});
}

} // namespace chockside::capture
