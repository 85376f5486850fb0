#pragma once
// A backend without work behind it: serves one sample view for each screen, for pictures and tests of the screens.

#include "backend.h"

namespace chockside::app {

/// Sample views of one invented job, one per name in sample_names().
job::JobView sample_view(const QString& name);
QStringList sample_names();

class SampleBackend : public AppBackend {
    Q_OBJECT
public:
    using AppBackend::AppBackend;
    void start() override;
    void submit(const job::Command& command) override;
    void start_practice(std::uint64_t seed, double scale) override;
    void open_job(const QString& job) override;
    void hand(const json::Value& move) override;
    void eyes() override;
    void flex_mark(const QString& place) override { marks.push_back(place.toStdString()); }
    void set_person(const QString&) override {}
    void list_pictures() override { emit picturesChanged(pictures); }
    std::vector<models::PictureSeen> pictures;
    void lock(bool) override { emit lockChanged(true, {"CW", "LK"}); }
    void unlock(const QString& person, const QString& pin) override { unlocked.emplace_back(person, pin); }

    /// Puts the view `name` on the screen, with live traces where the screen has them.
    void serve(const QString& name);
    void ask_history(const trend::Ask& ask) override;
    void watch_history(bool on) override { watched = on; }
    void list_new() override;
    QString own_profiles() const override { return "profiles"; }
    void open_new(const models::NewJob& job) override;
    void use_port(const QString& path) override { port = path; }
    void check_port() override;
    std::vector<models::NewJob> opened;
    QString port;
    void save_history() override { emit historySaved("Q4-TLN-readings.csv"); }
    bool watched = false;
    bool refuses = false; ///< to open a job
    std::vector<job::Command> submitted;
    std::vector<json::Value> moved;
    std::vector<std::string> marks;
    std::vector<std::pair<QString, QString>> unlocked;

private:
    std::string opened_ = "sample"; ///< id of the job at hand, whatever of the samples it shows
    int practices_ = 0;
    void feed_live();
    std::unique_ptr<trend::Trend> readings_;
    std::unique_ptr<trend::Viewer> viewer_;
};

} // namespace chockside::app
