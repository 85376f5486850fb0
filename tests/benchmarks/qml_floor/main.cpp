// Shows one page and leaves at its first frame with the line that start_bench.py reads, the same line as the app's own hook.
#include <QGuiApplication>
#include <QQmlApplicationEngine>
#include <QQuickWindow>

#include <cstdio>
#include <cstdlib>
#include <ctime>
#include <unistd.h>

namespace {

void leave()
{
    timespec now{};
    clock_gettime(CLOCK_MONOTONIC, &now);
    const double begun = qEnvironmentVariable("T0_NS").toDouble();
    std::printf("FF %.2f RSS 0\n", (double(now.tv_sec) * 1e9 + double(now.tv_nsec) - begun) / 1e6);
    std::fflush(stdout);
    _exit(0);
}

} // namespace

int main(int argc, char** argv)
{
    QGuiApplication gui(argc, argv);
    QQmlApplicationEngine engine;
    engine.addImportPath("qrc:/qt/qml");
    engine.load(QUrl("qrc:/qt/qml/Floor/Floor.qml"));
    if (engine.rootObjects().isEmpty()) return 2;
    auto* window = qobject_cast<QQuickWindow*>(engine.rootObjects().first());
    QObject::connect(window, &QQuickWindow::frameSwapped, window, leave, Qt::DirectConnection);
    return gui.exec();
}
