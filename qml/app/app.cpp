#include "app.h"

#include "metrics.h"
#include "palette.h"

#include <QDateTime>
#include <QTimer>

#include <utility>

namespace chockside::app {

App::App(AppBackend& backend, const QString& settings_file, const Options& options, QObject* parent)
    : QObject(parent), backend_(backend), options_(options), settings_(settings_file)
{
    connect_backend();
    connect_models();
    draft_.set_own_folder(backend_.own_profiles());
    apply_settings();
}

void App::connect_backend()
{
    connect(&backend_, &AppBackend::viewChanged, this, &App::take_view);
    connect(&backend_, &AppBackend::liveChanged, &live_, &models::LiveModel::push);
    connect(&backend_, &AppBackend::profilesChanged, &draft_, &models::NewJobModel::set_profiles);
    connect(&backend_, &AppBackend::portChecked, &port_check_, &models::PortCheckModel::set);
    connect(&backend_, &AppBackend::portsChanged, &draft_, &models::NewJobModel::set_ports);
    connect(&backend_, &AppBackend::historyChanged, &history_, &models::HistoryModel::set_seen);
    connect(&backend_, &AppBackend::historySaved, &history_, &models::HistoryModel::set_saved);
    connect(&backend_, &AppBackend::flexChanged, &flex_, &models::FlexModel::set_seen);
    connect(&backend_, &AppBackend::jobsCounted, &home_, &models::HomeModel::set_total);
    connect(&backend_, &AppBackend::fromShopChanged, &home_, &models::HomeModel::set_from_shop);
    connect(&backend_, &AppBackend::homeChanged, &home_, &models::HomeModel::set_rows);
    connect(&backend_, &AppBackend::stationChanged, &home_, &models::HomeModel::set_station);
    connect(&backend_, &AppBackend::refused, this, [this](const QString& words) {
        if (lock_.locked()) lock_.refuse(words);
        else if (screen_ == "earlier") history_.refuse(words);
        else if (screen_ == "port") {
            port_check_.forget();
            job_.set_refusal(words);
        }
        else if (screen_ == "new") draft_.refuse(words);
        else if (opening_ || at_home()) {
            set_banner("attention", tr("Not done."), words, {});
            home_refusal_ = true;
        } else {
            job_.set_refusal(words);
        }
        opening_ = false;
    });
    connect(&backend_, &AppBackend::picturesChanged, &job_, &models::JobModel::set_pictures);
    connect(&backend_, &AppBackend::written, &job_, &models::JobModel::set_written);
    connect(&backend_, &AppBackend::carried, queue_.carry(), &models::CarryModel::set);
    connect(&backend_, &AppBackend::takenBack, queue_.carry(), &models::CarryModel::set_taken_back);
    connect(&backend_, &AppBackend::queueChanged, &queue_, &models::QueueModel::set);
    connect(&backend_, &AppBackend::keyKept, &lock_, &models::LockModel::set_in_keyring);
    connect(&backend_, &AppBackend::lockChanged, &lock_, &models::LockModel::set);
    connect(&backend_, &AppBackend::personCame, &settings_, &models::SettingsModel::set_person);
    connect(&backend_, &AppBackend::lockChanged, &history_, [this](bool locked) { locked ? history_.forget() : history_.resume(); });
    connect(&backend_, &AppBackend::peopleChanged, &job_, &models::JobModel::set_signers);
    connect(&backend_, &AppBackend::seenChanged, &practice_, &models::PracticeModel::set_seen);
    connect(&backend_, &AppBackend::handsChanged, this, [this](const std::vector<json::Value>& moves, bool coupled) {
        practice_.set_hands(moves);
        practice_.set_coupled(coupled);
    });
    connect(&backend_, &AppBackend::bannerChanged, this, &App::set_banner);
    connect(&backend_, &AppBackend::away, this, [this](const AwayNote& note) {
        away_minutes_ = note.minutes;
        meanwhile_.clear();
        for (const auto& line : note.meanwhile) meanwhile_.append(QVariantMap{{"mark", models::mark_name(line.mark)}, {"text", models::words(line.text)}});
        last_steps_.clear();
        for (const auto& step : note.steps) last_steps_.append(QVariantMap{{"at", models::clock_hms(step.utc_ms)}, {"text", models::prose(step.text)}});
        emit away_changed();
        if (std::exchange(returned_, true)) return;
        returning_ = true;
        show("resume");
    });
}

/// A stop stands until its cause ends or the job is left: no other word takes its place.
void App::set_banner(const QString& kind, const QString& head, const QString& says, const QStringList& steps)
{
    if (banner_kind_ == "stop" && kind != "stop") return;
    banner_kind_ = kind;
    banner_head_ = head;
    banner_says_ = says;
    banner_steps_ = steps;
    home_refusal_ = false;
    emit banner_changed();
}

bool App::at_home() const
{
    return QStringList{"home", "queue", "settings", "help"}.contains(screen_);
}

/// Until the desk tells of the job that is asked for, it tells of the one before.
void App::begin_opening(const QString& job)
{
    opening_ = true;
    returning_ = false;
    wanted_ = job.toStdString();
    before_ = job_.view().job;
    if (home_refusal_) set_banner({}, {}, {}, {});
}

QString App::away_words() const
{
    const int open = static_cast<int>(job_.view().open.size());
    const QString away = away_minutes_ < 1 ? tr("Away less than a minute.") : away_minutes_ == 1 ? tr("Away one minute.") : tr("Away %1 minutes.").arg(away_minutes_);
    return away + ' ' + (open == 0 ? tr("Nothing stands open.") : open == 1 ? tr("One thing stands open.") : tr("%1 things stand open.").arg(models::counted(open)));
}

void App::connect_models()
{
    connect(&job_, &models::JobModel::commanded, &backend_, &AppBackend::submit);
    connect(&job_, &models::JobModel::check_taken, &backend_, &AppBackend::take_check);
    connect(&draft_, &models::NewJobModel::list_asked, &backend_, [this] { backend_.list_new(); });
    connect(&draft_, &models::NewJobModel::port_asked, &backend_, &AppBackend::use_port);
    connect(&draft_, &models::NewJobModel::port_asked, &port_check_, [this] { port_check_.forget(); });
    connect(&port_check_, &models::PortCheckModel::check_asked, &backend_, [this] { backend_.check_port(); });
    connect(&draft_, &models::NewJobModel::open_asked, this, [this](const models::NewJob& job) {
        begin_opening({});
        returned_ = true; // nobody was away from it
        backend_.open_new(job);
    });
    connect(&history_, &models::HistoryModel::asked, &backend_, &AppBackend::ask_history);
    connect(&history_, &models::HistoryModel::watch_asked, &backend_, &AppBackend::watch_history);
    connect(&history_, &models::HistoryModel::save_asked, &backend_, [this] { backend_.save_history(); });
    connect(&flex_, &models::FlexModel::mark_asked, &backend_, &AppBackend::flex_mark);
    connect(&practice_, &models::PracticeModel::hand_asked, &backend_, &AppBackend::hand);
    connect(&home_, &models::HomeModel::open_asked, this, [this](const QString& job) {
        begin_opening(job);
        returned_ = false;
        backend_.open_job(job);
    });
    connect(&home_, &models::HomeModel::begin_asked, this, [this](const QString& job) {
        const auto* item = home_.waiting(job);
        if (!item) return;
        draft_.give(item->job, item->tail, item->title, tr("The shop, %1: %2").arg(models::words(item->by), models::prose(item->text.empty() ? item->title : item->text)));
        show("new");
    });
    connect(&home_, &models::HomeModel::practice_asked, this, &App::start_practice);
    connect(&home_, &models::HomeModel::search_asked, &backend_, &AppBackend::search);
    connect(&queue_, &models::QueueModel::try_asked, &backend_, [this] { backend_.try_shop(); });
    connect(queue_.carry(), &models::CarryModel::asked, &backend_, [this] { backend_.carry(); });
    connect(queue_.carry(), &models::CarryModel::look_back_asked, &backend_, [this] { backend_.take_back(); });
    connect(&queue_, &models::QueueModel::enrol_asked, &backend_, &AppBackend::enrol_at_shop);
    connect(&lock_, &models::LockModel::unlock_asked, &backend_, &AppBackend::unlock);
    connect(&lock_, &models::LockModel::lock_asked, &backend_, &AppBackend::lock);
    connect(&idle_, &models::IdleWatch::idle, &backend_, [this] { backend_.lock(true); });
    connect(&settings_, &models::SettingsModel::changed, this, &App::apply_settings);
    auto* minute = new QTimer(this);
    minute->setInterval(5000);
    connect(minute, &QTimer::timeout, this, [this] { home_.set_now(QDateTime::currentMSecsSinceEpoch()); });
    minute->start();
    auto* look = new QTimer(this);
    look->setInterval(1000);
    connect(look, &QTimer::timeout, this, [this] { if (screen_ == "hands") backend_.eyes(); });
    look->start();
}

void App::apply_settings()
{
    theme::Palette::instance()->set_light(settings_.light());
    theme::Metrics::instance()->set_text_scale(settings_.text_scale());
    theme::Metrics::instance()->set_left_hand(settings_.left_hand());
    idle_.set_after(std::chrono::minutes(settings_.lock_minutes()));
    job_.set_person(settings_.person());
    draft_.set_person(settings_.person());
    backend_.set_person(settings_.person());
}

void App::start()
{
    backend_.start();
    if (options_.practice) start_practice();
}

void App::start_practice()
{
    begin_opening({});
    backend_.start_practice(options_.seed, options_.scale);
}

void App::take_view(const job::JobView& view)
{
    const bool moved_on = view.stage != job_.view().stage || view.job != job_.view().job;
    if (view.job != job_.view().job) {
        live_.clear();
        history_.forget();
        port_check_.forget();
        backend_.list_pictures();
    }
    job_.set_view(view);
    flex_.set_places(view.isolate.places);
    if (opening_ && (wanted_.empty() ? view.job != before_ : view.job == wanted_)) {
        opening_ = false;
        looked_at_ = -1;
        draft_.done();
        show("job");
    } else if (moved_on) {
        looked_at_ = -1;
        emit screen_changed();
    }
}

void App::show(const QString& screen)
{
    if (screen == "home") {
        if (banner_kind_ == "stop") {
            banner_kind_.clear();
            set_banner({}, {}, {}, {});
        }
        returning_ = false;
        backend_.leave_job();
    }
    if (home_refusal_) set_banner({}, {}, {}, {});
    if (screen_ == "new" && screen != "new") draft_.forget_given();
    if (screen == "hands") backend_.eyes();
    if (screen == "photo") backend_.list_pictures();
    screen_ = returning_ && screen == "job" ? "resume" : screen;
    emit screen_changed();
}

void App::went_on()
{
    returning_ = false;
    show("job");
}

void App::look_at(int stage)
{
    looked_at_ = stage == job_.stage() || returning_ ? -1 : stage;
    screen_ = returning_ ? "resume" : "job";
    emit screen_changed();
}

} // namespace chockside::app
