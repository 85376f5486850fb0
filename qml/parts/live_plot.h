#pragma once
// Traces of the last two minutes as lanes. The traces live in a ring image in which only new columns are drawn; labels and axis are
// painted around it. A flag is a heavy line with gaps, a value a fine line between its own least and most.

#include "live_model.h"
#include "painted_part.h"

#include <QImage>

namespace chockside::parts {

class LivePlot : public PaintedPart {
    Q_OBJECT
    QML_ELEMENT
    Q_PROPERTY(chockside::models::LiveModel* feed READ feed WRITE set_feed NOTIFY feed_changed FINAL)
    Q_PROPERTY(int text_px READ text_px WRITE set_text_px NOTIFY feed_changed FINAL)
public:
    explicit LivePlot(QQuickItem* parent = nullptr);
    models::LiveModel* feed() const { return feed_; }
    void set_feed(models::LiveModel* feed);
    int text_px() const { return text_px_; }
    void set_text_px(int px) { if (take(text_px_, px)) emit feed_changed(); }
    void paint(QPainter* painter) override;
    /// Columns drawn so far, for tests of the ring.
    int columns_drawn() const { return drawn_; }

signals:
    void feed_changed();

private:
    struct Scale { double low = 0, high = 1; };
    double label_width() const { return std::min(text_px_ * 7.8, width() * 0.36); }
    QRectF plot_box() const;
    void begin_again();
    void catch_up();
    void draw_hands(QPainter& p, const std::string& place, std::int64_t from, std::int64_t to);
    void draw_column(const models::LiveFrame& frame);
    bool widen(const models::LiveFrame& frame);
    void paint_axis(QPainter& p, const QRectF& box) const;

    models::LiveModel* feed_ = nullptr;
    QImage ring_;
    std::vector<Scale> scales_;
    std::vector<double> last_y_;
    std::string last_hands_;
    std::int64_t newest_ms_ = -1, slot_ = -1;
    int text_px_ = 20, drawn_ = 0;
};

} // namespace chockside::parts
