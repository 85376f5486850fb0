#include "fingers.h"

#include <QQuickItem>
#include <QQuickWindow>
#include <QTest>
#include <QTimer>

#include <algorithm>
#include <utility>

namespace chockside::screens {

namespace {

constexpr int look_ms = 25, patience_ms = 15'000, between_ms = 20, tap_ms = 40, hold_ms = 1000, over_ms = 120;

QQuickItem* find(QQuickItem* in, const QString& name)
{
    if (!in->isVisible()) return nullptr;
    if (in->objectName() == name && in->width() > 0) return in;
    for (QQuickItem* child : in->childItems())
        if (QQuickItem* found = find(child, name)) return found;
    return nullptr;
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
    const bool ready = item && item->isEnabled() && !item->property("waits").toBool() && bring_into_view(item);
    // Nobody presses what has not been drawn yet: it must stand where it stood a look ago.
    const QPointF stands = item ? item->mapToScene({}) : QPointF(-1, -1);
    const bool still = stands == stood_;
    stood_ = stands;
    if (ready && still) return touch(item);
    waited_ms_ += look_ms;
    if (waited_ms_ > patience_ms) return finish(item ? t.name + " is there but waits: " + item->property("why").toString() : t.name + " is not shown");
    QTimer::singleShot(look_ms, this, &Fingers::next);
}

/// A finger's drag where the item lies outside of what is seen. True when its middle is seen.
bool Fingers::bring_into_view(QQuickItem* item)
{
    QQuickItem* box = flickable_of(item);
    if (!box) return true;
    const double top = item->mapRectToItem(box, QRectF(0, 0, item->width(), item->height())).center().y();
    if (top > 4 && top < box->height() - 4) return true;
    const QPointF middle = box->mapToScene(QPointF(box->width() / 2, box->height() / 2));
    const double by = std::clamp(box->height() / 2 - top, -box->height() * 0.4, box->height() * 0.4);
    QTest::touchEvent(window_, device_.get(), false).press(0, middle.toPoint()).commit(false);
    for (int i = 1; i <= 4; ++i) QTest::touchEvent(window_, device_.get(), false).move(0, (middle + QPointF(0, by * i / 4)).toPoint()).commit(false);
    QTest::touchEvent(window_, device_.get(), false).release(0, (middle + QPointF(0, by)).toPoint()).commit(false);
    return false;
}

void Fingers::touch(QQuickItem* item)
{
    const QPoint at = item->mapToScene(QPointF(item->width() / 2, item->height() / 2)).toPoint();
    const bool hold = item->property("hold").toBool();
    acted_ = 0;
    asked_ = item->property("asks").toString();
    question_ = question ? question() : QString();
    ++count_;
    if (item->metaObject()->indexOfSignal("acted()") >= 0) connect(item, SIGNAL(acted()), this, SLOT(note_acted()));
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
    if (key) disconnect(item, SIGNAL(acted()), this, SLOT(note_acted()));
    if (key && acted_ == 0) {
        const QString asks = item->property("asks").toString();
        if (question && question() == question_ && asks != asked_) return go_on();
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
