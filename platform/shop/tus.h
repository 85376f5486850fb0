#pragma once
// tus 1.0.0 (the resumable upload protocol) over Uploads: creation, creation-with-upload, checksum, expiration, termination.

#include <platform/shop/http.h>
#include <platform/shop/uploads.h>
#include <platform/shop/writer.h>

namespace chockside::shop {

/// Who sent a request, or the answer that refuses it. Runs where it may block.
using WhoSends = std::function<Result<std::string>(Reader&, const Head&)>;

class Tus {
public:
    /// `files`: threads for what the disk takes; `takers`: for who waits until another connection lets go, which itself needs one of `files`
    /// for that. `base`: "/v1/uploads".
    Tus(Uploads&, Workers& files, Workers& takers, WhoSends, const Clock&, std::string base);
    /// For requests to `base` and below it.
    Intake begin(const Head&, Reply, Hangup);

private:
    struct Upload;
    Intake create(const Head&, Reply, Hangup);
    Intake patch(const Head&, const std::string& id, Reply, Hangup);
    Intake look(const std::string& id, Reply, Hangup);
    Intake end(const std::string& id, Reply, Hangup);

    Uploads& uploads_;
    Workers& files_;
    Workers& takers_;
    WhoSends who_;
    const Clock& clock_;
    std::string base_;
};

/// "key base64,key base64": unique keys of printable ASCII without space or comma, values empty or base64. Nothing where it is malformed.
std::optional<Fields> upload_metadata(std::string_view);
/// "algorithm base64" of Upload-Checksum. Nothing where it is malformed.
struct Checksum {
    std::string algorithm, digest; ///< digest: bytes
};
std::optional<Checksum> upload_checksum(std::string_view);

} // namespace chockside::shop
