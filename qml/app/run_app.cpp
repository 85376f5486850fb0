#include "run_app.h"
#include "first_frame.h"
#include "window.h"

#include <platform/system/system.h>

#include <QCommandLineParser>
#include <QDir>
#include <QEventLoop>
#include <QGuiApplication>
#include <QTimer>

#include <clocale>

namespace chockside::app {

namespace {

void take_options(QCommandLineParser& line, const QCoreApplication& gui)
{
    line.addOptions({{"practice", "Start a practice job."}, {"data", "Folder that keeps the jobs.", "folder"}, {"port", "Serial port of the unit.", "port"},
                     {"scale", "Practice time runs this much faster, 1 to 120.", "factor", "1"}, {"seed", "Seed of the practice aircraft.", "seed", "1"},
                     {"fault", "Practice: this fault instead of a drawn one.", "id"}, {"own-hands", "Practice: a recorded step does not move the aircraft by itself."}});
    line.addHelpOption();
    line.process(gui);
}

/// An open store is there in a few milliseconds: its jobs are awaited, so that the first frame need not be drawn twice. A slow or broken
/// one holds nobody up.
void start_with_jobs(AppBackend& backend, App& app)
{
    constexpr int patience_ms = 60;
    QEventLoop jobs;
    QObject::connect(&backend, &AppBackend::homeChanged, &jobs, &QEventLoop::quit);
    QObject::connect(&backend, &AppBackend::refused, &jobs, &QEventLoop::quit);
    QTimer::singleShot(patience_ms, &jobs, &QEventLoop::quit);
    app.start();
    jobs.exec();
}

} // namespace

int run_app(int argc, char** argv, const std::function<void(Running&)>& begun)
{
    QGuiApplication gui(argc, argv);
    std::setlocale(LC_NUMERIC, "C"); // the application took the system's
    QCoreApplication::setOrganizationName("Chockside");
    QCoreApplication::setApplicationName("chockside");
    QGuiApplication::setDesktopFileName("org.chockside.Chockside");
    QCommandLineParser line;
    take_options(line, gui);
    const QString data = line.isSet("data") ? line.value("data") : QString::fromStdString(system::data_folder());
    QDir().mkpath(data);
    DeskBackend backend({data, line.value("port"), line.value("fault"), !line.isSet("own-hands")});
    App app(backend, data + "/settings.ini", {line.isSet("practice"), line.value("seed").toULongLong(), qBound(1.0, line.value("scale").toDouble(), 120.0)});
    start_with_jobs(backend, app);
    QQmlApplicationEngine engine;
    QQuickWindow* window = load_window(engine, app);
    if (!window) return 1;
    // Nothing counts as the first frame before it shows the jobs of an open store.
    watch_first_frame(window, [&app] { return app.home()->known(); });
    Running running{backend, app, window};
    if (begun) begun(running);
    return gui.exec();
}

} // namespace chockside::app
