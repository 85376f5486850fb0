#include "live_plot.h"
#include "figure_font.h"

#include <QFontMetricsF>
#include <QtMath>

#include <algorithm>
#include <cmath>

namespace chockside::parts {

using models::LiveFrame;
using models::LiveModel;

LivePlot::LivePlot(QQuickItem* parent) : PaintedPart(parent)
{
    connect(theme::Palette::instance(), &theme::Palette::changed, this, &LivePlot::begin_again);
    connect(this, &QQuickItem::widthChanged, this, &LivePlot::begin_again);
    connect(this, &QQuickItem::heightChanged, this, &LivePlot::begin_again);
}

void LivePlot::set_feed(LiveModel* feed)
{
    if (feed == feed_) return;
    if (feed_) disconnect(feed_, nullptr, this, nullptr);
    feed_ = feed;
    if (feed_) {
        connect(feed_, &LiveModel::columns_added, this, [this] { if (isVisible()) { catch_up(); update(); } });
        connect(feed_, &LiveModel::lanes_changed, this, &LivePlot::begin_again);
        connect(feed_, &QObject::destroyed, this, [this] { feed_ = nullptr; });
    }
    begin_again();
    emit feed_changed();
}

QRectF LivePlot::plot_box() const { return {label_width(), 0, std::max(8.0, width() - label_width()), std::max(8.0, height() - text_px_ * 1.8)}; }

void LivePlot::begin_again()
{
    ring_ = {};
    newest_ms_ = slot_ = -1;
    last_hands_.clear();
    drawn_ = 0;
    scales_.clear();
    update();
}

void LivePlot::catch_up()
{
    if (!feed_ || feed_->frames().empty() || width() < 8) return;
    const auto& frames = feed_->frames();
    if (ring_.isNull()) {
        const QSize size = plot_box().size().toSize();
        ring_ = QImage(size, QImage::Format_ARGB32_Premultiplied);
        ring_.fill(Qt::transparent);
        last_y_.assign(frames.back().values.size(), -1);
        scales_.assign(frames.back().values.size(), {1e300, -1e300});
        for (const LiveFrame& f : frames) widen(f);
    }
    const auto first = std::find_if(frames.begin(), frames.end(), [&](const LiveFrame& f) { return f.mono_ms > newest_ms_; });
    bool wider = false;
    for (auto it = first; it != frames.end(); ++it) wider |= widen(*it);
    if (wider && newest_ms_ >= 0) {
        const auto kept = scales_;
        begin_again();
        return catch_up();
    }
    for (auto it = first; it != frames.end(); ++it) draw_column(*it);
}

/// Steps of half again, so that the whole image is drawn anew only now and then.
bool LivePlot::widen(const LiveFrame& frame)
{
    bool wider = false;
    for (std::size_t i = 0; i < frame.values.size() && i < scales_.size(); ++i) {
        const auto& v = frame.values[i];
        if (v.flag || !v.good || !std::isfinite(v.value)) continue;
        Scale& s = scales_[i];
        if (v.value >= s.low && v.value <= s.high) continue;
        const double low = std::min(s.low, v.value), high = std::max(s.high, v.value), room = std::max((high - low) * 0.25, 0.05);
        s = {low - room, high + room};
        wider = true;
    }
    return wider;
}

/// A band is hands: tint, a rule above it, an edge where they came and where they left.
void LivePlot::draw_hands(QPainter& p, const std::string& place, std::int64_t from, std::int64_t to)
{
    const int w = ring_.width();
    const bool turned = place != last_hands_;
    if (turned) p.fillRect(QRectF(double(from % w), 0, std::max(1.0, mm(0.3)), ring_.height()), ink("edge"));
    last_hands_ = place;
    if (place.empty()) return;
    for (std::int64_t s = turned ? from + 1 : from; s <= to; ++s) p.fillRect(int(s % w), 0, 1, ring_.height(), ink("recordSoft"));
    for (std::int64_t s = from; s <= to; ++s) p.fillRect(QRectF(double(s % w), 0, 1, mm(1)), ink("line"));
}

void LivePlot::draw_column(const LiveFrame& frame)
{
    const double per_ms = double(ring_.width()) / double(LiveModel::window_ms);
    const auto slot = static_cast<std::int64_t>(std::floor(double(frame.mono_ms) * per_ms));
    QPainter p(&ring_);
    const int w = ring_.width();
    const std::int64_t from = slot_ < 0 ? slot : std::max(slot_ + 1, slot - w + 1);
    p.setCompositionMode(QPainter::CompositionMode_Source);
    for (std::int64_t s = from; s <= slot; ++s) p.fillRect(int(s % w), 0, 1, ring_.height(), Qt::transparent);
    p.setCompositionMode(QPainter::CompositionMode_SourceOver);
    draw_hands(p, frame.hands, from, slot);
    const auto lanes = std::max<std::size_t>(1, frame.values.size());
    const double lane = double(ring_.height()) / double(lanes), heavy = mm(1.6);
    for (std::size_t i = 0; i < frame.values.size() && i < last_y_.size(); ++i) {
        const auto& v = frame.values[i];
        const double middle = lane * (double(i) + 0.5);
        if (v.flag) {
            for (std::int64_t s = from; v.good && s <= slot; ++s) p.fillRect(QRectF(double(s % w), middle - heavy / 2, 1, heavy), ink("line"));
            // One stroke where words stop coming; a long loss stays an empty gap.
            if (!v.good && last_y_[i] > 0) p.fillRect(QRectF(double(slot % w), middle - mm(2.6), mm(0.4), mm(5.2)), ink("line"));
            last_y_[i] = v.good ? 1 : -1;
            continue;
        }
        if (!v.good || !std::isfinite(v.value)) { last_y_[i] = -1; continue; }
        const double span = std::max(1e-9, scales_[i].high - scales_[i].low);
        const double y = middle + lane * 0.42 - (v.value - scales_[i].low) / span * lane * 0.84;
        const double y0 = last_y_[i] < 0 ? y : last_y_[i], pen = mm(0.45);
        for (std::int64_t s = from; s <= slot; ++s) p.fillRect(QRectF(double(s % w), std::min(y, y0) - pen / 2, 1, std::abs(y - y0) + pen), ink("line"));
        last_y_[i] = y;
    }
    slot_ = slot;
    newest_ms_ = frame.mono_ms;
    ++drawn_;
}

void LivePlot::paint_axis(QPainter& p, const QRectF& box) const
{
    QFont text("Inter"), number(theme::figure_family());
    text.setPixelSize(text_px_);
    text.setWeight(QFont::Medium);
    number.setPixelSize(text_px_);
    p.setFont(text);
    p.setPen(ink("ink"));
    const auto& values = feed_->frames().back().values;
    const double lane = box.height() / double(std::max<std::size_t>(1, values.size()));
    for (std::size_t i = 0; i < values.size(); ++i)
    {
        const double room = label_width() - mm(1.6);
        p.drawText(QRectF(0, lane * double(i), room, lane), Qt::AlignVCenter, QFontMetricsF(text).elidedText(QString::fromStdString(values[i].label), Qt::ElideRight, room));
    }
    p.setFont(number);
    const double widest = text_px_ * 4;
    const int step = box.width() / 4 > widest ? 30 : box.width() / 2 > widest ? 60 : 120;
    for (int s = 120; s >= 0; s -= step) {
        const double x = box.right() - box.width() * s / 120.0;
        p.setPen(QPen(ink("line"), mm(0.3)));
        p.drawLine(QPointF(x, box.bottom()), QPointF(x, box.bottom() + mm(0.9)));
        p.setPen(ink("ink"));
        const QString label = s ? QChar(0x2212) + QString::number(s) + QChar(0x00A0) + 's' : tr("now");
        const QRectF at(x - text_px_ * 3, box.bottom() + mm(0.9), text_px_ * 3 + (s ? text_px_ * 3 : 0), text_px_ * 1.5);
        p.drawText(at, s ? Qt::AlignCenter : Qt::AlignRight | Qt::AlignVCenter, label);
    }
}

void LivePlot::paint(QPainter* painter)
{
    QPainter& p = *painter;
    p.setRenderHint(QPainter::Antialiasing);
    const QRectF box = plot_box();
    if (!feed_ || feed_->frames().empty()) {
        p.setPen(QPen(ink("edge"), mm(0.3), Qt::DashLine));
        p.drawRect(box.adjusted(1, 1, -1, -1));
        QFont text("Inter");
        text.setPixelSize(text_px_);
        p.setFont(text);
        p.setPen(ink("ink"));
        p.drawText(box, Qt::AlignCenter, tr("no data"));
        return;
    }
    if (ring_.isNull()) catch_up();
    const int w = ring_.width(), split = int((slot_ + 1) % w);
    p.drawImage(QPointF(box.left(), 0), ring_, QRectF(split, 0, w - split, ring_.height()));
    p.drawImage(QPointF(box.left() + w - split, 0), ring_, QRectF(0, 0, split, ring_.height()));
    paint_axis(p, box);
}

} // namespace chockside::parts
