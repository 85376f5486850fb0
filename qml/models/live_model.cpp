#include "live_model.h"
#include "words.h"

#include <algorithm>
#include <cmath>

namespace chockside::models {

namespace {

constexpr std::int64_t column_ms = 33, figure_ms = 200;
constexpr std::size_t slack = 600;

} // namespace

LiveModel::LiveModel(QObject* parent) : QObject(parent), figures_({"label", "value", "unit", "good"}, "label") {}

int LiveModel::lane_count() const { return frames_.empty() ? 0 : int(frames_.back().values.size()); }

void LiveModel::push(const LiveFrame& frame)
{
    if (frozen_) return;
    const bool first = frames_.empty(), lanes = first || frames_.back().values.size() != frame.values.size();
    // Between two columns a drop-out must not vanish: the column keeps the worst that came in its time.
    if (!first && !lanes && frame.mono_ms - last_column_ms_ < column_ms) {
        auto& column = frames_.back();
        for (std::size_t i = 0; i < frame.values.size(); ++i) column.values[i].good = column.values[i].good && frame.values[i].good;
        return;
    }
    frames_.push_back(frame);
    last_column_ms_ = frame.mono_ms;
    const auto old = std::find_if(frames_.begin(), frames_.end(), [&](const LiveFrame& f) { return f.mono_ms >= frame.mono_ms - window_ms; });
    if (std::size_t(old - frames_.begin()) > slack) frames_.erase(frames_.begin(), old);
    if (first) emit arriving_changed();
    if (lanes) emit lanes_changed();
    emit columns_added();
    if (last_figure_ms_ < 0 || frame.mono_ms - last_figure_ms_ >= figure_ms) show_figures(frame);
}

namespace {

/// Headings in three figures, other angles with their sign, everything else plain.
QString figure_text(const LiveValue& v)
{
    if (!v.good || !std::isfinite(v.value)) return QStringLiteral("--");
    const QString label = words(v.label);
    if (label.contains("heading", Qt::CaseInsensitive)) return QString::number(v.value, 'f', 1).rightJustified(5, '0');
    if (v.unit == "deg") return signed_number(v.value, 1);
    return QString::number(v.value, 'f', 1).replace('-', QChar(0x2212));
}

} // namespace

void LiveModel::show_figures(const LiveFrame& frame)
{
    last_figure_ms_ = frame.mono_ms;
    QList<QVariantMap> rows;
    for (const LiveValue& v : frame.values)
        if (!v.flag) rows.append({{"label", words(v.label)}, {"value", figure_text(v)}, {"unit", unit_sign(v.unit)}, {"good", v.good}});
    for (const LiveValue& v : frame.figures) rows.append({{"label", words(v.label)}, {"value", figure_text(v)}, {"unit", unit_sign(v.unit)}, {"good", v.good}});
    figures_.set_rows(rows);
}

void LiveModel::clear()
{
    frames_.clear();
    last_column_ms_ = last_figure_ms_ = -1;
    figures_.set_rows({});
    emit arriving_changed();
    emit lanes_changed();
}

void LiveModel::set_frozen(bool frozen)
{
    if (frozen == frozen_) return;
    frozen_ = frozen;
    emit frozen_changed();
}

} // namespace chockside::models
