#pragma once
// Lanes of earlier readings over a window of time: a column a pixel, between its least and its greatest value; where nothing came there is
// nothing, where something came that is not valid there is a tick. Above them a strip of all there is, with the window in it.

#include "history_model.h"
#include "painted_part.h"

namespace chockside::parts {

class ReadingsPlot : public PaintedPart {
    Q_OBJECT
    QML_ELEMENT
    Q_PROPERTY(chockside::models::HistoryModel* feed READ feed WRITE set_feed NOTIFY feed_changed FINAL)
    Q_PROPERTY(int text_px READ text_px WRITE set_text_px NOTIFY feed_changed FINAL)
public:
    explicit ReadingsPlot(QQuickItem* parent = nullptr);
    models::HistoryModel* feed() const { return feed_; }
    void set_feed(models::HistoryModel* feed);
    int text_px() const { return text_px_; }
    void set_text_px(int px) { if (take(text_px_, px)) emit feed_changed(); }
    void paint(QPainter* painter) override;

    /// Which lane is at this height; -1: none.
    Q_INVOKABLE int lane_at(double y) const;
    /// Whether the strip is at this height, and which share of everything is at this place of it.
    Q_INVOKABLE bool in_strip(double y) const { return y < strip_height(); }
    Q_INVOKABLE double share_at(double x) const;
    /// Width of the traces.
    Q_INVOKABLE double span_width() const { return plot_box().width(); }

signals:
    void feed_changed();

private:
    double label_width() const { return std::min(text_px_ * 8.6, width() * 0.36); }
    double strip_height() const { return mm(4); }
    QRectF plot_box() const;
    double x_of(std::int64_t t_ns, const QRectF& box) const;
    void paint_strip(QPainter& p, const QRectF& box) const;
    void paint_lane(QPainter& p, const trend::Lane& lane, const QRectF& row) const;
    void paint_label(QPainter& p, const trend::Lane& lane, const QRectF& row) const;
    void paint_axis(QPainter& p, const QRectF& box) const;
    void paint_match(QPainter& p, const QRectF& box) const;

    models::HistoryModel* feed_ = nullptr;
    int text_px_ = 20;
};

} // namespace chockside::parts
