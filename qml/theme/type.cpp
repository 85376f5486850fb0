#include "type.h"
#include "figure_font.h"
#include "metrics.h"
#include "palette.h"

#include <QJSEngine>

#include <algorithm>
#include <cmath>

namespace chockside::theme {

Type::Type() { connect(Metrics::instance(), &Metrics::changed, this, &Type::changed); }

Type* Type::create(QQmlEngine*, QJSEngine*)
{
    static Type* one = new Type;
    QJSEngine::setObjectOwnership(one, QJSEngine::CppOwnership);
    return one;
}

QString Type::figures() const { return figure_family(); }

int Type::px(double mm) { return static_cast<int>(std::lround(mm * Metrics::instance()->mm() * Metrics::instance()->text_scale())); }

int Type::sentence() const { return static_cast<int>(std::lround(5.1 * Metrics::instance()->mm() * std::min(1.45, Metrics::instance()->text_scale()))); }

int Type::text_weight() const { return Palette::instance()->is_sun() ? 600 : 500; }

int Type::bold_weight() const { return Palette::instance()->is_sun() ? 800 : 700; }

int Type::number_weight() const { return Palette::instance()->is_sun() ? 700 : 400; }

} // namespace chockside::theme
