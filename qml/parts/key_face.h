#pragma once
// The face of a key: what has a foot can be pressed. Dashed without a foot while it waits; inverted when chosen; foot gone and one
// millimetre lower when pressed. Also the practice band.

#include "painted_part.h"

namespace chockside::parts {

class KeyFace : public PaintedPart {
    Q_OBJECT
    QML_ELEMENT
    Q_PROPERTY(bool large READ large WRITE set_large NOTIFY changed FINAL)
    Q_PROPERTY(bool waits READ waits WRITE set_waits NOTIFY changed FINAL)
    Q_PROPERTY(bool chosen READ chosen WRITE set_chosen NOTIFY changed FINAL)
    Q_PROPERTY(bool down READ down WRITE set_down NOTIFY changed FINAL)
    Q_PROPERTY(bool focused READ focused WRITE set_focused NOTIFY changed FINAL)
    Q_PROPERTY(bool mine READ mine WRITE set_mine NOTIFY changed FINAL)
public:
    using PaintedPart::PaintedPart;
    bool large() const { return large_; }
    bool waits() const { return waits_; }
    bool chosen() const { return chosen_; }
    bool down() const { return down_; }
    bool focused() const { return focused_; }
    bool mine() const { return mine_; }
    void set_large(bool v) { if (take(large_, v)) emit changed(); }
    void set_waits(bool v) { if (take(waits_, v)) emit changed(); }
    void set_chosen(bool v) { if (take(chosen_, v)) emit changed(); }
    void set_down(bool v) { if (take(down_, v)) emit changed(); }
    void set_focused(bool v) { if (take(focused_, v)) emit changed(); }
    /// tinted: the row that stands half done
    void set_mine(bool v) { if (take(mine_, v)) emit changed(); }
    void paint(QPainter* painter) override;

signals:
    void changed();

private:
    bool large_ = false, waits_ = false, chosen_ = false, down_ = false, focused_ = false, mine_ = false;
};

class PracticeBand : public PaintedPart {
    Q_OBJECT
    QML_ELEMENT
public:
    using PaintedPart::PaintedPart;
    void paint(QPainter* painter) override;
};

} // namespace chockside::parts
