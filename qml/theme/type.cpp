#include "type.h"
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

int Type::px(double mm) { return static_cast<int>(std::lround(mm * Metrics::instance()->mm() * Metrics::instance()->text_scale())); }

int Type::sentence() const { return static_cast<int>(std::lround(5.1 * Metrics::instance()->mm() * std::min(1.45, Metrics::instance()->text_scale()))); }

int Type::text_weight() const { return Palette::instance()->is_sun() ? 600 : 500; }

int Type::bold_weight() const { return Palette::instance()->is_sun() ? 800 : 700; }

// 500 and not 400: the mono face also answers to the family name, and at its very weight it wins over the face with narrow colon and point.
int Type::number_weight() const { return Palette::instance()->is_sun() ? 700 : 500; }

} // namespace chockside::theme
