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

/// The form of range that tablets use. A range outside of the file, and any of an empty one, is told as shops tell it: without their mark.
Answer ranged(const std::string& bytes, const std::string& range)
{
    const auto dash = range.find('-');
    const std::size_t first = std::stoul(range.substr(6, dash - 6)), last = std::stoul(range.substr(dash + 1));
    const std::string size = std::to_string(bytes.size());
    if (first >= bytes.size() || last < first) return {416, {{"content-range", "bytes */" + size}}, "Range Not Satisfiable"};
    Answer a = plain(206);
    a.body = bytes.substr(first, last - first + 1);
    a.headers["content-length"] = std::to_string(a.body.size());
    a.headers["content-range"] = "bytes " + std::to_string(first) + "-" + std::to_string(first + a.body.size() - 1) + "/" + size;
    return a;
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
    if (const std::string& range = header(r.headers, "range"); !range.empty()) return ranged(found->second, range);
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
    Upload& made = uploads[path] = {sha, device.author, std::stoll(header(r.headers, "upload-length")), {}};
    if (made.length == 0) static_cast<void>(finish(made));
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
