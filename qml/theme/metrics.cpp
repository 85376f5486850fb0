#include "metrics.h"
#include "palette.h"

#include <QJSEngine>
#include <QScreen>

#include <algorithm>
#include <cmath>

namespace chockside::theme {

namespace {

constexpr double mm_per_inch = 25.4;
constexpr double usual_dpi = 160;

double env_dpi() { return qEnvironmentVariable("CHOCKSIDE_DPI").toDouble(); }

} // namespace

Metrics::Metrics()
{
    set_dpi(env_dpi() > 0 ? env_dpi() : usual_dpi);
    connect(Palette::instance(), &Palette::changed, this, &Metrics::changed);
}

Metrics* Metrics::instance()
{
    static Metrics* one = new Metrics;
    return one;
}

Metrics* Metrics::create(QQmlEngine*, QJSEngine*)
{
    QJSEngine::setObjectOwnership(instance(), QJSEngine::CppOwnership);
    return instance();
}

int Metrics::hairline() const { return std::max(1, static_cast<int>(std::lround(mm_ * (Palette::instance()->is_sun() ? 0.4 : 0.3)))); }

int Metrics::border() const { return std::max(2, static_cast<int>(std::lround(mm_ * (Palette::instance()->is_sun() ? 0.66 : 0.5)))); }

void Metrics::follow(const QScreen* screen)
{
    if (env_dpi() > 0 || !screen) return;
    const double dpi = screen->physicalDotsPerInch();
    set_dpi(std::isfinite(dpi) && dpi > 0 ? dpi : usual_dpi);
}

void Metrics::set_dpi(double dpi)
{
    // 1 mm is 6.3 px at 160 dpi in the design; the rounding of the pictures is kept.
    const double mm = std::clamp(dpi, 72.0, 400.0) / mm_per_inch;
    if (mm == mm_) return;
    mm_ = mm;
    emit changed();
}

void Metrics::set_text_scale(double scale)
{
    const double held = std::clamp(scale, 1.0, 2.0);
    if (held == text_scale_) return;
    text_scale_ = held;
    emit changed();
}

void Metrics::set_left_hand(bool left)
{
    if (left == left_hand_) return;
    left_hand_ = left;
    emit changed();
}

} // namespace chockside::theme
