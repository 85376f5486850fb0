#include <core/trust/sealing_disk.h>

#include <algorithm>

namespace chockside::trust {

namespace {

constexpr std::size_t chunk_most = std::size_t{256} << 10;

class SealedAppend final : public AppendFile {
public:
    SealedAppend(std::unique_ptr<AppendFile> under, SealingStream stream) : under_(std::move(under)), stream_(std::move(stream)), old_(under_->size()) {}
    ~SealedAppend() override
    {
        if (begun_ && !failed_) (void)under_->append(stream_.push({}, true));
    }

    Status append(ByteView bytes) override
    {
        if (old_ > 0) return fail("exists");
        if (!begun_)
            if (auto ok = put(stream_.header()); !ok) return ok;
        begun_ = true;
        while (!bytes.empty()) {
            const ByteView chunk = bytes.first(std::min(bytes.size(), chunk_most));
            bytes = bytes.subspan(chunk.size());
            if (auto ok = put(stream_.push(chunk)); !ok) return ok;
            size_ += chunk.size();
        }
        return {};
    }
    Status sync() override { return under_->sync(); }
    std::uint64_t size() const override { return old_ + size_; }

private:
    /// After half a chunk no other one could be read.
    Status put(const Bytes& bytes)
    {
        if (failed_) return fail("io_error", "capture");
        auto done = under_->append(bytes);
        failed_ = !done;
        return done;
    }

    std::unique_ptr<AppendFile> under_;
    SealingStream stream_;
    std::uint64_t old_, size_ = 0;
    bool begun_ = false, failed_ = false;
};

} // namespace

Result<std::unique_ptr<AppendFile>> SealingDisk::append_to(const std::string& path)
{
    auto under = under_.append_to(path + ending);
    if (!under) return under;
    return std::unique_ptr<AppendFile>(std::make_unique<SealedAppend>(std::move(*under), SealingStream(key_, number_)));
}

} // namespace chockside::trust
