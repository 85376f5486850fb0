#pragma once
// Lives on the engine thread: the only writer. Owns the engine and the link's thread; carries out what a prompt asks of the line.

#include <platform/desk/desk.h>
#include <platform/desk/engine.h>
#include <platform/desk/link_worker.h>
#include <platform/desk/shop_link.h>
#include <platform/desk/watch_run.h>
#include <platform/system/system.h>

#include <core/people/people.h>
#include <core/trust/trust.h>

#include <QStringList>
#include <QTimer>

#include <deque>
#include <optional>
#include <set>

namespace chockside::desk {

class HistoryWorker;

class DeskWorker : public QObject {
    Q_OBJECT
public:
    explicit DeskWorker(DeskOptions options);
    ~DeskWorker() override;

public slots:
    void start();
    void list_profiles();
    void open_new(const chockside::job::Opening& opening, const QString& person, const QString& profile);
    void open_job(const QString& job);
    void set_port(const QString& port);
    void check_port();
    void set_person(const QString& person);
    void press(const QString& prompt_id, const QString& answer, const chockside::json::Value& extra);
    void submit(const chockside::job::Command& command);
    void take_check(const QString& check);
    void flex_mark(const QString& place);
    void export_to(const QString& folder);
    void lock(bool idle);
    void unlock(const QString& person, const QString& pin);
    void enrol_at_shop(const QString& code);
    void try_shop();
    void carry(const QString& folder);
    void take_back(const QString& folder);
    /// Words in tail or title that `rows` is narrowed to from now on; empty: all.
    void search(const QString& words);
    void ask_history(const chockside::trend::Ask& ask);
    void watch_history(bool on);
    void save_history(const QString& folder);
    /// `rows` follows, as the jobs stand now.
    void publish_rows();
    void stop();

signals:
    void rows(std::vector<chockside::journal::JobRow> rows);
    void view_changed(std::shared_ptr<const chockside::job::JobView> view);
    void live_changed(std::shared_ptr<const chockside::watch::LiveSnapshot> live);
    void saved(QString prompt_id);
    void problem(chockside::Problem what);
    void exported(QString pdf, QString journal);
    void people(std::vector<chockside::people::Person> people);
    void counted(qint64 jobs);
    void profiles(std::vector<chockside::desk::ProfileAtHand> profiles);
    void queue(chockside::sync::QueueView queue, QString shop);
    void carried(chockside::desk::Carrying carrying);
    void taken_back(int files);
    void locked(bool locked, QStringList who);
    void here(QString person);
    void key_kept(bool in_keyring);
    void history(std::shared_ptr<const chockside::trend::Seen> seen);
    void history_saved(QString path);
    void from_shop(chockside::desk::FromShop what);
    void port_checked(chockside::desk::PortChecked checked);

private:
    /// A prompt whose answer the line has to give first.
    struct Pending {
        job::Prompt prompt;
        std::string verb;
        std::int64_t since_ms = 0;
        std::string person; ///< who pressed
        std::string answer_before; ///< hash of the check's last answer: a newer one ends a watch
        bool too_little = false;   ///< a person wanted it ended and was told so: the key leaves it from then on
    };

    void make_link();
    void drop_link();
    void save_capture();
    bool profile_is_signed();
    Status make_history();
    void drop_history();
    void on_snapshot(std::shared_ptr<const watch::LiveSnapshot> snapshot);
    void on_noted(const watch::Noted& note);
    void on_answered(const QString& tag, const json::Value& outcome);
    void tick();
    void publish();
    bool write(job::Command command, const std::string& prompt_id);
    bool sign(job::Command& command);
    /// True, and told, where there is no store or it is locked.
    bool barred();
    void tell_queue();
    void tell_lock();
    Status export_captures(const std::string& to);
    void tell_people();
    void look_on();
    bool is_stale(const journal::JobRow&) const;
    void freshen();
    void begin(const job::Prompt& prompt, const std::string& answer, const json::Value& extra);
    void finish(const job::Prompt& prompt, job::Command command);
    static bool told_by_line(const job::Command& command);
    bool answers(const job::Prompt& prompt, const job::Command& command) const;
    void carry_out(const job::Prompt& prompt, const json::Value& extra);
    void forget_pending();
    void end_by_hand();
    void leave_answered_watch();
    void tell_running(job::Prompt& prompt) const;
    std::string answer_of(const job::Prompt& prompt) const;
    void end_watch();
    void pending_done(const json::Value& extra = {});
    void look_at_pending();
    bool line_is_its_own(const Engine::Stored& stored);
    Result<std::shared_ptr<const profile::Profile>> profile_for(const std::string& sha);
    Result<std::string> bundle_of(const std::string& name);
    void take_came(const std::set<std::string>& jobs);
    void tell_from_shop();

    DeskOptions options_;
    system::SystemClock clock_;
    system::SystemDisk disk_;
    trust::SystemRandom random_;
    people::People people_;
    std::unique_ptr<trust::KeyKeeper> keyring_; ///< outlives the store
    std::unique_ptr<Engine> engine_;
    std::unique_ptr<trust::SealingDisk> capture_disk_; ///< outlives the link's thread
    std::unique_ptr<ShopLink> shop_; ///< stands on the store
    std::unique_ptr<QThread> link_thread_;
    LinkWorker* link_ = nullptr;
    std::unique_ptr<QObject> inbox_; ///< where what the link says arrives: it can be emptied before another job is opened
    std::unique_ptr<QThread> check_thread_; ///< listens for some seconds
    std::unique_ptr<QThread> history_thread_;
    HistoryWorker* history_ = nullptr;
    QString port_;
    QString back_from_; ///< where the shop's files are to be read as soon as the contact that is on has ended
    std::string person_; ///< who is at the device; empty: nobody said
    std::string search_;
    std::set<std::string> opened_here_; ///< jobs that were at hand since the start
    std::set<std::string> came_;     ///< jobs that others wrote in, whose rows could not be made yet
    std::set<std::string> unopened_; ///< jobs that the shop wrote in and nobody has opened: no rows of theirs are shown
    std::shared_ptr<const watch::LiveSnapshot> live_;
    Problem no_store_{"no_store", {}, {}}; ///< why there is none: told again to whoever asks for something
    std::optional<Pending> pending_;
    job::Prompt shown_, before_;
    std::string answered_; ///< id of the prompt whose answer was written last
    std::optional<WatchRun> watch_;
    std::unique_ptr<QTimer> timer_;
    std::string last_stage_;
    bool signed_or_practice_ = false; ///< the open job's profile
    std::int64_t last_publish_ms_ = 0;
    bool dirty_ = false;
    bool look_ = true; ///< entries from before this start are still to be looked at
    std::int64_t look_from_ms_ = 0; ///< but not before: monotonic
    std::deque<std::string> stale_; ///< jobs whose row is to be written anew
    std::set<std::string> freshened_; ///< each once a run
};

} // namespace chockside::desk
