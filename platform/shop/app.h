#pragma once
// What stands behind the connections: which route goes where. Tablets' requests are read here and decided by core/sync; uploads go to Tus,
// the page to Site.

#include <platform/shop/guard.h>
#include <platform/shop/server.h>
#include <platform/shop/site.h>
#include <platform/shop/tus.h>

#include <atomic>

namespace chockside::shop {

struct AppSettings {
    double least_free_entries = 0.02; ///< of the disk; below it nothing is taken in
    std::string metrics_token = {};   ///< who may read /metrics from elsewhere than loopback; empty: nobody
    GuardSettings guard = {};
};

class App final : public Application {
public:
    App(Writer&, Workers& readers, Workers& files, Workers& takers, Uploads&, const Blobs&, Site&, Signatures&, const Clock&, Database&, AppSettings = {});

    void attach(Server& server) { server_ = &server; }
    Intake begin(const Head&, Reply, Hangup) override;
    void done(const Head&, int status, std::uint64_t bytes) override;

private:
    /// Nothing, or the answer to one that asks too often.
    std::optional<Response> slowed(const Head&);
    /// So that its next request counts as this tablet's.
    void learn(Reader&, const Head&);
    /// What check() found to hold need not be worked out again by who reads it.
    void remember(const sync::Checked&);
    Intake tablet(const Head&);
    Intake blob(const Head&);
    Intake health(const Head&);
    Intake metrics(const Head&);
    void decide(sync::Checked, Reply, std::int64_t until_mono);
    bool may_enrol(const std::string& peer);
    void enrolled(const std::string& peer, bool right);
    void send_blob(Reader&, const Request&, const std::string& sha, const Reply&);

    Writer& writer_;
    Workers& readers_;
    Workers& files_;
    const Blobs& blobs_;
    Site& site_;
    Signatures& signatures_;
    const Clock& clock_;
    Database& database_;
    AppSettings settings_;
    Tus tus_;
    Guard guard_;
    Server* server_ = nullptr;
    std::mutex mutex_;
    struct Tries {
        int wrong = 0;
        std::int64_t last_mono = 0;
    };
    std::map<std::string, Tries> tries_;
    std::atomic<std::uint64_t> by_class_[6] = {}, slowed_{0};
};

/// The device behind a request's token, as WhoSends wants it.
Result<std::string> sending_device(Reader&, const Head&);
/// A single range of bytes ("bytes=a-b", "bytes=a-", "bytes=-n") of `size`; nothing where it is none of these or lies outside.
std::optional<std::pair<std::uint64_t, std::uint64_t>> byte_range(std::string_view field, std::uint64_t size);

} // namespace chockside::shop
