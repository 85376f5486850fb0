#pragma once
// Puts view models and backend together and says which screen stands.

#include "backend.h"
#include "history_model.h"
#include "idle_watch.h"
#include "job_model.h"
#include "lock_model.h"
#include "new_job_model.h"
#include "practice_model.h"
#include "queue_model.h"
#include "settings_model.h"

#include <QVariantList>

namespace chockside::app {

struct Options {
    bool practice = false;
    std::uint64_t seed = 1;
    double scale = 1;
};

class App : public QObject {
    Q_OBJECT
    QML_ELEMENT
    QML_UNCREATABLE("Made by main with its backend")
    Q_PROPERTY(chockside::models::HomeModel* home READ home CONSTANT FINAL)
    Q_PROPERTY(chockside::models::JobModel* job READ job CONSTANT FINAL)
    Q_PROPERTY(chockside::models::LiveModel* live READ live CONSTANT FINAL)
    Q_PROPERTY(chockside::models::HistoryModel* history READ history CONSTANT FINAL)
    Q_PROPERTY(chockside::models::NewJobModel* draft READ draft CONSTANT FINAL)
    Q_PROPERTY(chockside::models::PortCheckModel* port_check READ port_check CONSTANT FINAL)
    Q_PROPERTY(chockside::models::PracticeModel* practice READ practice CONSTANT FINAL)
    Q_PROPERTY(chockside::models::FlexModel* flex READ flex CONSTANT FINAL)
    Q_PROPERTY(chockside::models::SettingsModel* settings READ settings CONSTANT FINAL)
    Q_PROPERTY(chockside::models::QueueModel* queue READ queue CONSTANT FINAL)
    Q_PROPERTY(chockside::models::LockModel* lock READ lock CONSTANT FINAL)
    Q_PROPERTY(QString screen READ screen NOTIFY screen_changed FINAL)
    Q_PROPERTY(int shown_stage READ shown_stage NOTIFY screen_changed FINAL)
    Q_PROPERTY(bool follows READ follows NOTIFY screen_changed FINAL)
    Q_PROPERTY(QString banner_kind READ banner_kind NOTIFY banner_changed FINAL)
    Q_PROPERTY(QString banner_head READ banner_head NOTIFY banner_changed FINAL)
    Q_PROPERTY(QString banner_says READ banner_says NOTIFY banner_changed FINAL)
    Q_PROPERTY(QStringList banner_steps READ banner_steps NOTIFY banner_changed FINAL)
    Q_PROPERTY(bool returning READ returning NOTIFY screen_changed FINAL)
    Q_PROPERTY(QString away_words READ away_words NOTIFY away_changed FINAL)
    Q_PROPERTY(int away_minutes READ away_minutes NOTIFY away_changed FINAL)
    Q_PROPERTY(QVariantList last_steps READ last_steps NOTIFY away_changed FINAL)
    Q_PROPERTY(QVariantList meanwhile READ meanwhile NOTIFY away_changed FINAL)
public:
    App(AppBackend& backend, const QString& settings_file, const Options& options, QObject* parent = nullptr);
    void start();

    models::HomeModel* home() { return &home_; }
    models::JobModel* job() { return &job_; }
    models::LiveModel* live() { return &live_; }
    models::HistoryModel* history() { return &history_; }
    models::NewJobModel* draft() { return &draft_; }
    models::PortCheckModel* port_check() { return &port_check_; }
    models::PracticeModel* practice() { return &practice_; }
    models::FlexModel* flex() { return &flex_; }
    models::QueueModel* queue() { return &queue_; }
    models::LockModel* lock() { return &lock_; }
    models::SettingsModel* settings() { return &settings_; }
    /// home, new, job, port, resume, open, live, earlier, answers, hands, settings, help, queue
    QString screen() const { return screen_; }
    /// The stage on the screen: the job's own, or another that the technician looks back at.
    int shown_stage() const { return looked_at_ >= 0 ? looked_at_ : job_.stage(); }
    bool follows() const { return looked_at_ < 0; }
    QString banner_kind() const { return banner_kind_; }
    QString banner_head() const { return banner_head_; }
    QString banner_says() const { return banner_says_; }
    QStringList banner_steps() const { return banner_steps_; }
    /// "Away 23 minutes. Three things stand open."
    bool returning() const { return returning_; }
    QString away_words() const;
    int away_minutes() const { return away_minutes_; }
    QVariantList last_steps() const { return last_steps_; }
    QVariantList meanwhile() const { return meanwhile_; }

    Q_INVOKABLE void show(const QString& screen);
    /// The return was answered: the work goes on.
    Q_INVOKABLE void went_on();
    Q_INVOKABLE void look_at(int stage);
    Q_INVOKABLE void start_practice();
    Q_INVOKABLE void write_report() { backend_.write_report(); }
    Q_INVOKABLE void eyes() { backend_.eyes(); }

signals:
    void screen_changed();
    void banner_changed();
    void away_changed();

private:
    void connect_backend();
    void connect_models();
    void apply_settings();
    void take_view(const job::JobView& view);
    void set_banner(const QString& kind, const QString& head, const QString& says, const QStringList& steps);
    void begin_opening(const QString& job);
    bool at_home() const;

    AppBackend& backend_;
    Options options_;
    models::HomeModel home_;
    models::JobModel job_;
    models::LiveModel live_;
    models::HistoryModel history_;
    models::NewJobModel draft_;
    models::PortCheckModel port_check_;
    models::PracticeModel practice_;
    models::FlexModel flex_;
    models::QueueModel queue_;
    models::LockModel lock_;
    models::IdleWatch idle_;
    models::SettingsModel settings_;
    QString screen_ = "home";
    int looked_at_ = -1;
    bool opening_ = false;
    std::string wanted_, before_; ///< the job that is being opened, where its id is known; the one at hand then
    bool home_refusal_ = false;   ///< the banner says why something was not done, until the next screen or act
    bool returning_ = false;  ///< what stands open is to be looked at before anything else
    bool returned_ = false;   ///< the return was shown for this opening
    QString banner_kind_, banner_head_, banner_says_;
    QStringList banner_steps_;
    int away_minutes_ = 0;
    QVariantList last_steps_, meanwhile_;
};

} // namespace chockside::app
