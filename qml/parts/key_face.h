#pragma once
// The face of a key: what has a foot can be pressed. Dashed without a foot while it waits; inverted when chosen; foot gone and one
// millimetre lower when pressed. Also the practice band.

#include "painted_part.h"

class QVariantAnimation;

namespace chockside::parts {

/// Painted small and drawn as nine patches, so that a wide row costs no more than a key; only the dashes of a waiting key want full size.
class KeyFace : public QQuickItem {
    Q_OBJECT
    QML_ELEMENT
    Q_PROPERTY(bool large READ large WRITE set_large NOTIFY changed FINAL)
    Q_PROPERTY(bool waits READ waits WRITE set_waits NOTIFY changed FINAL)
    Q_PROPERTY(bool chosen READ chosen WRITE set_chosen NOTIFY changed FINAL)
    Q_PROPERTY(bool down READ down WRITE set_down NOTIFY changed FINAL)
    Q_PROPERTY(bool focused READ focused WRITE set_focused NOTIFY changed FINAL)
    Q_PROPERTY(bool mine READ mine WRITE set_mine NOTIFY changed FINAL)
    Q_PROPERTY(bool bare READ bare WRITE set_bare NOTIFY changed FINAL)
    Q_PROPERTY(double progress READ progress NOTIFY progress_changed FINAL)
public:
    explicit KeyFace(QQuickItem* parent = nullptr);
    bool large() const { return large_; }
    bool waits() const { return waits_; }
    bool chosen() const { return chosen_; }
    bool down() const { return down_; }
    bool focused() const { return focused_; }
    bool mine() const { return mine_; }
    bool bare() const { return bare_; }
    double progress() const { return progress_; }
    void set_large(bool v) { if (take(large_, v)) emit changed(); }
    void set_waits(bool v) { if (take(waits_, v)) emit changed(); }
    void set_chosen(bool v) { if (take(chosen_, v)) emit changed(); }
    void set_down(bool v) { if (take(down_, v)) emit changed(); }
    void set_focused(bool v) { if (take(focused_, v)) emit changed(); }
    /// tinted: the row that stands half done
    void set_mine(bool v) { if (take(mine_, v)) emit changed(); }
    /// no face of its own: only the ring of the focus is drawn
    void set_bare(bool v) { if (take(bare_, v)) emit changed(); }

    /// Lets `progress` run from 0 to 1 in `ms`, then tells. Few keys are held, so the clock is made with the first hold.
    Q_INVOKABLE void fill(int ms);
    Q_INVOKABLE void empty();

signals:
    void changed();
    void progress_changed();
    void filled();

protected:
    QSGNode* updatePaintNode(QSGNode*, UpdatePaintNodeData*) override;
    void geometryChange(const QRectF& now, const QRectF& before) override;

private:
    bool take(bool& field, bool value);
    double corner() const;
    QImage picture(const QSizeF&) const;
    void paint(QPainter&, const QSizeF&) const;
    void paint_ring(QPainter&, const QSizeF&) const;
    void paint_waiting(QPainter&, const QRectF& box) const;
    void paint_standing(QPainter&, const QRectF& box) const;
    void set_progress(double);

    bool repaint_ = true;
    bool large_ = false, waits_ = false, chosen_ = false, down_ = false, focused_ = false, mine_ = false, bare_ = false;
    double progress_ = 0;
    QVariantAnimation* hold_ = nullptr;
};

class PracticeBand : public PaintedPart {
    Q_OBJECT
    QML_ELEMENT
public:
    using PaintedPart::PaintedPart;
    void paint(QPainter* painter) override;
};

} // namespace chockside::parts
