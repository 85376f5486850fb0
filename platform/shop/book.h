#pragma once
// What the page reads: jobs folded from their entries by the same core as on a tablet, and an index over them that can be rebuilt. The index
// follows the log; its place and its rows move in one transaction.

#include <core/job/build_view.h>
#include <core/journal/verify.h>
#include <platform/shop/files.h>
#include <platform/shop/fleet_index.h>
#include <platform/shop/shelf.h>
#include <platform/shop/signatures.h>
#include <platform/shop/writer.h>

#include <limits>

namespace chockside::shop {

struct JobRow {
    std::string job, title, tail, unit, rail, mark, state, by; ///< rail: a letter for each stage: s(olid) g(ap) w(here) h(ollow)
    std::int64_t changed = 0;                                  ///< UTC, ms, of the last entry
    std::int64_t entries = 0;
    bool practice = false, closed = false, asks = false, whole = true;
};

struct PartRow {
    std::string job, tail, off_number, off_serial, on_number, on_serial, reason;
    std::int64_t at = 0;
};

struct Opened {
    std::shared_ptr<const profile::Profile> profile; ///< null: its bytes are not here yet, or are no profile
    std::string awaited;                             ///< digest of a profile that was not here
    std::vector<journal::Entry> entries;             ///< causal order
    std::map<std::string, std::string> keys;
    job::JobState state;
    job::JobView view;                               ///< filled where it was asked for and the profile is here
    journal::VerifyReport verified;
    std::string digest;                              ///< of all that it was folded from
    std::int64_t holds_until = std::numeric_limits<std::int64_t>::max(); ///< UTC, ms: the view

    const std::string& job() const { return entries.front().envelope.job; } ///< its id; not_found where there is no entry
};

class Book {
public:
    Book(const Blobs&, const Clock&, Signatures&);
    static Status make_tables(Connection&);

    /// Takes up to `most` new entries of the log into the index, and jobs of which a body or the profile came late. True: more
    /// waits.
    Result<bool> follow(Reader&, Writer&, std::size_t most = 2000);
    /// Newest first: those that hold every word of `search`, else those of one aircraft, else all.
    Result<std::vector<JobRow>> jobs(Connection&, const std::string& search, const std::string& tail, std::size_t skip, std::size_t most);
    Result<std::vector<std::string>> tails(Connection&, std::size_t skip, std::size_t most);
    /// Newest first; of one aircraft where `tail` is not empty.
    Result<std::vector<PartRow>> parts(Connection&, const std::string& tail, std::size_t skip, std::size_t most);
    FleetIndex& fleet() { return fleet_; }
    /// By its job_key, as all that the index names jobs by. As the database has it now. The last ones viewed are kept by a digest of all that they were folded from, so what is kept is never old.
    /// Codes: not_found.
    Result<std::shared_ptr<const Opened>> open(Connection&, const std::string& job, bool with_view);
    /// A profile bundle ({"main": text, "NAME.unit": text, ...}) fit for use. Codes: json_syntax and kin, bad_profile (line, code, mend).
    static Result<std::shared_ptr<const profile::Profile>> check_bundle(const std::string& text);
    /// Which device wrote which author, by name.
    Result<std::map<std::string, std::string>> names(Connection&);

private:
    std::shared_ptr<const profile::Profile> profile(const std::string& sha);
    Result<std::vector<JobRow>> found(Connection&, const std::string& search, std::size_t skip, std::size_t most);
    struct Material;
    Result<Material> material(Connection&, const std::string& job);
    void fold(Opened&, const Rows&);
    void view(Opened&);
    JobRow row_of(const Opened&, const std::map<std::string, std::string>& names) const;
    struct Indexed;
    void index(const Opened&, const std::map<std::string, std::string>& names, std::int64_t turn, Indexed&) const;
    /// Jobs whose profile has come are looked at again. False: none has.
    Result<bool> wake(Connection&, Writer&);

    const Blobs& blobs_;
    const Clock& clock_;
    Signatures& signatures_;
    FleetIndex fleet_;
    static constexpr std::size_t most_kept = 20'000; ///< entries of all jobs together
    Shelf<Opened> shelf_{most_kept};
    std::mutex mutex_;
    std::map<std::string, std::shared_ptr<const profile::Profile>> profiles_;
};

} // namespace chockside::shop
