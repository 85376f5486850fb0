#pragma once
// Figures over all jobs for the page. The index keeps what each folded job says (a row each, written with its other rows); here they are
// read once and then only as they change, so that a page view folds nothing.

#include <core/fleet/fleet.h>
#include <platform/shop/sql.h>

#include <chrono>
#include <memory>
#include <mutex>

namespace chockside::shop {

struct Opened;

/// A job as the figures need it, with the words for what its profile calls by an id.
struct JobNote {
    fleet::JobFacts facts;
    std::vector<fleet::Bench> bench; ///< what the shop wrote of units that came off
    std::string cause_words, place_words;
};

struct FleetFigures {
    int jobs = 0;
    std::vector<fleet::UnitHistory> units;
    fleet::Rates rates;
    std::vector<fleet::WiringCause> by_segment, by_aircraft;
    fleet::TimeToIsolate time;
    std::map<std::string, std::string> words; ///< of causes and places, by id
};

class FleetIndex {
public:
    static Status make_tables(Connection&);
    /// Values of job_fact_put for one job. `tablets`: authors that are devices; a result of the bench counts only from the shop itself.
    static Params row(const Opened&, const std::map<std::string, std::string>& tablets, std::int64_t turn);
    /// Writes rows, one for each job.
    static Status put(Connection&, const std::vector<Params>&);

    /// Of practice jobs alone, or of all others. From any thread. They cost a look at every job, so those made last serve for forty times as
    /// long as they took, ten seconds at most. Codes: those of Connection.
    Result<std::shared_ptr<const FleetFigures>> figures(Connection&, bool practice);
    /// Makes them before a view has to, for a twentieth of the time at most. For the thread that follows the log.
    Status keep_ready(Connection&);

private:
    struct Made {
        std::shared_ptr<const FleetFigures> figures;
        std::int64_t turn = -1;                      ///< of the notes that they were made from
        std::chrono::steady_clock::time_point at{};
        std::chrono::steady_clock::duration took{};
    };
    Status read_on(Connection&);
    Result<std::shared_ptr<const FleetFigures>> made(Connection&, bool practice, int serves_for);
    std::shared_ptr<const FleetFigures> ready(bool practice, int serves_for) const;
    Result<std::shared_ptr<const FleetFigures>> sum_up(bool practice) const;

    std::mutex mutex_;
    std::int64_t upto_ = -1; ///< turn of the index that the notes below stand for
    std::map<std::string, JobNote> notes_;
    mutable std::mutex made_mutex_; ///< of what follows; never waited for while figures are made
    Made made_[2];
};

/// Both ways of a note's text: canonical JSON. What is not there is empty; nothing fails.
std::string text_of(const JobNote&);
JobNote note_from(const std::string& text);

} // namespace chockside::shop
