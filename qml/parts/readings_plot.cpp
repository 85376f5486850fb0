#include "readings_plot.h"
#include "figure_font.h"
#include "words.h"

#include <QFontMetricsF>

#include <algorithm>
#include <cmath>

namespace chockside::parts {

using models::HistoryModel;

namespace {

constexpr std::int64_t ms = 1'000'000;

/// Between ticks: the least of these that leaves room for their labels.
std::int64_t tick_ns(double least_ns)
{
    constexpr std::int64_t second = 1000 * ms, minute = 60 * second, hour = 60 * minute;
    for (const std::int64_t step : {ms, 10 * ms, 100 * ms, second, 2 * second, 5 * second, 10 * second, 30 * second, minute, 2 * minute, 5 * minute, 10 * minute, 30 * minute, hour, 2 * hour, 6 * hour})
        if (static_cast<double>(step) >= least_ns) return step;
    return 24 * hour;
}

QString tick_text(std::int64_t t_ns, std::int64_t step)
{
    if (step < 1000 * ms) return models::clock_hms(t_ns / ms).mid(6) + '.' + QString::number(t_ns / ms % 1000).rightJustified(3, '0');
    return step < 60'000 * ms ? models::clock_hms(t_ns / ms) : models::clock_hm(t_ns / ms);
}

} // namespace

ReadingsPlot::ReadingsPlot(QQuickItem* parent) : PaintedPart(parent) {}

void ReadingsPlot::set_feed(HistoryModel* feed)
{
    if (feed == feed_) return;
    if (feed_) disconnect(feed_, nullptr, this, nullptr);
    feed_ = feed;
    if (feed_) {
        connect(feed_, &HistoryModel::changed, this, [this] { update(); });
        connect(feed_, &QObject::destroyed, this, [this] { feed_ = nullptr; });
    }
    update();
    emit feed_changed();
}

QRectF ReadingsPlot::plot_box() const
{
    const double top = strip_height() + mm(1.6);
    return {label_width(), top, std::max(8.0, width() - label_width()), std::max(8.0, height() - top - text_px_ * 1.8)};
}

int ReadingsPlot::lane_at(double y) const
{
    const QRectF box = plot_box();
    if (!feed_ || !feed_->seen() || y < box.top() || y >= box.bottom()) return -1;
    const auto lanes = static_cast<double>(feed_->seen()->lanes.size());
    return lanes == 0 ? -1 : static_cast<int>((y - box.top()) / box.height() * lanes);
}

double ReadingsPlot::share_at(double x) const
{
    const QRectF box = plot_box();
    return std::clamp((x - box.left()) / box.width(), 0.0, 1.0);
}

double ReadingsPlot::x_of(std::int64_t t_ns, const QRectF& box) const
{
    const auto& w = feed_->seen()->window;
    return box.left() + box.width() * static_cast<double>(t_ns - w.from_ns) / static_cast<double>(w.to_ns - w.from_ns);
}

void ReadingsPlot::paint_strip(QPainter& p, const QRectF& box) const
{
    const auto& seen = *feed_->seen();
    const double all = std::max(1.0, static_cast<double>(seen.all->to_ns - seen.all->from_ns));
    const auto at = [&](std::int64_t t) { return box.left() + box.width() * std::clamp(static_cast<double>(t - seen.all->from_ns) / all, 0.0, 1.0); };
    const QRectF strip(box.left(), 0, box.width(), strip_height());
    p.fillRect(strip, ink("recordSoft"));
    const double from = at(seen.window.from_ns), to = std::max(at(seen.window.to_ns), from + mm(0.8));
    p.fillRect(QRectF(from, strip.top(), to - from, strip.height()), ink("line"));
    p.setPen(QPen(ink("edge"), mm(0.3)));
    p.drawRect(strip.adjusted(0, 0, -1, -1));
}

void ReadingsPlot::paint_lane(QPainter& p, const trend::Lane& lane, const QRectF& row) const
{
    const auto& plot = lane.plot;
    const double low = lane.boolean ? 0 : plot.low, high = lane.boolean ? 1 : plot.high;
    const double span = std::max(1e-9, high - low), middle = high == low ? 0.5 : 0, pen = mm(lane.boolean ? 0.9 : 0.45), inner = row.height() * 0.72;
    const auto y_of = [&](double v) { return row.center().y() + inner / 2 - ((v - low) / span + middle) * inner; };
    double last = std::nan("");
    for (const trend::Column& c : plot.columns.columns) {
        const double x = std::max(row.left(), x_of(c.from_ns, row)), end = std::min(row.right(), x_of(c.from_ns + plot.columns.width_ns, row)), wide = std::max(1.0, end - x);
        if (end <= row.left() || x >= row.right()) continue;
        if (c.bad > 0) p.fillRect(QRectF(x, row.bottom() - mm(2), std::max(wide, mm(0.5)), mm(1.6)), ink("line"));
        if (c.count == c.bad) {
            // Between samples of a slow signal the last value stands; a gap is nothing at all.
            if (c.gap || c.bad > 0) last = std::nan("");
            else if (last == last) p.fillRect(QRectF(x, y_of(last) - pen / 2, wide, pen), ink("line"));
            continue;
        }
        const double from = last == last ? std::min(c.min, last) : c.min, to = last == last ? std::max(c.max, last) : c.max;
        p.fillRect(QRectF(x, y_of(to) - pen / 2, wide, y_of(from) - y_of(to) + pen), ink("line"));
        last = c.last;
    }
}

void ReadingsPlot::paint_label(QPainter& p, const trend::Lane& lane, const QRectF& row) const
{
    const bool searched = QString::fromStdString(lane.name) == feed_->searched();
    const double room = label_width() - mm(3), left = mm(1.6), line = text_px_ * 1.25;
    if (searched) p.fillRect(QRectF(0, row.top() + mm(1), mm(0.8), row.height() - mm(2)), ink("line"));
    QFont text("Inter"), number(theme::figure_family());
    text.setPixelSize(text_px_);
    text.setWeight(searched ? QFont::Bold : QFont::Medium);
    number.setPixelSize(text_px_);
    p.setPen(ink("ink"));
    const bool range = !lane.boolean && lane.plot.low == lane.plot.low && row.height() > line * 2;
    const auto write = [&](const QFont& font, double y, double high, const QString& says) {
        p.setFont(font);
        p.drawText(QRectF(left, y, room, high), Qt::AlignVCenter, QFontMetricsF(font).elidedText(says, Qt::ElideRight, room));
    };
    const QString name = HistoryModel::label_of(lane.name);
    if (!range) return write(text, row.center().y() - line * 0.5, line, name);
    const auto figure = [](double v, const std::string& unit) { return HistoryModel::value_of({0, 0, v, codec::Validity::good}, unit, false); };
    const QString says = figure(lane.plot.low, {}) + QString::fromUtf8(" … ") + figure(lane.plot.high, lane.unit);
    if (QFontMetricsF(number).horizontalAdvance(says) <= room) {
        write(text, row.center().y() - line, line, name);
        return write(number, row.center().y(), line, says);
    }
    // Where both do not fit beside each other they stand as on an axis.
    const double third = row.height() / 3;
    write(number, row.top(), third, figure(lane.plot.high, lane.unit));
    write(text, row.top() + third, third, name);
    write(number, row.top() + 2 * third, third, figure(lane.plot.low, lane.unit));
}

void ReadingsPlot::paint_axis(QPainter& p, const QRectF& box) const
{
    const auto& w = feed_->seen()->window;
    QFont number(theme::figure_family());
    number.setPixelSize(text_px_);
    p.setFont(number);
    const double ns_a_px = static_cast<double>(w.to_ns - w.from_ns) / box.width();
    const std::int64_t step = tick_ns(ns_a_px * text_px_ * 6.5);
    for (std::int64_t t = (w.from_ns / step + 1) * step; t < w.to_ns; t += step) {
        const double x = x_of(t, box);
        p.setPen(QPen(ink("line"), mm(0.3)));
        p.drawLine(QPointF(x, box.bottom()), QPointF(x, box.bottom() + mm(0.9)));
        const QRectF at(x - text_px_ * 4, box.bottom() + mm(0.9), text_px_ * 8, text_px_ * 1.5);
        if (at.center().x() - text_px_ * 2.6 < box.left() || at.center().x() + text_px_ * 2.6 > box.right()) continue;
        p.setPen(ink("ink"));
        p.drawText(at, Qt::AlignCenter, tick_text(t, step));
    }
}

void ReadingsPlot::paint_match(QPainter& p, const QRectF& box) const
{
    const auto& seen = *feed_->seen();
    if (!seen.match || seen.match->at.t_ns < seen.window.from_ns || seen.match->at.t_ns >= seen.window.to_ns) return;
    const double x = x_of(seen.match->at.t_ns, box), end = std::min(box.right(), x_of(seen.match->until_ns, box));
    if (end > x + 1) p.fillRect(QRectF(x, box.top(), end - x, mm(1)), ink("record"));
    p.fillRect(QRectF(x - mm(0.25), box.top(), mm(0.5), box.height()), ink("record"));
    const double head = mm(1.6);
    p.setBrush(ink("record"));
    p.setPen(Qt::NoPen);
    p.drawPolygon(QPolygonF({QPointF(x - head, box.top()), QPointF(x + head, box.top()), QPointF(x, box.top() + head * 1.4)}));
}

void ReadingsPlot::paint(QPainter* painter)
{
    QPainter& p = *painter;
    p.setRenderHint(QPainter::Antialiasing);
    const QRectF box = plot_box();
    if (!feed_ || !feed_->any() || feed_->seen()->lanes.empty()) {
        p.setPen(QPen(ink("edge"), mm(0.3), Qt::DashLine));
        p.drawRect(box.adjusted(1, 1, -1, -1));
        QFont text("Inter");
        text.setPixelSize(text_px_);
        p.setFont(text);
        p.setPen(ink("ink"));
        p.drawText(box, Qt::AlignCenter, feed_ && feed_->any() ? tr("Choose a signal below") : tr("no data"));
        return;
    }
    paint_strip(p, box);
    const auto& lanes = feed_->seen()->lanes;
    const double high = box.height() / static_cast<double>(lanes.size());
    for (std::size_t i = 0; i < lanes.size(); ++i) {
        const QRectF row(box.left(), box.top() + high * static_cast<double>(i), box.width(), high);
        if (i > 0) p.fillRect(QRectF(0, row.top(), width(), std::max(1.0, mm(0.15))), ink("edge"));
        p.save();
        p.setClipRect(row);
        p.setRenderHint(QPainter::Antialiasing, false);
        paint_lane(p, lanes[i], row);
        p.restore();
        paint_label(p, lanes[i], row);
    }
    paint_axis(p, box);
    paint_match(p, box);
}

} // namespace chockside::parts
