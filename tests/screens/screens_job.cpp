// One whole practice job through the real screens by touch: Main.qml, the desk behind it, the practice aircraft beside it on a
// pseudo-terminal. What is answered is what can be seen there. Keeps a picture of each stage; exits 0 where every check holds.

#include "fingers.h"
#include "glass.h"
#include "touch_presser.h"

#include "desk_backend.h"
#include "metrics.h"
#include "window.h"

#include <platform/desk/rehearsal.h>

#include <QCommandLineParser>
#include <QDir>
#include <QElapsedTimer>
#include <QGuiApplication>
#include <QQuickItem>
#include <QQuickWindow>
#include <QSet>
#include <QTemporaryDir>
#include <QTimer>

#include <cstdio>

using namespace chockside;

namespace {

constexpr int give_up_ms = 570'000;

struct Wish {
    QString fault, out, pictures;
    double scale = 30;
    std::uint64_t seed = 1;
    bool talk = false;
    QSize glass{1280, 800};
    double text = 1;
};

class JobRun : public QObject {
    Q_OBJECT
public:
    explicit JobRun(const Wish& wish);
    void begin();

private:
    void check(bool holds, const QString& what);
    void on_prompt(const job::Prompt& prompt);
    void on_filled(const job::Prompt& prompt);
    void on_view(const job::JobView& view);
    void compare_with_disk();
    void follow_the_stage(const job::Prompt& prompt);
    void when_free(const QString& name);
    void once(const QString& name, bool all_forms = false);
    void grab(const QString& name);
    void all_forms(const QString& name);
    void on_done(const desk::RehearsalResult& result);
    void signed_record();
    void look_at_earlier();
    void tell(const desk::RehearsalResult& result);

    Wish wish_;
    QTemporaryDir folder_;
    app::DeskBackend backend_;
    app::App app_;
    QQmlApplicationEngine engine_;
    QQuickWindow* window_ = nullptr;
    std::unique_ptr<screens::Fingers> fingers_;
    std::unique_ptr<screens::TouchPresser> presser_;
    std::unique_ptr<desk::Rehearsal> technician_;
    screens::JournalBeside beside_{folder_.path().toStdString()};
    QSet<QString> taken_;
    QSet<int> stages_;
    QStringList failures_;
    QElapsedTimer took_;
    int checks_ = 0, shown_entries_ = 0, swing_points_ = 0;
};

JobRun::JobRun(const Wish& wish)
    : wish_(wish), backend_({folder_.path(), {}, wish.fault, false}), app_(backend_, folder_.filePath("settings.ini"), {true, wish.seed, wish.scale})
{
    window_ = app::load_window(engine_, app_);
    if (!window_) return;
    theme::Metrics::instance()->set_dpi(160);
    window_->resize(wish.glass);
    app_.settings()->set_text_scale(wish.text);
    fingers_ = std::make_unique<screens::Fingers>(window_);
    presser_ = std::make_unique<screens::TouchPresser>(*fingers_);
    fingers_->halfway = [this] { once("hold"); };
    fingers_->question = [this] { return app_.job()->prompt().id; };
    presser_->before = [this](const job::Prompt& q) { on_prompt(q); };
    presser_->filled = [this](const job::Prompt& q) { on_filled(q); };
    presser_->marked = [this](const std::string& place) { if (!place.empty()) QTimer::singleShot(600, this, [this] { when_free("flex-test"); }); };
    desk::RehearsalOptions options;
    options.scale = wish.scale;
    options.seed = wish.seed;
    options.slip = 0;
    options.talk = wish.talk;
    technician_ = std::make_unique<desk::Rehearsal>(backend_.desk(), backend_.practice(), options, presser_.get());
    connect(technician_.get(), &desk::Rehearsal::done, this, &JobRun::on_done);
    connect(&backend_, &app::AppBackend::viewChanged, this, &JobRun::on_view);
    connect(app_.job(), &models::JobModel::changed, this, &JobRun::compare_with_disk);
}

void JobRun::begin()
{
    if (!window_) return qApp->exit(1);
    took_.start();
    window_->show();
    once("home");
    app_.start();
    technician_->begin();
    QTimer::singleShot(give_up_ms, this, [this] {
        check(false, "the job ends in time");
        qApp->exit(1);
    });
}

void JobRun::check(bool holds, const QString& what)
{
    ++checks_;
    if (holds || failures_.contains(what)) return;
    failures_.append(what);
    std::printf("FAIL %s\n", qPrintable(what));
    std::fflush(stdout);
}

void JobRun::grab(const QString& name)
{
    const QString file = wish_.out + '/' + name + ".png";
    check(window_->grabWindow().save(file), "picture " + file);
}

/// A picture of its own accord waits until no finger is on the glass.
void JobRun::when_free(const QString& name)
{
    if (taken_.contains(name)) return;
    if (fingers_->busy()) return QTimer::singleShot(30, this, [this, name] { when_free(name); });
    once(name, true);
}

void JobRun::once(const QString& name, bool forms)
{
    if (taken_.contains(name)) return;
    taken_.insert(name);
    if (name == "hold") return grab(name);
    fingers_->keep_off(true);
    screens::settle(180);
    grab(name);
    if (forms) all_forms(name);
    fingers_->keep_off(false);
}

void JobRun::all_forms(const QString& name)
{
    if (wish_.glass != QSize(1280, 800)) return;
    const auto put = [this](QSize size, int light) {
        window_->resize(size);
        app_.settings()->set_light(light);
        screens::settle(60);
    };
    for (const auto& [form, size] : {std::pair{"", QSize(1280, 800)}, std::pair{"-portrait", QSize(800, 1280)}, std::pair{"-phone", QSize(412, 915)}})
        for (const auto& [light, word] : {std::pair{1, "-sun"}, std::pair{2, "-night"}, std::pair{0, ""}}) {
            if (*form == 0 && light == 0) continue;
            put(size, light);
            grab(name + form + word);
        }
    put(QSize(1280, 800), 0);
}

/// Nothing stands on the screen that isn't on the disk: read through a connection of its own.
void JobRun::compare_with_disk()
{
    const auto& view = app_.job()->view();
    if (view.job.empty() || view.entries == shown_entries_) return;
    shown_entries_ = view.entries;
    journal::Store* reader = beside_.open();
    check(reader != nullptr, "the journal can be read beside the app");
    if (!reader) return;
    const auto durable = reader->entries(view.job);
    check(durable && static_cast<int>(durable->size()) >= view.entries, "no entry is shown before it is on the disk");
    check(app_.job()->lists()->journal()->count() == view.entries, "every entry is on the journal's screen");
}

void JobRun::on_view(const job::JobView& view)
{
    check(app_.screen() != "home", "a started job is shown");
    if (view.next.kind == job::Prompt::Kind::wait && !view.waits.empty() && view.live.size() > 0)
        QTimer::singleShot(700, this, [this] { if (app_.job()->prompt().kind == "wait" && !fingers_->busy()) when_free("make-ready-wait"); });
    // After everybody has had this view: a picture lets the loop run.
    if (view.closed) QTimer::singleShot(0, this, [this] { once("closed", true); });
}

/// The stage of the prompt is the one that is shown, and the key says what the prompt asks.
void JobRun::follow_the_stage(const job::Prompt& q)
{
    const QString at = QString::fromStdString(q.id);
    check(app_.screen() == "job" && app_.follows(), "the job's own screen stands at " + at);
    check(app_.shown_stage() == static_cast<int>(app_.job()->view().stage), "the stage is followed at " + at);
    check(app_.job()->prompt().id == at, "the key asks " + at + (app_.job()->prompt().id == at ? QString() : ", not " + app_.job()->prompt().id));
    check(!app_.job()->sentence().isEmpty(), "a sentence stands at " + at);
    check(fingers_->shown("largeKey") != nullptr, "a large key stands at " + at);
    const QQuickItem* page = fingers_->shown("page");
    check(page && page->implicitHeight() > 10 * theme::Metrics::instance()->mm(), "the page is filled at " + at);
    stages_.insert(app_.shown_stage());
}

void JobRun::on_prompt(const job::Prompt& q)
{
    static const char* const names[] = {"write-up", "as-found", "make-ready", "isolate", "put-right", "prove", "close"};
    using Kind = job::Prompt::Kind;
    follow_the_stage(q);
    const auto& view = app_.job()->view();
    once(names[app_.shown_stage()]);
    if (q.hold && !q.before.empty()) once("warning");
    if (q.verb == "breaker") once("breaker");
    if (q.command == "finding") once("finding", true);
    if (view.stage == job::Stage::isolate && view.isolate.evidence.size() >= 5 && q.kind != Kind::number) once("isolate-evidence", true);
    // Overwritten until the finding: the picture of a picture that has come together.
    if (view.stage == job::Stage::isolate && view.isolate.evidence.size() >= 6 && !view.isolate.next.empty() && view.isolate.leading_p >= 0.5 && q.kind == Kind::act) {
        taken_.remove("isolate-late");
        once("isolate-late");
    }
    if (q.kind == Kind::swing_point && ++swing_points_ == 7) once("swing", true);
    if (view.swing.done && !view.swing.card.empty() && q.kind != Kind::swing_point) once("swing-result", true);
    if (view.stage == job::Stage::close && view.open.size() >= 3) once("close-open", true);
    if (view.stage == job::Stage::put_right && !view.owed.empty()) once("put-right-owed");
    if (q.kind == Kind::part) once("part");
    if (q.kind == Kind::sign) once("sign");
    if (q.kind == Kind::text) once("deferral");
    if (q.kind == Kind::photo) once("photo");
    if (q.id == "close") once("close-acts", true);
}

void JobRun::on_filled(const job::Prompt& q)
{
    using Kind = job::Prompt::Kind;
    if (q.kind == Kind::number) once("measure", true);
    if (q.kind == Kind::part) once("part-filled");
    if (q.kind == Kind::text) once("deferral-filled");
    if (q.kind == Kind::sign) once("sign-filled", true);
    if (q.kind == Kind::choose) once("answer-chosen");
    if (q.kind == Kind::swing_point && swing_points_ > 2) once("swing-pad", true);
}

void JobRun::signed_record()
{
    const std::string job = app_.job()->view().job;
    journal::Store* reader = beside_.open();
    const auto report = reader ? reader->verify(job) : Result<journal::VerifyReport>(Unexpected{Problem{"not_found", job, {}}});
    check(report && report->ok, "the journal verifies");
    const auto entries = reader ? reader->entries(job) : Result<std::vector<journal::Entry>>(Unexpected{Problem{"not_found", job, {}}});
    if (!entries) return check(false, "the journal can be read");
    int signs = 0, close = 0;
    for (const auto& e : *entries) {
        signs += e.envelope.kind == "signed" || e.envelope.kind == "sign";
        close += e.envelope.kind == "closed" || e.envelope.kind == "close";
    }
    check(signs >= 2, "somebody worked and somebody released: " + QString::number(signs) + " signatures");
    check(close == 1, "the job is closed once in its journal");
}

/// All that the line said in this job is there to be looked through, out of its sealed captures.
void JobRun::look_at_earlier()
{
    app_.show("earlier");
    models::HistoryModel& history = *app_.history();
    const auto read = [&] { return history.any() && history.seen()->taken_in >= 1; };
    for (int i = 0; i < 100 && !read(); ++i) screens::settle(50);
    check(read() && history.state_mark() != "attn", "earlier readings: all captures are read");
    if (!read()) return;
    std::uint64_t most = 0;
    for (const auto& s : history.seen()->known) most = std::max(most, s.count);
    // The first lanes are asked for when the first signals are known; their answer comes a moment later.
    for (int i = 0; i < 100 && history.seen()->lanes.size() < 3; ++i) screens::settle(50);
    check(most > 500, QString("earlier readings: %1 samples of a signal").arg(most));
    check(history.seen()->lanes.size() >= 3, QString("earlier readings: %1 lanes of %2 signals").arg(history.seen()->lanes.size()).arg(history.seen()->known.size()));
    history.set_kind("missing");
    history.set_limit("1");
    history.earlier();
    for (int i = 0; i < 100 && history.busy(); ++i) screens::settle(50);
    check(history.seen()->match.has_value(), "earlier readings: the line was silent for a second at some time");
    once("earlier", true);
    app_.show("job");
}

void JobRun::on_done(const desk::RehearsalResult& result)
{
    check(result.stuck.empty(), "it never stuck: " + QString::fromStdString(result.stuck));
    check(result.closed && app_.job()->closed(), "the job is closed");
    for (job::Stage s : {job::Stage::write_up, job::Stage::as_found, job::Stage::make_ready, job::Stage::isolate, job::Stage::prove, job::Stage::close})
        check(stages_.contains(static_cast<int>(s)), QString("the screen came to ") + job::title_of(s));
    check(screens::warnings().isEmpty(), "no warning: " + screens::warnings().join(" | "));
    signed_record();
    look_at_earlier();
    once(result.stuck.empty() ? "end" : "stuck");
    tell(result);
    qApp->exit(failures_.isEmpty() ? 0 : 1);
}

void JobRun::tell(const desk::RehearsalResult& result)
{
    if (!wish_.pictures.isEmpty())
        for (const auto& [from, to] : {std::pair{"make-ready-wait", "make-ready"}, std::pair{"isolate-late", "isolate"}, std::pair{"swing-result", "swing"}, std::pair{"close-open", "close"}}) {
            // The job with a swing gives that picture alone, the other job the rest.
            if (!taken_.contains(from) || taken_.contains("swing") != (QString(to) == "swing")) continue;
            const QString file = wish_.pictures + '/' + to + ".png";
            QFile::remove(file);
            check(QFile::copy(wish_.out + '/' + from + ".png", file), "renewed " + file);
        }
    std::printf("PRACTICE job by touch: %s, %d entries, %d touches, %.0f s, %.0f min of aircraft time; finding %s %s, truth %s (%s).\n%d checks, %d failed.\n",
        result.closed ? "closed" : "not closed", result.entries, fingers_->touches(), double(took_.elapsed()) / 1000, result.job_minutes, result.finding_class.c_str(), result.finding_cause.c_str(),
        result.truth.c_str(), result.truth_class.c_str(), checks_, int(failures_.size()));
}

} // namespace

int main(int argc, char** argv)
{
    screens::without_a_display();
    QGuiApplication gui(argc, argv);
    QCommandLineParser line;
    line.addOptions({{"fault", "Fault of the practice aircraft.", "id", "wet_plug"}, {"scale", "Practice time runs this much faster.", "factor", "30"}, {"seed", "Seed.", "seed", "1"},
                     {"out", "Folder for the pictures.", "folder", CHOCKSIDE_PICTURES}, {"renew", "Copies the pictures of the README into this folder.", "folder"}, {"talk", "Says each step."},
                     {"glass", "Size of the window; pictures in other forms are taken of the usual one alone.", "WxH", "1280x800"}, {"text", "Size of the text, 1 to 2.", "factor", "1"}});
    line.addHelpOption();
    line.process(gui);
    screens::keep_warnings();
    const QStringList sides = line.value("glass").split('x');
    const QSize glass = sides.size() == 2 ? QSize(sides[0].toInt(), sides[1].toInt()) : QSize();
    if (glass.isEmpty()) line.showHelp(2);
    Wish wish{line.value("fault"), line.value("out"), line.value("renew"), line.value("scale").toDouble(), line.value("seed").toULongLong(), line.isSet("talk"), glass, line.value("text").toDouble()};
    QDir().mkpath(wish.out);
    if (!wish.pictures.isEmpty()) QDir().mkpath(wish.pictures);
    JobRun run(wish);
    QTimer::singleShot(0, &run, [&run] { run.begin(); });
    return gui.exec();
}

#include "screens_job.moc"
