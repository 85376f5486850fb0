#pragma once
// Deviation over heading: points, fitted curve with its band, and the hatched zones that the band must not touch.

#include "painted_part.h"

#include <QVariantList>

namespace chockside::parts {

class SwingPlot : public PaintedPart {
    Q_OBJECT
    QML_ELEMENT
    Q_PROPERTY(QVariantList points READ points WRITE set_points NOTIFY changed FINAL)
    Q_PROPERTY(QVariantList band READ band WRITE set_band NOTIFY changed FINAL)
    Q_PROPERTY(double tolerance READ tolerance WRITE set_tolerance NOTIFY changed FINAL)
    Q_PROPERTY(double next READ next WRITE set_next NOTIFY changed FINAL)
    Q_PROPERTY(int wanted READ wanted WRITE set_wanted NOTIFY changed FINAL)
    Q_PROPERTY(int text_px READ text_px WRITE set_text_px NOTIFY changed FINAL)
public:
    using PaintedPart::PaintedPart;
    QVariantList points() const { return points_; }
    QVariantList band() const { return band_; }
    double tolerance() const { return tolerance_; }
    double next() const { return next_; }
    int wanted() const { return wanted_; }
    int text_px() const { return text_px_; }
    /// [{heading, deviation, outlier}] in degrees
    void set_points(const QVariantList& v) { if (take(points_, v)) emit changed(); }
    /// [{heading, value, lower, upper}] in degrees, by heading
    void set_band(const QVariantList& v) { if (take(band_, v)) emit changed(); }
    /// degrees; 0: none known
    void set_tolerance(double v) { if (take(tolerance_, v)) emit changed(); }
    /// heading of the next point in degrees; negative: none
    void set_next(double v) { if (take(next_, v)) emit changed(); }
    void set_wanted(int v) { if (take(wanted_, v)) emit changed(); }
    void set_text_px(int v) { if (take(text_px_, v)) emit changed(); }
    void paint(QPainter* painter) override;

signals:
    void changed();

private:
    struct Frame;
    Frame frame() const;
    void paint_zones(QPainter& p, const Frame& f) const;
    void paint_axis(QPainter& p, const Frame& f) const;
    void paint_band(QPainter& p, const Frame& f) const;
    void paint_points(QPainter& p, const Frame& f) const;
    void paint_progress(QPainter& p, const Frame& f) const;
    void paint_next(QPainter& p, const Frame& f) const;
    QVariantList points_, band_;
    double tolerance_ = 0, next_ = -1;
    int wanted_ = 12, text_px_ = 20;
};

} // namespace chockside::parts
