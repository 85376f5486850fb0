#include "idle_watch.h"

#include <QCoreApplication>
#include <QEvent>

namespace chockside::models {

IdleWatch::IdleWatch(QObject* parent) : QObject(parent)
{
    untouched_.start();
    connect(&look_, &QTimer::timeout, this, [this] {
        if (untouched_.elapsed() >= after_ms_) emit idle();
    });
    look_.start(10'000);
    QCoreApplication::instance()->installEventFilter(this);
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
