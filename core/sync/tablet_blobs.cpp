// Attachments: asked for by name, sent by tus 1.0 in checked chunks, taken in by ranges.
#include <core/sync/detail/contact.h>

#include <algorithm>
#include <charconv>

namespace chockside::sync {

namespace {

constexpr const char* tus = "1.0.0";
constexpr std::size_t look_at = 64; ///< files in one contact, each way
constexpr std::size_t blob_most = 512u << 20;

std::optional<std::int64_t> number(const std::string& t)
{
    std::int64_t n = 0;
    const auto [end, bad] = std::from_chars(t.data(), t.data() + t.size(), n);
    if (t.empty() || bad != std::errc() || end != t.data() + t.size() || n < 0) return {};
    return n;
}

/// The size of the file of which a Content-Range names a part.
std::optional<std::int64_t> size_in(const std::string& range)
{
    const auto slash = range.rfind('/');
    return slash == std::string::npos ? std::nullopt : number(range.substr(slash + 1));
}

/// The path of a Location, absolute or not; empty where it leads anywhere but to an upload.
std::string path_of(std::string location)
{
    if (const auto scheme = location.find("://"); scheme != std::string::npos) {
        const auto slash = location.find('/', scheme + 3);
        location = slash == std::string::npos ? std::string() : location.substr(slash);
    }
    const bool plain = std::all_of(location.begin(), location.end(), [](char c) { return c > ' ' && c < 127; });
    return location.starts_with("/v1/uploads/") && plain && location.size() < 512 ? location : std::string();
}

} // namespace

/// What was begun first, then what comes behind the last one that was not there: files that are long in coming keep nobody waiting.
std::vector<std::string> Tablet::Inside::in_turn(std::vector<std::string> missing) const
{
    std::erase_if(missing, [this](const std::string& sha) { return blobs_failed.contains(sha); });
    std::sort(missing.begin(), missing.end());
    std::rotate(missing.begin(), std::upper_bound(missing.begin(), missing.end(), absent), missing.end());
    if (const auto begun = std::find(missing.begin(), missing.end(), part_of); begun != missing.end()) std::rotate(missing.begin(), begun, begun + 1);
    if (missing.size() > look_at) missing.resize(look_at);
    return missing;
}

bool Tablet::Inside::look_for_blobs()
{
    constexpr std::size_t wanted_most = 10'000; // names only
    auto found = store.blobs_to_send(look_at + kept_here.size());
    auto missing = store.blobs_wanted(wanted_most);
    if (!found || !missing) return failed(!found ? found.error().code : missing.error().code), false;
    for (auto& b : *found)
        if (!kept_here.contains(b.sha256)) blobs.push_back(std::move(b));
    const auto order = in_turn(std::move(*missing));
    wanted.assign(order.begin(), order.end());
    blobs_looked = true;
    blob_tries = 0;
    return true;
}

bool Tablet::Inside::ask_blob()
{
    if (!blobs_looked && !look_for_blobs()) return true;
    if (blobs.empty()) up = {};
    if (blobs.empty() || waits(up)) return false;
    blob_offset = 0;
    send(Step::blob_ask, {"HEAD", "/v1/blobs/" + blobs.front().sha256, {}, {}});
    return true;
}

void Tablet::Inside::blob_over()
{
    Change c;
    c.blobs_there = {blobs.front().sha256};
    c.upload = {blobs.front().sha256, ""};
    if (!keep(c)) return;
    progress();
    up = {};
    blobs.pop_front();
    blob_tries = 0;
    blob_offset = 0;
    next();
}

void Tablet::Inside::blob_asked(const Answer& a)
{
    const auto under_way = known.uploads.find(blobs.front().sha256);
    if (a.status == 200) return blob_over();
    if (a.status != 404) return put_off(way(), "not_shop");
    if (under_way == known.uploads.end()) return make_upload();
    send(Step::blob_where, {"HEAD", under_way->second, {{"tus-resumable", tus}}, {}});
}

void Tablet::Inside::make_upload()
{
    if (++blob_tries > 3) return put_off(up, "upload");
    const Blob& b = blobs.front();
    const std::string meta = "sha256 " + to_base64(as_bytes(b.sha256)) + ",media " + to_base64(as_bytes(b.media));
    send(Step::blob_make, {"POST", "/v1/uploads", {{"tus-resumable", tus}, {"upload-length", std::to_string(b.size)}, {"upload-metadata", meta}}, {}});
}

/// Shown; the others go on.
void Tablet::Inside::keep_here(std::string why)
{
    kept_here[blobs.front().sha256] = std::move(why);
    blobs.pop_front();
    next();
}

void Tablet::Inside::blob_made(const Answer& a)
{
    const std::string location = path_of(header(a.headers, "location"));
    if (a.status == 413 || a.status == 400 || a.status == 403) return keep_here("refused_file");
    if (a.status != 201 || location.empty()) return put_off(way(), "not_shop");
    Change c;
    c.upload = {blobs.front().sha256, location};
    if (!keep(c)) return;
    send(Step::blob_where, {"HEAD", location, {{"tus-resumable", tus}}, {}});
}

void Tablet::Inside::blob_where(const Answer& a)
{
    const std::string& sha = blobs.front().sha256;
    if (a.status == 404 || a.status == 410 || a.status == 403) {
        Change c;
        c.upload = {sha, ""};
        return keep(c) ? make_upload() : void();
    }
    const auto at = number(header(a.headers, "upload-offset"));
    if (a.status / 100 != 2 || !at || *at > blobs.front().size) return put_off(way(), "not_shop");
    blob_offset = *at;
    if (blob_offset == blobs.front().size) return blob_over();
    send_chunk();
}

void Tablet::Inside::send_chunk()
{
    const Blob& b = blobs.front();
    const auto bytes = store.read_blob(b.sha256, blob_offset, settings.chunk);
    if (!bytes || bytes->empty()) return keep_here(bytes ? "io_error" : bytes.error().code);
    const auto upload = known.uploads.find(b.sha256);
    if (upload == known.uploads.end()) return make_upload();
    Headers h{{"tus-resumable", tus}, {"content-type", "application/offset+octet-stream"}, {"upload-offset", std::to_string(blob_offset)},
        {"upload-checksum", "sha256 " + to_base64(trust::sha256(*bytes))}};
    send(Step::blob_send, {"PATCH", upload->second, std::move(h), to_text(*bytes)});
}

void Tablet::Inside::blob_sent(const Answer& a)
{
    const auto upload = known.uploads.find(blobs.front().sha256);
    const bool again = a.status == 409 || a.status == 460; // somebody else sent it too, or it was harmed on the way
    if (again && upload != known.uploads.end() && ++blob_tries <= 3) return send(Step::blob_where, {"HEAD", upload->second, {{"tus-resumable", tus}}, {}});
    if (a.status == 404 || a.status == 410) {
        Change c;
        c.upload = {blobs.front().sha256, ""};
        return keep(c) ? make_upload() : void();
    }
    if (a.status == 460 || a.status == 413 || a.status == 403 || a.status == 400 || a.status == 415) return keep_here("refused_file");
    const auto at = number(header(a.headers, "upload-offset"));
    if (a.status / 100 != 2 || !at || *at <= blob_offset || *at > blobs.front().size) return put_off(way(), "not_shop");
    progress();
    up = {};
    blob_offset = *at;
    if (blob_offset == blobs.front().size) return blob_over();
    send_chunk();
}

bool Tablet::Inside::ask_wanted()
{
    if (wanted.empty()) down = {};
    if (wanted.empty() || waits(down)) return false;
    if (part_of != wanted.front()) part_of = wanted.front(), blob_bytes.clear(), blob_whole = blob_here = false;
    if (blob_here) return keep_wanted(), true;
    Headers h;
    if (!blob_whole) h["range"] = "bytes=" + std::to_string(blob_bytes.size()) + "-" + std::to_string(blob_bytes.size() + get_bytes - 1);
    send(Step::blob_get, {"GET", "/v1/blobs/" + wanted.front(), std::move(h), {}}, 2 * settings.range);
    return true;
}

/// The file has come, or is left: for this contact, or where `why` says so for as long as this runs.
void Tablet::Inside::blob_left(const char* why)
{
    if (*why) blobs_failed.insert(wanted.front()), reason = why;
    wanted.pop_front();
    part_of.clear();
    blob_bytes.clear();
    blob_whole = blob_here = false;
    next();
}

void Tablet::Inside::keep_wanted()
{
    const auto kept = store.put_blob(wanted.front(), blob_bytes);
    blob_here = !kept;
    if (!kept) return put_off(down, kept.error().code);
    progress();
    down = {};
    blob_left("");
}

void Tablet::Inside::blob_got(const Answer& a)
{
    if (a.status == 404 || a.status == 403) { // whose tablet has not sent it yet, or what names it
        absent = wanted.front();
        return blob_left("");
    }
    if (a.status == 416) { // an empty file has no range, and a shorter one none there
        if (!blob_bytes.empty() && trust::sha256_hex(blob_bytes) == wanted.front()) return keep_wanted();
        if (blob_whole) return blob_left("hash_mismatch");
        blob_bytes.clear();
        blob_whole = true;
        return next();
    }
    if (a.status != 200 && a.status != 206) return put_off(way(), "not_shop");
    if (const auto length = number(header(a.headers, "content-length")); length && *length != static_cast<std::int64_t>(a.body.size())) {
        ask_less();
        return put_off(down, "cut");
    }
    if (a.status == 200) blob_bytes.clear();
    const Bytes more = to_bytes(a.body);
    blob_bytes.insert(blob_bytes.end(), more.begin(), more.end());
    // Hashed at its end alone: of small pieces of a long film each would cost as much as all before.
    const bool end = a.status == 200 || more.size() < get_bytes || size_in(header(a.headers, "content-range")) == static_cast<std::int64_t>(blob_bytes.size());
    if (end && trust::sha256_hex(blob_bytes) == wanted.front()) return keep_wanted();
    if (end || blob_bytes.size() > blob_most) return blob_left("hash_mismatch");
    progress();
    ask_more();
    down = {};
    next();
}

} // namespace chockside::sync
