#include "fingers.h"

#include <QQuickItem>
#include <QQuickWindow>
#include <QTest>
#include <QTimer>

#include <algorithm>
#include <utility>

namespace chockside::screens {

namespace {

constexpr int look_ms = 25, patience_ms = 15'000, between_ms = 20, tap_ms = 40, hold_ms = 1000, over_ms = 120, step_ms = 20, moving_steps = 8, resting_steps = 5;

QQuickItem* find(QQuickItem* in, const QString& name)
{
    if (!in->isVisible()) return nullptr;
    if (in->objectName() == name && in->width() > 0) return in;
    for (QQuickItem* child : in->childItems())
        if (QQuickItem* found = find(child, name)) return found;
    return nullptr;
}

/// How far a box has to be dragged for the item's middle to be seen in it: 0 where it is, and where nothing scrolls.
double out_of_view(const QQuickItem* item, const QQuickItem* box)
{
    if (!box) return 0;
    const double middle = item->mapRectToItem(box, QRectF(0, 0, item->width(), item->height())).center().y();
    return middle > 4 && middle < box->height() - 4 ? 0 : std::clamp(box->height() / 2 - middle, -box->height() * 0.4, box->height() * 0.4);
}

/// The box that scrolls it, if any.
QQuickItem* flickable_of(QQuickItem* item)
{
    for (QQuickItem* up = item->parentItem(); up; up = up->parentItem())
        if (up->inherits("QQuickFlickable")) return up;
    return nullptr;
}

} // namespace

Fingers::Fingers(QQuickWindow* window, QObject* parent) : QObject(parent), window_(window), device_(QTest::createTouchDevice()) {}

QQuickItem* Fingers::shown(const QString& name) const { return find(window_->contentItem(), name); }

void Fingers::work(std::vector<Touch> touches, std::function<void(const QString&)> done)
{
    // The app may answer while the finger is still being lifted.
    if (busy_) return queue_.push_back({std::move(touches), std::move(done)});
    touches_ = std::move(touches);
    done_ = std::move(done);
    at_ = 0;
    waited_ms_ = 0;
    busy_ = true;
    next();
}

void Fingers::finish(const QString& why)
{
    busy_ = false;
    const auto done = std::exchange(done_, nullptr);
    if (done) done(why);
    if (busy_ || queue_.empty()) return;
    auto [touches, then] = std::move(queue_.front());
    queue_.pop_front();
    work(std::move(touches), std::move(then));
}

void Fingers::next()
{
    if (off_) return QTimer::singleShot(look_ms, this, &Fingers::next);
    if (at_ == touches_.size()) return finish({});
    const Touch& t = touches_[at_];
    QQuickItem* item = shown(t.name);
    if (t.if_shown && !item) {
        ++at_;
        return next();
    }
    const bool ready = item && item->isEnabled() && !item->property("waits").toBool() && !item->property("fresh").toBool();
    // Nobody presses what has not been drawn yet: it must stand where it stood a look ago.
    const QPointF stands = item ? item->mapToScene({}) : QPointF(-1, -1);
    const bool still = stands == stood_;
    stood_ = stands;
    if (waited_ms_ > patience_ms) return finish(item ? t.name + (ready ? " cannot be brought into view" : " is there but waits: " + item->property("why").toString()) : t.name + " is not shown");
    if (ready && still) {
        const QQuickItem* box = flickable_of(item);
        const double by = out_of_view(item, box);
        return by == 0 ? touch(item) : drag(box, by);
    }
    waited_ms_ += look_ms;
    QTimer::singleShot(look_ms, this, &Fingers::next);
}

/// A finger's drag within a box that scrolls, as fast as a hand. It rests before it is lifted, so that nothing flies on.
void Fingers::drag(const QQuickItem* box, double by)
{
    const QPointF from = box->mapToScene(QPointF(box->width() / 2, box->height() / 2));
    QTest::touchEvent(window_, device_.get(), false).press(0, from.toPoint()).commit(false);
    drag_on(from, by, 1);
}

void Fingers::drag_on(QPointF from, double by, int step)
{
    QTimer::singleShot(step_ms, this, [this, from, by, step] {
        const QPoint at = (from + QPointF(0, by * std::min(step, moving_steps) / moving_steps)).toPoint();
        QTest::touchEvent(window_, device_.get(), false).move(0, at).commit(false);
        waited_ms_ += step_ms;
        if (step < moving_steps + resting_steps) return drag_on(from, by, step + 1);
        QTest::touchEvent(window_, device_.get(), false).release(0, at).commit(false);
        QTimer::singleShot(look_ms, this, &Fingers::next);
    });
}

void Fingers::touch(QQuickItem* item)
{
    const QPoint at = item->mapToScene(QPointF(item->width() / 2, item->height() / 2)).toPoint();
    const bool hold = item->property("hold").toBool();
    acted_ = 0;
    asked_ = item->property("asks").toString();
    question_ = question ? question() : QString();
    ++count_;
    waited_ = false;
    if (item->metaObject()->indexOfSignal("acted()") >= 0) {
        connect(item, SIGNAL(acted()), this, SLOT(note_acted()));
        connect(item, SIGNAL(waitsChanged()), this, SLOT(note_wait()));
    }
    QTest::touchEvent(window_, device_.get(), false).press(0, at).commit(false);
    if (hold && halfway) QTimer::singleShot(hold_ms * 6 / 10, this, [this] { halfway(); });
    QPointer<QQuickItem> kept(item);
    QTimer::singleShot(hold ? hold_ms + over_ms : tap_ms, this, [this, kept, at] { release(kept, at); });
}

void Fingers::release(QQuickItem* item, QPoint at)
{
    QTest::touchEvent(window_, device_.get(), false).release(0, at).commit(false);
    const Touch& t = touches_[at_];
    const bool key = item && item->metaObject()->indexOfSignal("acted()") >= 0;
    if (key) {
        disconnect(item, SIGNAL(acted()), this, SLOT(note_acted()));
        disconnect(item, SIGNAL(waitsChanged()), this, SLOT(note_wait()));
    }
    if (key && acted_ == 0) {
        const QString asks = item->property("asks").toString();
        if (question && question() == question_ && (asks != asked_ || waited_)) return go_on();
        return finish("touching " + t.name + " did nothing; it asked " + asked_ + ", then " + asks);
    }
    if (t.kind == Touch::Kind::type) key_text(window_, t.text);
    ++at_;
    go_on();
}

void Fingers::go_on()
{
    stood_ = {-1, -1};
    waited_ms_ = 0;
    QTimer::singleShot(between_ms, this, &Fingers::next);
}

void Fingers::key_text(QQuickWindow* window, const QString& text)
{
    QTest::keyClick(window, Qt::Key_A, Qt::ControlModifier);
    for (QChar c : text) QTest::sendKeyEvent(QTest::Click, window, Qt::Key_unknown, QString(c), Qt::NoModifier);
}

} // namespace chockside::screens
