#include "key_face.h"

#include <QPainterPath>
#include <QQuickWindow>
#include <QSGNinePatchNode>
#include <QSGTexture>
#include <QVariantAnimation>

#include <algorithm>
#include <cmath>

namespace chockside::parts {

namespace {

QColor ink(const char* token) { return theme::Palette::instance()->now(QLatin1String(token)); }
double mm(double millimetres) { return millimetres * theme::Metrics::instance()->mm(); }
double border_of() { return mm(theme::Palette::instance()->is_sun() ? 0.66 : 0.5); }

QPainterPath rounded(const QRectF& box, double radius)
{
    QPainterPath path;
    path.addRoundedRect(box, radius, radius);
    return path;
}

} // namespace

KeyFace::KeyFace(QQuickItem* parent) : QQuickItem(parent)
{
    setFlag(ItemHasContents);
    const auto anew = [this] {
        repaint_ = true;
        update();
    };
    connect(theme::Palette::instance(), &theme::Palette::changed, this, anew);
    connect(theme::Metrics::instance(), &theme::Metrics::changed, this, anew);
}

bool KeyFace::take(bool& field, bool value)
{
    if (field == value) return false;
    field = value;
    repaint_ = true;
    update();
    return true;
}

void KeyFace::geometryChange(const QRectF& now, const QRectF& before)
{
    QQuickItem::geometryChange(now, before);
    if (now.size() == before.size()) return;
    repaint_ = repaint_ || waits_ || std::min(now.height(), before.height()) < 2 * corner() || std::min(now.width(), before.width()) < 2 * corner();
    update();
}

/// What may not be stretched on each side: ring, edge, rounding, foot.
double KeyFace::corner() const { return std::ceil(mm(1.2) + mm(1.4) + mm(1.75) + 2 * border_of()) + 1; }

QImage KeyFace::picture(const QSizeF& size) const
{
    const double dpr = window()->effectiveDevicePixelRatio();
    QImage image((size * dpr).toSize().expandedTo({1, 1}), QImage::Format_ARGB32_Premultiplied);
    image.setDevicePixelRatio(dpr);
    image.fill(Qt::transparent);
    QPainter painter(&image);
    paint(painter, size);
    return image;
}

QSGNode* KeyFace::updatePaintNode(QSGNode* old, UpdatePaintNodeData*)
{
    if (width() < 1 || height() < 1) {
        delete old;
        return nullptr;
    }
    auto* node = static_cast<QSGNinePatchNode*>(old);
    if (!node) {
        node = window()->createNinePatchNode();
        repaint_ = true;
    }
    const double c = corner(), across = std::min(c, std::floor(width() / 2)), down = std::min(c, std::floor(height() / 2));
    if (repaint_) {
        const QSizeF small(std::min(std::round(width()), 2 * c + 2), std::min(std::round(height()), 2 * c + 2));
        // The node owns the texture.
        node->setTexture(window()->createTextureFromImage(picture(waits_ ? size() : small)));
        node->setDevicePixelRatio(window()->effectiveDevicePixelRatio());
        repaint_ = false;
    }
    node->setPadding(across, down, across, down);
    node->setBounds(boundingRect());
    node->update();
    return node;
}

void KeyFace::fill(int ms)
{
    if (!hold_) {
        hold_ = new QVariantAnimation(this);
        hold_->setStartValue(0.0);
        hold_->setEndValue(1.0);
        connect(hold_, &QVariantAnimation::valueChanged, this, [this](const QVariant& at) { set_progress(at.toDouble()); });
        connect(hold_, &QVariantAnimation::finished, this, &KeyFace::filled);
    }
    hold_->stop();
    hold_->setDuration(ms);
    hold_->start();
}

void KeyFace::empty()
{
    if (hold_) hold_->stop();
    set_progress(0);
}

void KeyFace::set_progress(double progress)
{
    if (progress_ == progress) return;
    progress_ = progress;
    emit progress_changed();
}

void KeyFace::paint_ring(QPainter& p, const QSizeF& size) const
{
    const double ring = mm(0.6), radius = bare_ ? 0 : mm(1.4) + mm(1.2) / 2, inset = (bare_ ? mm(0.5) : 0) + ring / 2;
    p.setPen(QPen(ink("ink"), ring));
    p.setBrush(Qt::NoBrush);
    p.drawRoundedRect(QRectF(QPointF(), size).adjusted(inset, inset, -inset, -inset), radius, radius);
}

void KeyFace::paint_waiting(QPainter& p, const QRectF& box) const
{
    QPen dashed(ink("ink"), border_of(), Qt::CustomDashLine, Qt::FlatCap);
    dashed.setDashPattern({2.2, 1.6});
    p.setPen(dashed);
    p.setBrush(ink("panel"));
    p.drawRoundedRect(box, mm(1.4), mm(1.4));
}

void KeyFace::paint_standing(QPainter& p, const QRectF& box) const
{
    const double border = border_of(), radius = mm(1.4);
    const double foot = down_ ? 0 : mm(large_ ? 1.75 : 1.4);
    const QColor face = large_ ? ink("record") : chosen_ ? ink("sel") : mine_ ? ink("recordSoft") : ink("panel");
    const QPainterPath outline = rounded(box, radius);
    p.fillPath(outline, face);
    if (chosen_ && !large_) p.fillRect(QRectF(box.left() + radius, box.top(), box.width() - 2 * radius, mm(0.7)), ink("foot"));
    else if (foot > 0) {
        p.save();
        p.setClipRect(QRectF(box.left() - border, box.bottom() - foot, box.width() + 2 * border, foot + border));
        p.fillPath(outline, ink("foot"));
        p.restore();
    }
    p.setPen(QPen(ink("keyEdge"), border));
    p.setBrush(Qt::NoBrush);
    p.drawPath(outline);
}

void KeyFace::paint(QPainter& p, const QSizeF& size) const
{
    p.setRenderHint(QPainter::Antialiasing);
    if (focused_) paint_ring(p, size);
    if (bare_) return;
    const double inset = border_of() / 2 + (focused_ ? mm(1.2) : 0);
    QRectF box = QRectF(QPointF(), size).adjusted(inset, inset, -inset, -inset);
    if (waits_) return paint_waiting(p, box);
    if (down_) box.translate(0, mm(0.5));
    paint_standing(p, box);
}

void PracticeBand::paint(QPainter* painter)
{
    QPainter& p = *painter;
    p.setRenderHint(QPainter::Antialiasing);
    p.fillRect(QRectF(0, 0, width(), height()), ink("ground"));
    p.setPen(QPen(ink("ink"), mm(0.34)));
    for (double x = -height(); x < width() + height(); x += mm(2.2)) p.drawLine(QPointF(x, height()), QPointF(x + height() * 0.62, 0));
    p.setPen(QPen(ink("ink"), mm(0.25)));
    p.drawLine(QPointF(0, 0.5), QPointF(width(), 0.5));
    p.drawLine(QPointF(0, height() - 1), QPointF(width(), height() - 1));
}

} // namespace chockside::parts
