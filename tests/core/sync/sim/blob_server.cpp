#include <tests/core/sync/sim/blob_server.h>

#include <algorithm>

namespace chockside::sim {

using namespace sync;

namespace {

Answer plain(int status, Headers headers = {})
{
    headers["tus-resumable"] = "1.0.0";
    headers["chockside-protocol"] = "1";
    return {status, std::move(headers), {}};
}

} // namespace

std::optional<Answer> BlobServer::answer(Receive& receive, const Request& r)
{
    if (const auto upload = uploads.find(r.target); upload != uploads.end()) {
        if (r.method == "PATCH") return patch(upload->second, r);
        return plain(200, {{"upload-offset", std::to_string(upload->second.bytes.size())}, {"upload-length", std::to_string(upload->second.length)}});
    }
    if (r.target.starts_with("/v1/uploads/")) return plain(404);
    const bool make_one = r.target == "/v1/uploads", blob = r.target.starts_with("/v1/blobs/");
    if (!make_one && !blob) return {};
    const auto device = receive.who(r.headers);
    if (!device) return device.error();
    if (make_one) return make(*device, r);
    const std::string sha = r.target.substr(10);
    const auto found = blobs.find(sha);
    if (found == blobs.end()) return plain(404);
    if (r.method == "HEAD") return plain(200, {{"content-length", std::to_string(found->second.size())}});
    const auto may = receive.may_read(*device, sha);
    if (!may || !*may) return plain(may ? 403 : 503);
    Answer a = plain(200, {{"content-length", std::to_string(found->second.size())}});
    a.body = found->second;
    return a;
}

Answer BlobServer::make(const Device& device, const Request& r)
{
    const std::string& meta = header(r.headers, "upload-metadata");
    const auto name = from_base64(meta.substr(7, meta.find(',') - 7));
    const std::string sha = name ? to_text(*name) : std::string();
    for (const auto& [path, u] : uploads)
        if (u.sha256 == sha && u.device == device.author) return plain(201, {{"location", path}});
    const std::string path = "/v1/uploads/" + std::to_string(next++);
    uploads[path] = {sha, device.author, std::stoll(header(r.headers, "upload-length")), {}};
    return plain(201, {{"location", path}});
}

Answer BlobServer::patch(Upload& u, const Request& r)
{
    const std::string before = std::to_string(u.bytes.size());
    if (header(r.headers, "upload-offset") != before) return plain(409);
    if (header(r.headers, "upload-checksum") != "sha256 " + to_base64(trust::sha256(as_bytes(r.body)))) return plain(460);
    if (static_cast<std::int64_t>(u.bytes.size() + r.body.size()) > u.length) return plain(413);
    u.bytes += r.body;
    if (static_cast<std::int64_t>(u.bytes.size()) == u.length && !finish(u)) return plain(460);
    return plain(204, {{"upload-offset", std::to_string(u.bytes.size())}});
}

bool BlobServer::finish(Upload& u)
{
    if (trust::sha256_hex(as_bytes(u.bytes)) != u.sha256) {
        u.bytes.clear();
        return false;
    }
    blobs[u.sha256] = u.bytes;
    return true;
}

} // namespace chockside::sim
