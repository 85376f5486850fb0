// The app with fingers of its own, for tests that kill it or let it sleep. Same start as the app; commands come line by line on
// standard input (work, tap NAME, shown NAME, state, shot FILE, write PROFILE|TAIL|KIND|COMPLAINT|INITIALS|PORT), each answered by one JSON line on standard output.

#include "fingers.h"
#include "touch_presser.h"

#include "run_app.h"

#include <platform/desk/rehearsal.h>

#include <QCoreApplication>
#include <QQuickItem>
#include <QQuickWindow>
#include <QSocketNotifier>

#include <cstdio>
#include <unistd.h>

using namespace chockside;

namespace {

json::Value texts_in(const QQuickItem* item)
{
    json::Value found(json::Array{});
    const std::function<void(const QQuickItem*)> walk = [&](const QQuickItem* at) {
        if (!at->isVisible()) return;
        if (at->inherits("QQuickText")) found.push(at->property("text").toString().toStdString());
        for (const QQuickItem* child : at->childItems()) walk(child);
    };
    walk(item);
    return found;
}

const char* name_of(job::WaitView::State state)
{
    switch (state) {
    case job::WaitView::State::not_begun: return "not_begun";
    case job::WaitView::State::running: return "running";
    case job::WaitView::State::over: return "over";
    case job::WaitView::State::unknown: break;
    }
    return "unknown";
}

class Pilot : public QObject {
    Q_OBJECT
public:
    explicit Pilot(app::Running& running)
        : backend_(running.backend), app_(running.app), window_(running.window), fingers_(window_), presser_(fingers_), in_(STDIN_FILENO, QSocketNotifier::Read)
    {
        connect(&in_, &QSocketNotifier::activated, this, &Pilot::read);
        connect(&backend_, &app::AppBackend::viewChanged, this, [this] { if (working_) say("view"); });
        fingers_.question = [this] { return app_.job()->prompt().id; };
    }

private:
    void read()
    {
        char part[512];
        const ssize_t n = ::read(STDIN_FILENO, part, sizeof part);
        if (n <= 0) return qApp->quit();
        line_.append(part, n);
        for (qsizetype end; (end = line_.indexOf('\n')) >= 0; line_.remove(0, end + 1)) obey(QString::fromUtf8(line_.left(end)).trimmed());
    }

    void obey(const QString& line)
    {
        const QString verb = line.section(' ', 0, 0), what = line.section(' ', 1);
        if (verb == "work") work();
        else if (verb == "state") say("state");
        else if (verb == "shot") window_->grabWindow().save(what), say("shot");
        else if (verb == "shown") say("shown", fingers_.shown(what) ? "yes" : "no");
        else if (verb == "write") write(what.split('|'));
        else if (verb == "tap") fingers_.work({{screens::Touch::Kind::tap, what, {}}}, [this](const QString& why) { say(why.isEmpty() ? "tapped" : "failed", why); });
    }

    /// Onto the page of a new job; what it still waits for is the answer.
    void write(const QStringList& words)
    {
        models::NewJobModel& draft = *app_.draft();
        if (app_.screen() != "new") app_.show("new");
        draft.choose_profile(words.value(0));
        draft.set_tail(words.value(1));
        draft.choose_complaint(words.value(2));
        draft.set_complaint(words.value(3));
        app_.settings()->set_person(words.value(4));
        draft.set_port(words.value(5));
        say("written", draft.missing());
    }

    void work()
    {
        desk::RehearsalOptions options;
        options.scale = app_.job()->view().time_scale > 1 ? app_.job()->view().time_scale : QCoreApplication::arguments().value(QCoreApplication::arguments().indexOf("--scale") + 1).toDouble();
        options.slip = 0;
        technician_ = std::make_unique<desk::Rehearsal>(backend_.desk(), backend_.practice(), options, &presser_);
        connect(technician_.get(), &desk::Rehearsal::done, this, [this](const desk::RehearsalResult& r) { say("done", QString::fromStdString(r.stuck)); });
        working_ = true;
        technician_->begin();
    }

    void say(const char* about, const QString& why = {})
    {
        const job::JobView& view = app_.job()->view();
        json::Value v(json::Object{});
        v.at("about") = about;
        if (!why.isEmpty()) v.at("why") = why.toStdString();
        v.at("screen") = app_.screen().toStdString();
        v.at("job") = view.job;
        v.at("stage") = job::name_of(view.stage);
        v.at("entries") = static_cast<std::int64_t>(view.entries);
        v.at("closed") = view.closed;
        v.at("link") = view.link_good;
        v.at("practice") = view.practice;
        v.at("prompt") = view.next.id;
        v.at("kind") = app_.job()->prompt().kind.toStdString();
        json::Value open(json::Array{}), waits(json::Array{}), breakers(json::Object{});
        for (const auto& item : view.open) open.push(item.id);
        for (const auto& b : view.breakers) breakers.at(b.id) = b.state;
        for (const auto& w : view.waits) waits.push(json::Object{{"id", w.id}, {"state", name_of(w.state)}, {"left", w.left_s}, {"total", w.total_s}});
        v.at("open") = open;
        v.at("waits") = waits;
        v.at("breakers") = breakers;
        if (const auto live = backend_.desk().live(); live && live->uptime_s) v.at("uptime") = *live->uptime_s;
        if (std::string(about) == "state") v.at("texts") = texts_in(window_->contentItem());
        std::printf("%s\n", json::write(v).c_str());
        std::fflush(stdout);
    }

    app::DeskBackend& backend_;
    app::App& app_;
    QQuickWindow* window_;
    screens::Fingers fingers_;
    screens::TouchPresser presser_;
    QSocketNotifier in_;
    QByteArray line_;
    std::unique_ptr<desk::Rehearsal> technician_;
    bool working_ = false;
};

} // namespace

int main(int argc, char** argv)
{
    std::unique_ptr<Pilot> pilot;
    return app::run_app(argc, argv, [&](app::Running& running) { pilot = std::make_unique<Pilot>(running); });
}

#include "pilot.moc"
