#pragma once
// The real work behind the screens: the desk, and beside it the practice aircraft in its own process.

#include "backend.h"

#include <platform/desk/desk.h>
#include <platform/desk/practice_driver.h>

#include <QTimer>

#include <memory>
#include <optional>
#include <set>

namespace chockside::app {

struct BackendOptions {
    QString data;   ///< folder of jobs
    QString port;   ///< serial port, empty: none chosen
    QString fault;  ///< practice: this fault; empty: drawn by seed
    bool coupled = true; ///< practice: what is recorded as done is done in the practice world
};

class DeskBackend final : public AppBackend {
    Q_OBJECT
public:
    explicit DeskBackend(const BackendOptions& options);
    ~DeskBackend() override;

    void start() override;
    void submit(const job::Command& command) override;
    void start_practice(std::uint64_t seed, double scale) override;
    void open_job(const QString& job) override;
    void list_new() override;
    QString own_profiles() const override;
    void open_new(const models::NewJob& job) override;
    void use_port(const QString& path) override;
    void check_port() override { desk_.check_port(); }
    void leave_job() override;
    void try_shop() override { desk_.try_shop(); }
    void enrol_at_shop(const QString& code) override { desk_.enrol_at_shop(code); }
    void carry() override;
    void take_back() override;
    void lock(bool idle) override;
    void unlock(const QString& person, const QString& pin) override;
    void search(const QString& words) override { desk_.search(words); }
    void hand(const json::Value& move) override;
    void list_pictures() override;
    void take_check(const QString& check) override { desk_.take_check(check); }
    void flex_mark(const QString& place) override;
    void write_report() override;
    void ask_history(const trend::Ask& ask) override { desk_.ask_history(ask); }
    void watch_history(bool on) override { desk_.watch_history(on); }
    void save_history() override;
    void eyes() override;
    void set_person(const QString& initials) override;

    desk::Desk& desk() { return desk_; }
    desk::PracticeDriver& practice() { return practice_; }

private:
    void take_view(std::shared_ptr<const job::JobView> view);
    void take_live(std::shared_ptr<const watch::LiveSnapshot> live);
    void take_rows(const std::vector<journal::JobRow>& rows);
    void take_problem(const Problem& what);
    void take_from_shop(const desk::FromShop& what);
    void practice_ready(const json::Value& ready);
    void practice_failed(const QString& why);
    void offer_hands();
    void tell_station();
    void tell_rows();
    void couple(const QString& prompt);
    QString standing_file() const;
    QString standing_job() const;
    void keep_standing();

    BackendOptions options_;
    int unsent_ = 0;
    desk::Desk desk_;
    desk::PracticeDriver practice_;
    std::shared_ptr<const job::JobView> view_;
    job::Prompt asked_;       ///< the prompt that the last command answered
    QString person_;
    QString port_;            ///< of a unit that is no practice unit
    QString practice_port_;   ///< of the practice aircraft that stands there
    bool new_standing_ = false; ///< a practice aircraft was begun whose job is not known yet
    std::string before_new_;  ///< the job that was at hand then
    std::string last_job_;    ///< of the last view: the desk tells of the job at hand until another is opened
    std::string opened_;      ///< asked for last from the list of jobs
    bool aircraft_ = false;   ///< a practice aircraft stands beside the open job
    double scale_ = 1;
    std::vector<journal::JobRow> rows_;
    QTimer minute_; ///< how long ago a job was left grows while nobody touches the glass
    std::set<std::string> told_words_; ///< of the shop's, once told
    bool words_known_ = false;
    QString returning_to_;    ///< opened as soon as its practice aircraft answers
    std::optional<Problem> tampered_; ///< an entry was not what was written: said on every screen until the app is left
    std::optional<AwayNote> left_;   ///< how it was left: taken from the first view after opening
    bool returning_ = false;  ///< opened again, and the line was not heard since
    bool lost_ = false;       ///< the link was lost and a banner says so
    bool new_job_ = false;
};

} // namespace chockside::app
