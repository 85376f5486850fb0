#pragma once
// Live data for the screens: figures at most 5 times a second, traces in columns at most 30. Freezing keeps what is seen.

#include "rows_model.h"

#include <QElapsedTimer>

#include <cstdint>
#include <string>
#include <vector>

namespace chockside::models {

/// One trace at one moment. `good` false is a drop-out: the line has a gap there.
struct LiveValue {
    std::string label, unit;
    double value = 0;
    bool good = true;
    bool flag = false;   ///< a yes or no: only `good` is drawn
};

struct LiveFrame {
    std::int64_t mono_ms = 0;
    std::vector<LiveValue> values;              ///< lanes
    std::vector<LiveValue> figures = {};        ///< shown as figures only
    std::string hands = {}; ///< the place that hands move in a flex test
};

class LiveModel : public QObject {
    Q_OBJECT
    QML_ELEMENT
    Q_PROPERTY(chockside::models::RowsModel* figures READ figures CONSTANT FINAL)
    Q_PROPERTY(bool frozen READ frozen WRITE set_frozen NOTIFY frozen_changed FINAL)
    Q_PROPERTY(bool arriving READ arriving NOTIFY arriving_changed FINAL)
    Q_PROPERTY(int lane_count READ lane_count NOTIFY lanes_changed FINAL)
public:
    explicit LiveModel(QObject* parent = nullptr);
    void push(const LiveFrame& frame);
    void clear();

    RowsModel* figures() { return &figures_; }
    bool frozen() const { return frozen_; }
    void set_frozen(bool frozen);
    bool arriving() const { return !frames_.empty(); }
    int lane_count() const;
    /// Frames kept, oldest first: two minutes at 30 Hz.
    const std::vector<LiveFrame>& frames() const { return frames_; }
    static constexpr std::int64_t window_ms = 120'000;

signals:
    void columns_added();
    void frozen_changed();
    void arriving_changed();
    void lanes_changed();

private:
    void show_figures(const LiveFrame& frame);
    std::vector<LiveFrame> frames_;
    RowsModel figures_;
    bool frozen_ = false;
    std::int64_t last_column_ms_ = -1, last_figure_ms_ = -1;
};

} // namespace chockside::models
