#include "idle_watch.h"

#include <QCoreApplication>
#include <QEvent>

#include <algorithm>

namespace chockside::models {

IdleWatch::IdleWatch(QObject* parent) : QObject(parent)
{
    untouched_.start();
    connect(&look_, &QTimer::timeout, this, [this] {
        if (untouched_.elapsed() >= after_.count()) emit idle();
    });
    set_after(after_);
    QCoreApplication::instance()->installEventFilter(this);
}

void IdleWatch::set_after(std::chrono::milliseconds time)
{
    after_ = time;
    look_.start(std::min(std::chrono::milliseconds(10'000), time / 4));
}

bool IdleWatch::eventFilter(QObject*, QEvent* event)
{
    switch (event->type()) {
    case QEvent::TouchBegin:
    case QEvent::TouchUpdate:
    case QEvent::MouseButtonPress:
    case QEvent::MouseMove:
    case QEvent::Wheel:
    case QEvent::KeyPress:
    case QEvent::TabletPress: untouched_.restart(); break;
    default: break;
    }
    return false;
}

} // namespace chockside::models
