#include "first_frame.h"

#include <QFile>
#include <QQuickWindow>

#include <cstdio>
#include <ctime>
#include <unistd.h>

namespace chockside::app {

namespace {

long resident_kb()
{
    QFile file("/proc/self/statm");
    if (!file.open(QIODevice::ReadOnly)) return 0;
    const QList<QByteArray> pages = file.readAll().split(' ');
    return pages.size() > 1 ? pages[1].toLong() * (sysconf(_SC_PAGESIZE) / 1024) : 0;
}

} // namespace

void watch_first_frame(QQuickWindow* window, const std::function<bool()>& ready)
{
    if (qEnvironmentVariable("CHOCKSIDE_FIRST_FRAME") != "1") return;
    QObject::connect(window, &QQuickWindow::frameSwapped, window, [ready] {
        if (!ready()) return;
        timespec now{};
        clock_gettime(CLOCK_MONOTONIC, &now);
        const double begun = qEnvironmentVariable("T0_NS").toDouble();
        std::printf("FF %.1f RSS %ld\n", (double(now.tv_sec) * 1e9 + double(now.tv_nsec) - begun) / 1e6, resident_kb());
        std::fflush(stdout);
        _exit(0);
    }, Qt::DirectConnection);
}

} // namespace chockside::app
