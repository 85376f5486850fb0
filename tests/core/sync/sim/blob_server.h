#pragma once
// The uploads and blobs of the simulated shop: tus 1.0 as PROTOCOL.md needs it, with what a crash leaves.

#include <core/sync/receive.h>

#include <map>

namespace chockside::sim {

struct BlobServer {
    struct Upload {
        std::string sha256, device;
        std::int64_t length = 0;
        std::string bytes;
    };
    std::map<std::string, Upload> uploads;   ///< by path
    std::map<std::string, std::string> blobs;
    long went_back = 0, wrong = 0;           ///< I8
    int next = 1;

    /// Nothing where the request is not for this side.
    std::optional<sync::Answer> answer(sync::Receive&, const sync::Request&);

private:
    sync::Answer make(const sync::Device&, const sync::Request&);
    sync::Answer patch(Upload&, const sync::Request&);
    bool finish(Upload&);
};

} // namespace chockside::sim
