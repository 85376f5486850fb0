// Fingers that press whatever stands on the glass, in no order, for as long as they are told to: a practice job, its sheets, the lock, the
// first screen, other glass and other text in between. At every step all that is shown must be words for a person, nothing may have
// warned, a way on must stand there, and what is shown as written must be on the disk. Says each step that led to a fault; exits 0 without.

#include "fingers.h"
#include "glass.h"

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
#include <QRandomGenerator>
#include <QRegularExpression>
#include <QTemporaryDir>
#include <QTest>
#include <QTimer>

#include <cstdio>

using namespace chockside;

namespace {

constexpr int tap_ms = 30, hold_ms = 1080, between_ms = 30, kept_steps = 30, most_silent = 40, most_work_ms = 90'000, most_back = 40;

struct Wish {
    QString fault, out;
    int steps = 400, worked = 0;
    double scale = 60;
    quint32 seed = 1;
};

bool is_key(const QQuickItem* item) { return item->metaObject()->indexOfSignal("acted()") >= 0 && item->metaObject()->indexOfProperty("waits") >= 0; }

/// What no person should read: places left empty, values without a form, names from the code.
QString wrong_with(QString text)
{
    static const QRegularExpression path(R"(\S*/\S*)"); // a folder or a port may be called anything
    text.remove(path);
    static const QRegularExpression bad(R"(%\d|\bundefined\b|\bnull\b|\bNaN\b|\bnan\b|\binf\b|\[object|QVariant|QObject|_QMLTYPE|\b[a-z][a-z0-9]*_[a-z0-9_]+\b)");
    const auto found = bad.match(text);
    return found.hasMatch() ? found.captured() : QString();
}

class Wander : public QObject {
    Q_OBJECT
public:
    explicit Wander(const Wish& wish)
        : wish_(wish), chance_(wish.seed), backend_({folder_.path(), {}, wish.fault, false}), app_(backend_, folder_.filePath("settings.ini"), {true, wish.seed, wish.scale}),
          device_(QTest::createTouchDevice())
    {
        window_ = app::load_window(engine_, app_);
        theme::Metrics::instance()->set_dpi(160);
        if (window_) window_->resize(1280, 800);
    }

    int run()
    {
        if (!window_) return 1;
        window_->show();
        app_.start();
        work();
        for (step_ = 0; step_ < wish_.steps && failures_.isEmpty(); ++step_) {
            one();
            screens::settle(between_ms);
            look();
        }
        if (failures_.isEmpty() && most_entries_ == 0) fail("no job was ever opened");
        if (failures_.isEmpty()) go_back();
        tell();
        return failures_.isEmpty() ? 0 : 1;
    }

private:
    /// The practice technician brings the job on, so that one wanders from any place of it.
    void work()
    {
        screens::settle(500);
        if (wish_.worked == 0) return;
        desk::RehearsalOptions options;
        options.scale = wish_.scale;
        options.seed = wish_.seed;
        technician_ = std::make_unique<desk::Rehearsal>(backend_.desk(), backend_.practice(), options);
        technician_->begin();
        QElapsedTimer passed;
        for (passed.start(); !app_.job()->closed() && app_.job()->view().entries < wish_.worked && passed.elapsed() < most_work_ms;) {
            screens::settle(5);
            look();
        }
        technician_->leave();
    }

    QList<QQuickItem*> all(const std::function<bool(QQuickItem*)>& wanted) const { return screens::shown_in(window_->contentItem(), wanted); }

    /// Where a finger would fall that wants it; nowhere where it lies out of sight.
    std::optional<QPoint> place_of(const QQuickItem* item) const
    {
        const QPointF at = item->mapToScene(QPointF(item->width() / 2, item->height() / 2));
        for (const QQuickItem* up = item; up; up = up->parentItem())
            if ((up->clip() || !up->parentItem()) && !up->contains(up->mapFromScene(at))) return std::nullopt;
        return QRectF(0, 0, window_->width(), window_->height()).contains(at) ? std::optional(at.toPoint()) : std::nullopt;
    }

    void one()
    {
        const int dice = int(chance_.bounded(100));
        if (dice < 2) return other_glass();
        if (dice < 10) return scroll();
        if (dice < 16) return write();
        QList<QQuickItem*> keys = all([this](QQuickItem* i) { return is_key(i) && i->isEnabled() && !i->property("waits").toBool() && place_of(i); });
        // The way on and what it asks more often than the rest: else one walks in circles between the sheets.
        QList<QQuickItem*> preferred;
        for (QQuickItem* k : keys)
            if (k->objectName() == "largeKey" || k->objectName().startsWith("choice:") || k->objectName().startsWith("pad:")) preferred.append(k);
        if (!preferred.isEmpty() && dice < 85) keys = preferred;
        if (keys.isEmpty()) return ++silent_, note("nothing to press");
        press(keys[qsizetype(chance_.bounded(quint32(keys.size())))]);
    }

    /// From any sheet the keys lead back to the work itself: what stands there on return is answered, nothing else is known.
    void go_back()
    {
        screens::Fingers fingers(window_);
        for (int i = 0; i < most_back && app_.screen() != "lock"; ++i) {
            if (app_.screen() == "job" && app_.follows() && !app_.returning()) return;
            const QString name = way_back();
            if (name.isEmpty()) return fail("no key leads back from " + app_.screen());
            bool over = false;
            note("back by " + name);
            fingers.work({{screens::Touch::Kind::tap, name, {}}}, [&](const QString& why) {
                over = true;
                if (!why.isEmpty()) fail(why);
            });
            while (!over) screens::settle(5);
            screens::settle(between_ms);
            look();
            if (!failures_.isEmpty()) return;
        }
        if (app_.screen() != "lock") fail("the keys do not lead back from " + app_.screen());
    }

    QString way_back() const
    {
        const QList<QQuickItem*> keys = all([](QQuickItem* i) { return is_key(i) && i->isEnabled() && !i->property("waits").toBool(); });
        if (app_.returning() && app_.screen() == "resume")
            for (const QQuickItem* k : keys)
                if (k->objectName().startsWith("left:") && !k->property("chosen").toBool()) return k->objectName();
        // From one entry one comes to all of them first.
        for (const QString name : {"side:go_on", "side:back", "side:live", "side:journal", "largeKey"})
            for (const QQuickItem* k : keys)
                if (k->objectName() == name) return name;
        return {};
    }

    void press(QQuickItem* key)
    {
        silent_ = 0;
        const bool hold = key->property("hold").toBool();
        note((hold ? "hold " : "tap ") + (key->objectName().isEmpty() ? QString("key") : key->objectName()) + " \"" + key->property("label").toString() + '"');
        const QPoint at = *place_of(key);
        QTest::touchEvent(window_, device_.get(), false).press(0, at).commit(false);
        screens::settle(hold ? hold_ms : tap_ms);
        QTest::touchEvent(window_, device_.get(), false).release(0, at).commit(false);
        ++touches_;
    }

    void scroll()
    {
        QList<QQuickItem*> boxes = all([](QQuickItem* i) { return i->inherits("QQuickFlickable") && i->property("interactive").toBool(); });
        if (boxes.isEmpty()) return;
        const QQuickItem* box = boxes[qsizetype(chance_.bounded(quint32(boxes.size())))];
        const QPointF from = box->mapToScene(QPointF(box->width() / 2, box->height() / 2));
        const double by = box->height() * (double(chance_.bounded(80)) - 40) / 100;
        note(QString("scroll by %1").arg(by));
        QTest::touchEvent(window_, device_.get(), false).press(0, from.toPoint()).commit(false);
        for (int i = 1; i <= 8; ++i) {
            screens::settle(12);
            QTest::touchEvent(window_, device_.get(), false).move(0, (from + QPointF(0, by * i / 8)).toPoint()).commit(false);
        }
        QTest::touchEvent(window_, device_.get(), false).release(0, (from + QPointF(0, by)).toPoint()).commit(false);
    }

    void write()
    {
        static const QStringList words{"LK", "314159", "271828", "Water behind the plug", "28.1", "-0.4", "1e9", "\u00e9\u4e2d", "", "a very long remark that goes on and on, as somebody dictates it who has all the time of the world"};
        const QList<QQuickItem*> fields = all([this](QQuickItem* i) { return i->inherits("QQuickTextInput") && i->isEnabled() && place_of(i); });
        if (fields.isEmpty()) return;
        QQuickItem* field = fields[qsizetype(chance_.bounded(quint32(fields.size())))];
        const QString text = words[qsizetype(chance_.bounded(quint32(words.size())))];
        note("write \"" + text + '"');
        field->forceActiveFocus();
        QTest::keyClick(window_, Qt::Key_A, Qt::ControlModifier);
        QTest::keyClick(window_, Qt::Key_Delete);
        for (QChar c : text) QTest::sendKeyEvent(QTest::Click, window_, Qt::Key_unknown, QString(c), Qt::NoModifier);
    }

    void other_glass()
    {
        static const QList<QSize> sizes{{1280, 800}, {800, 1280}, {412, 915}, {360, 740}};
        static const QList<double> texts{1, 1, 1.5, 2};
        const QSize size = sizes[qsizetype(chance_.bounded(4u))];
        const double text = texts[qsizetype(chance_.bounded(4u))];
        note(QString("glass %1x%2, text %3").arg(size.width()).arg(size.height()).arg(text));
        window_->resize(size);
        app_.settings()->set_text_scale(text);
    }

    void look()
    {
        if (!screens::warnings().isEmpty()) fail("it warned: " + screens::warnings().join(" | "));
        if (silent_ > most_silent) fail("nothing can be pressed any more");
        for (const QQuickItem* item : all([](QQuickItem* i) { return i->inherits("QQuickText") || is_key(i); })) {
            for (const QString& told : {item->property("text").toString(), item->property("label").toString(), item->property("why").toString()})
                if (const QString bad = wrong_with(told); !bad.isEmpty()) fail("\"" + bad + "\" in \"" + told + '"');
        }
        compare_with_disk();
    }

    /// What is shown as written stands on the disk, read through a connection of its own.
    void compare_with_disk()
    {
        const auto& view = app_.job()->view();
        if (view.job.empty() || (view.job == seen_job_ && view.entries == seen_)) return;
        seen_job_ = view.job;
        seen_ = view.entries;
        most_entries_ = std::max(most_entries_, seen_);
        stages_ |= 1u << unsigned(view.stage);
        journal::Store* reader = beside_.open();
        if (!reader) return fail("the journal cannot be read beside the app");
        const auto durable = reader->entries(view.job);
        if (!durable || int(durable->size()) < view.entries) fail("an entry is shown that is not on the disk");
    }

    void note(const QString& what)
    {
        told_.append(QString("%1 %2 at %3: %4").arg(step_).arg(app_.screen(), app_.job()->prompt().id, what));
        if (told_.size() > kept_steps) told_.removeFirst();
    }

    void fail(const QString& what)
    {
        if (failures_.contains(what)) return;
        failures_.append(what);
    }

    void tell()
    {
        for (const QString& f : failures_) std::printf("FAIL seed %u: %s\n", wish_.seed, qPrintable(f));
        if (!failures_.isEmpty()) {
            for (const QString& s : told_) std::printf("    %s\n", qPrintable(s));
            QDir().mkpath(wish_.out);
            window_->grabWindow().save(wish_.out + QString("/wander-%1.png").arg(wish_.seed));
        }
        std::printf("seed %u: %d touches in %d steps, at most %d entries in a job, stages %x, ends on %s\n", wish_.seed, touches_, step_, most_entries_, stages_, qPrintable(app_.screen()));
    }

    Wish wish_;
    QTemporaryDir folder_{QDir::tempPath() + "/wander-XXXXXX"};
    QRandomGenerator chance_;
    app::DeskBackend backend_;
    app::App app_;
    QQmlApplicationEngine engine_;
    std::unique_ptr<desk::Rehearsal> technician_;
    std::unique_ptr<QPointingDevice> device_;
    QQuickWindow* window_ = nullptr;
    screens::JournalBeside beside_{folder_.path().toStdString()};
    QStringList told_, failures_;
    std::string seen_job_;
    int step_ = 0, touches_ = 0, silent_ = 0, seen_ = -1, most_entries_ = 0;
    unsigned stages_ = 0;
};

} // namespace

int main(int argc, char** argv)
{
    screens::without_a_display();
    QGuiApplication gui(argc, argv);
    QCommandLineParser line;
    line.addOptions({{"fault", "Fault of the practice aircraft.", "id", "wet_plug"}, {"scale", "Practice time runs this much faster.", "factor", "60"}, {"seed", "First seed.", "seed", "1"},
                     {"seeds", "How many seeds.", "count", "1"}, {"steps", "Steps a seed.", "count", "400"}, {"worked", "The practice technician works before, up to a number of entries that the seed draws, at most this.", "count", "0"}, {"out", "Folder for the picture of a fault.", "folder", CHOCKSIDE_PICTURES}});
    line.addHelpOption();
    line.process(gui);
    screens::keep_warnings();
    int failed = 0;
    const quint32 first = line.value("seed").toUInt();
    for (quint32 i = 0; i < line.value("seeds").toUInt(); ++i) {
        const int worked = QRandomGenerator(first + i).bounded(line.value("worked").toInt() + 1);
        Wander wander({line.value("fault"), line.value("out"), line.value("steps").toInt(), worked, line.value("scale").toDouble(), first + i});
        failed += wander.run();
        std::fflush(stdout);
        screens::warnings().clear();
    }
    return failed ? 1 : 0;
}

#include "wander.moc"
