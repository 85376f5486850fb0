#include "first_frame.h"
#include "make_backend.h"
#include "window.h"

#include <QCommandLineParser>
#include <QDir>
#include <QGuiApplication>
#include <QStandardPaths>

using namespace chockside::app;

int main(int argc, char** argv)
{
    QGuiApplication gui(argc, argv);
    QCoreApplication::setOrganizationName("Chockside");
    QCoreApplication::setApplicationName("chockside");
    QGuiApplication::setDesktopFileName("org.chockside.Chockside");
    QCommandLineParser line;
    line.addOptions({{"practice", "Start a practice job."}, {"data", "Folder that keeps the jobs.", "folder"}, {"port", "Serial port of the unit.", "port"},
                     {"scale", "Practice time runs this much faster, 1 to 120.", "factor", "1"}, {"seed", "Seed of the practice aircraft.", "seed", "1"},
                     {"fault", "Practice: this fault instead of a drawn one.", "id"}, {"own-hands", "Practice: a recorded step does not move the aircraft by itself."}});
    line.addHelpOption();
    line.process(gui);

    const QString data = line.isSet("data") ? line.value("data") : QStandardPaths::writableLocation(QStandardPaths::AppDataLocation);
    QDir().mkpath(data);
    const auto backend = make_backend({data, line.value("port"), line.value("fault"), !line.isSet("own-hands")});
    App app(*backend, data + "/settings.ini", {line.isSet("practice"), line.value("seed").toULongLong(), qBound(1.0, line.value("scale").toDouble(), 120.0)});
    QQmlApplicationEngine engine;
    QQuickWindow* window = load_window(engine, app);
    if (!window) return 1;
    watch_first_frame(window);
    app.start();
    return gui.exec();
}
