#pragma once
// The only writer of a job: guard, journal, fold, view. No thread, no Qt: the worker around it lends both.

#include <core/job/build_view.h>
#include <core/job/guard.h>
#include <core/journal/store.h>
#include <core/profile/model.h>

#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace chockside::desk {

class Engine {
public:
    Engine(std::unique_ptr<journal::Store> store, const Clock& clock);

    struct Stored {
        std::string job;
        std::shared_ptr<const profile::Profile> profile;
        std::vector<journal::Entry> entries;
    };
    /// Writes a new job under a profile whose bytes are kept beside it; the job at hand stays until enter_new(). Code besides those of the
    /// store: already_opened (a write-up of the shop's that somebody works).
    Result<Stored> write_new(std::shared_ptr<const profile::Profile>, const std::string& profile_bytes, const job::Opening&, const std::string& person);
    /// What write_new() gave is the job at hand from now on.
    void enter_new(Stored, const std::string& person);
    /// All that open_stored() needs, so that the job at hand is left only for one that can be opened. Codes: not_found, those of the store and
    /// of `load`.
    Result<Stored> read_stored(const std::string& job, const std::function<Result<std::shared_ptr<const profile::Profile>>(const std::string& sha)>& load);
    /// Folds it again; the moment is marked as resumed until the unit is heard.
    void open_stored(Stored);

    /// Takes in what others wrote into the open job. True where there was anything.
    bool take_in();
    /// The line in the list of jobs of one that others wrote in; without its profile, which answers false, it tells tail and complaint alone.
    bool row_of(const std::string& job, const std::function<Result<std::shared_ptr<const profile::Profile>>(const std::string& sha)>& load);
    /// Guards, writes durably, folds. A command id that was carried out before answers as the first time.
    Status submit(const job::Command&);
    /// Writes the answers that the line gives by itself. True where something was written.
    bool answer_automatically();

    /// Writes how the job stands into the list of jobs; entries do so by themselves only now and then.
    void keep_row();
    /// Looks up what this aircraft had before.
    void look_back(const std::function<Result<std::shared_ptr<const profile::Profile>>(const std::string& sha)>& load);
    void set_live(const job::LiveFacts&);
    /// A person works toward this check instead of the proposed one, until it is answered; empty: the proposed one again.
    void take(std::string check);
    void set_person(std::string person) { person_ = std::move(person); }
    const std::string& person() const { return person_; }

    bool has_job() const { return profile_ != nullptr; }
    const job::JobState& state() const { return state_; }
    const profile::Profile& profile() const { return *profile_; }
    std::shared_ptr<const profile::Profile> shared_profile() const { return profile_; }
    const std::vector<journal::Entry>& entries() const { return entries_; }
    job::Context context() const;
    const job::Reasoning& reasoning();
    job::JobView view();
    journal::Store& store() { return *store_; }
    bool resumed() const { return resumed_; }
    /// Own entries up to here are at the shop.
    void set_at_shop(std::int64_t seq) { at_shop_ = seq; }

private:
    void take(const std::vector<journal::Entry>&);
    void enter(Stored, bool resumed);
    std::optional<journal::JobRow> row() const;
    journal::JobRow row_of(const std::string& job, const std::vector<journal::Entry>&, const profile::Profile*, const job::JobState&) const;
    std::string new_job_id() const;
    void tell_sent(job::JobView&) const;

    std::unique_ptr<journal::Store> store_;
    const Clock& clock_;
    std::shared_ptr<const profile::Profile> profile_;
    std::vector<journal::Entry> entries_;
    job::JobState state_;
    job::LiveFacts live_;
    std::shared_ptr<const std::vector<job::EarlierJob>> earlier_;
    job::Reasoning reasoning_;
    std::int64_t reasoned_at_ = -1;
    bool resumed_ = false;
    std::string person_;
    std::string job_, toward_, taken_;
    std::int64_t next_command_ = 0, at_shop_ = 0;
};

} // namespace chockside::desk
