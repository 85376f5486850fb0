// draw_screens [part of a name ...]: draws the samples whose file names hold every part given, or all, into the build folder.

#include "sample_backend.h"
#include "window.h"

#include "metrics.h"

#include <QDir>
#include <QElapsedTimer>
#include <QGuiApplication>
#include <QImage>
#include <QQuickItem>
#include <QQuickWindow>
#include <QTemporaryDir>

#include <cstdio>

using namespace chockside;

namespace {

struct Size { const char* name; int width, height; };
constexpr Size sizes[] = {{"landscape", 1280, 800}, {"portrait", 800, 1280}, {"phone", 412, 915}};
const QStringList sheets{"journal", "entry", "photo", "disputes"};
constexpr const char* lights[] = {"day", "sun", "night"};

void settle(QQuickWindow* window)
{
    QElapsedTimer timer;
    timer.start();
    while (timer.elapsed() < 250) QCoreApplication::processEvents(QEventLoop::AllEvents, 20);
    window->update();
    QCoreApplication::processEvents();
}

/// A finger on each key that waits.
void press_in_vain(QQuickItem* under)
{
    if (under->isVisible() && under->property("asks").isValid() && under->property("waits").toBool()) QMetaObject::invokeMethod(under, "refused");
    for (QQuickItem* child : under->childItems()) press_in_vain(child);
}

/// What two people told, what was struck, and the pictures of the device, on the sheets that show them.
void put_on_sheet(app::App& app, app::SampleBackend& backend, const QString& name)
{
    auto view = app::sample_view("05-isolate");
    for (std::size_t i = 0; i < view.journal.size(); ++i) view.journal[i].hash = "e" + std::to_string(i);
    auto& line = view.journal[view.journal.size() - 2];
    line.field = "number";
    if (name == "disputes") view.disputes = {{"breaker:ref_1", "REF 1", "collared, says LK; in, says JM", "Look at it and record how it stands. Until then it counts as in for who works behind it, and as out for the release."}};
    if (name == "journal") {
        line.amended = line.corrected = true;
        line.by = "Amended to \u201C61.4\u201D: read on the wrong range";
    }
    backend.pictures = {{"/pictures/IMG_0412.jpg", "IMG_0412.jpg", 1'781'534'100'000}, {"/pictures/IMG_0411.jpg", "IMG_0411.jpg", 1'781'533'980'000}};
    emit backend.viewChanged(view);
    if (name == "entry") {
        app.job()->open_entry(QString::fromStdString(line.hash));
        app.job()->fix()->fill("should", "61.4");
    }
    app.show(name == "disputes" ? "open" : name);
}

void put_on(app::App& app, app::SampleBackend& backend, const QString& name)
{
    app.show("home"); // where a stop ends
    emit backend.bannerChanged({}, {}, {}, {});
    emit backend.lockChanged(name.startsWith("lock"), {"CW", "LK"});
    if (name.startsWith("lock")) return emit backend.refused("That is not the PIN. 3 tries are left without a delay. Type it again.");
    if (name == "01-home-refused") emit backend.bannerChanged("attention", "That job is open on this device already.", "Close the other window, then open it again.", {});
    if (name.startsWith("01")) return app.show("home");
    if (name.startsWith("queue")) {
        models::QueueSeen q;
        q.shop = "https://shop.northmoor.invalid:8443";
        q.enrolled = true;
        q.entries = 98, q.sent = 40, q.at_shop = 14, q.archived = 10, q.lacking = 2, q.files = 3, q.file_bytes = 5'300'000, q.file_done = 1'200'000;
        q.reason = "no_route";
        q.next_try_s = 24;
        emit backend.queueChanged(q);
        app.queue()->carry()->done();
        if (name == "queue-over") { // 600 bytes are 900 letters of base 45, and 45 before them
            models::CarrySeen over{"/home/ramp/chockside/exchange/4f1d20ab-15-98.chockside", 15, 98, 98, {}};
            for (int n = 0; n < 51; ++n) over.symbols.append("CS1:0123456789ABCDEF:" + QString::number(n + 1) + ":51:01234567:" + QString("Q4+TLN%60").repeated(100));
            emit backend.carried(over);
            app.queue()->carry()->step(2);
        }
        return app.show("queue");
    }
    if (name.startsWith("settings")) return app.show("settings");
    if (name.startsWith("new")) {
        app.settings()->set_person("LK");
        app.show("new");
        app.draft()->choose_profile("own/sandgrouse_20");
        app.draft()->set_tail("Q4-SND");
        app.draft()->choose_complaint("heading_flag");
        return app.draft()->set_complaint("HDG 2 flags after rain");
    }
    if (name.startsWith("help")) return app.show("help");
    const bool flat = name.startsWith("15") || name.startsWith("16") || name.startsWith("17") || name.startsWith("open") || name.startsWith("hands") || name.startsWith("other") || name.startsWith("live") || name.startsWith("earlier") || sheets.contains(name);
    const QString view = name.startsWith("17c") ? name : name.startsWith("live") ? QString("06-flex") : flat ? QString("05-isolate") : name;
    app.home()->open(view);
    app.look_at(app.job()->stage());
    if (name.startsWith("15")) emit backend.away({23, {{job::Mark::good, "Warm-up counts on: unit was up 42 min without a break"}, {job::Mark::attention, "Sensor dropped out twice, 14:41 and 14:48 Z"}}, app::sample_view("05-isolate").journal});
    if (name.startsWith("17a")) emit backend.bannerChanged("attention", "Link lost at 15:05:21 Z. Nothing is lost.", "Look at the bridge plug first. It goes on by itself.", {});
    if (name.startsWith("17d")) emit backend.bannerChanged("stop", "Stop. The journal can’t be written.", "The tablet is full. Your last entry, 14:57:02, is safe. Nothing after it.",
                                                           {"Leave the aircraft as it is. Six things are open.", "Free space on this tablet.", "No space to free? Write on paper, add it later as an amendment."});
    if (sheets.contains(name)) put_on_sheet(app, backend, name);
    if (name.startsWith("open") || name.startsWith("hands") || name.startsWith("other") || name.startsWith("live")) app.show(name);
    if (name.startsWith("16")) {
        app.draft()->set_port(name == "16b-port-waits" ? "" : "/dev/ttyUSB0");
        app.show("port");
        if (name == "16-port") app.port_check()->check();
    }
    if (name.startsWith("earlier")) {
        app.show("earlier");
        if (name.endsWith("match")) app.history()->later();
    }
    if (name.startsWith("07")) app.job()->enter_number("61.4");
    if (name.startsWith("02")) app.job()->choose("showing");
}

} // namespace

int main(int argc, char** argv)
{
    qputenv("QT_QUICK_BACKEND", "software");
    if (!qEnvironmentVariableIsSet("QT_QPA_PLATFORM")) qputenv("QT_QPA_PLATFORM", "offscreen");
    qputenv("CHOCKSIDE_DPI", "160");
    QGuiApplication gui(argc, argv);
    QTemporaryDir folder;
    QDir().mkpath(CHOCKSIDE_PICTURES);
    app::SampleBackend backend;
    app::App app(backend, folder.filePath("settings.ini"), {});
    QQmlApplicationEngine engine;
    QQuickWindow* window = app::load_window(engine, app);
    if (!window) return 1;
    app.start();
    QStringList names = app::sample_names() + QStringList{"01-home", "01-home-refused", "15-resume", "16-port", "16b-port-waits", "17a-link-lost", "17d-tablet-full", "lock", "queue", "queue-over", "settings", "help", "open", "hands", "other", "live", "earlier", "earlier-match", "new"} + sheets;
    const QStringList wanted = gui.arguments().mid(1);
    for (const Size& size : sizes)
        for (int light = 0; light < 3; ++light)
            for (const QString& name : names)
                for (const char* look : {"", "-left", "-150", "-200"}) {
                    const QString file = QString("%1-%2-%3%4").arg(name, size.name, lights[light], look);
                    bool all = *look == 0 || (light == 0 && (size.height == 800 || QString(look) != "-left"));
                    for (const QString& part : wanted) all = all && (part.startsWith('!') ? !file.contains(part.mid(1)) : file.contains(part));
                    if (!all) continue;
                    app.settings()->set_light(light);
                    app.settings()->set_left_hand(QString(look) == "-left");
                    app.settings()->set_text_scale(QString(look) == "-200" ? 2.0 : QString(look) == "-150" ? 1.5 : 1.0);
                    window->resize(size.width, size.height);
                    put_on(app, backend, name);
                    settle(window);
                    if (name == "16b-port-waits") {
                        press_in_vain(window->contentItem());
                        settle(window);
                    }
                    window->grabWindow().save(QString(CHOCKSIDE_PICTURES) + '/' + file + ".png");
                    std::printf("%s\n", qPrintable(file));
                }
    return 0;
}
